"""Digits that are all that is left: in a house, or in cells that were named before.

*That leaves 7 and 8 in row two*, *column nine wants 4 and 7*, *they share 2, 4 and 8* name no cells, or
call them *they*. The board shows which are meant: the open cells of the house, if these digits are just
those of its candidates; else as many cells as there are digits, if they have no others.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from gridassay.verify.listening.heard import Heard, Pair
from gridassay.verify.solving.board.position import Position


def cells_meant(heard: Heard, position: Position) -> tuple[Pair, ...]:
    """The candidates that are struck where some digits are all that is left; none if that is not so."""
    layout = position.layout
    digits = sum(1 << layout.digit_index[one] for one in heard.digits)
    for cells in _groups(heard, position):
        held = 0
        for cell in cells:
            held |= position.masks[cell]
        if len(cells) == len(heard.digits) and held == digits:
            return tuple(_others(cells, heard, position))
    return ()


def _groups(heard: Heard, position: Position) -> Iterator[Sequence[int]]:
    layout = position.layout
    yield [layout.index[cell] for cell in heard.cells]
    if heard.houses:
        shared = set.intersection(*(set(layout.scope(house)) for house in heard.houses))
        yield [cell for cell in sorted(shared) if not position.is_placed(cell)]


def _others(cells: Sequence[int], heard: Heard, position: Position) -> Iterator[Pair]:
    layout = position.layout
    for cell in cells:
        for digit in layout.canvas.digits:
            if digit not in heard.digits:
                yield layout.cells[cell], digit
