"""Last cell of a house: one cell is left in a house, and it takes the digit that is missing.

The simplest step there is, and the first one taught.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from gridassay.verify.solving.board.ideas import Idea, zone_said
from gridassay.verify.solving.board.position import Layout, Position, Zone

NAME = "last cell"


def find(position: Position) -> Iterator[Idea]:
    """The last open cell of every house that has one."""
    layout = position.layout
    for zone in layout.full_zones:
        left = zone.bits & ~position.placed
        if not left or left & (left - 1):
            continue
        cell = left.bit_length() - 1
        missing = layout.all_digits
        for other in zone.cells:
            if other != cell:
                missing &= ~position.masks[other]
        if missing.bit_count() != 1 or not missing & position.masks[cell]:
            continue
        digit = missing.bit_length() - 1
        yield Idea(
            NAME,
            places=((cell, digit),),
            spots=((digit, zone),),
            digits=(digit,),
            say=partial(_say, layout, cell, digit, zone),
        )


def _say(layout: Layout, cell: int, digit: int, zone: Zone) -> str:
    name, symbol = layout.cells[cell], layout.symbol(digit)
    return f"only {symbol} is missing from {zone_said(layout, zone)}, so {name} is {symbol}"
