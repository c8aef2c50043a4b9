"""Bivalue universal grave, for puzzles promised to have one solution.

Were every open cell to have two candidates, and every digit two places in each house that has not
placed it, all could be exchanged for a second solution. One cell with a third candidate keeps the
puzzle from that, so it takes the candidate that would otherwise have three places.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from gridassay.verify.solving.board.ideas import Idea
from gridassay.verify.solving.board.position import Layout, Position, members
from gridassay.verify.solving.techniques.uniqueness import has_twin

NAME = "bivalue universal grave"


def find(position: Position) -> Iterator[Idea]:
    """The one cell with three candidates, if all others have two."""
    open_cells = members(position.open_bits)
    counts = [position.masks[cell].bit_count() for cell in open_cells]
    if counts.count(3) != 1 or counts.count(2) != len(counts) - 1:
        return
    odd = open_cells[counts.index(3)]
    for digit in members(position.masks[odd]):
        pattern = tuple(
            (cell, position.masks[cell] & ~(1 << digit) if cell == odd else position.masks[cell])
            for cell in open_cells
        )
        if has_twin(position, pattern):
            yield Idea(
                NAME,
                places=((odd, digit),),
                cells=open_cells,
                shown=(odd,),
                digits=(digit,),
                deadly=pattern,
                say=partial(_say, position.layout, odd, digit),
            )


def _say(layout: Layout, cell: int, digit: int) -> str:
    return (
        f"as one solution is promised, {layout.cells[cell]} is {layout.symbol(digit)}: without it every "
        "open cell would have two candidates that could be exchanged"
    )
