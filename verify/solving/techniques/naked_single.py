"""Naked single: a cell has one candidate left."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from gridassay.verify.solving.board.ideas import Idea
from gridassay.verify.solving.board.position import Layout, Position, members

NAME = "naked single"


def find(position: Position) -> Iterator[Idea]:
    """Every open cell with a single candidate."""
    layout = position.layout
    for cell in members(position.open_bits):
        mask = position.masks[cell]
        if mask and not mask & (mask - 1):
            digit = mask.bit_length() - 1
            yield Idea(
                NAME,
                places=((cell, digit),),
                cells=(cell,),
                shown=(cell,),
                say=partial(_say, layout, cell, digit),
            )


def _say(layout: Layout, cell: int, digit: int) -> str:
    name, symbol = layout.cells[cell], layout.symbol(digit)
    return f"every digit but {symbol} is gone from {name}, so {name} is {symbol}"
