"""A house that was said by mistake: *the six in box one, on the right*, where box one has its six.

The digit is then a single in another house of the kind, at the place that was said. Such a claim is
*wider*: true of its cell, not for what was said.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

from gridassay.verify.listening.heard import Heard
from gridassay.verify.listening.spots import SpokenBoard, fits, lies, singles
from gridassay.verify.solving.board.position import Zone

_FEW = 2
"""With more open cells than this a house is not nearly full."""


def slip_of_house(
    heard: Heard, board: SpokenBoard, digit: int, *, last: Callable[[int], bool] | None
) -> tuple[int, str] | None:
    """The cell that was meant, and the house that was said for another one; None if there is none.

    ``last`` tells, for a claim about the last cell of a house, whether a cell is one.
    """
    if heard.implied or heard.rules or heard.placed or not heard.sure:
        return None
    if len(heard.houses) == 2 and not (heard.spots or heard.beside or last):
        return _of_two(heard, board, digit)
    if len(heard.houses) != 1:
        return None
    (house,) = heard.houses
    scope = board.position.layout.scope(house)
    own = [cell for cell in scope if board.possible[cell] == 1 << digit]
    if len(own) != 1:
        return None
    if last:
        opened = [cell for cell in scope if not board.position.is_placed(cell)]
        if len(opened) <= _FEW or own[0] not in opened:
            return None
        cells = {cell for cell in singles(board, digit) if last(cell)}
    elif (heard.spots or heard.beside) and not _may_be_meant(own[0], heard, scope, board, digit):
        cells = set(_at_the_place(heard, house, board, digit))
    else:
        return None
    cells -= set(scope)
    return (cells.pop(), house) if len(cells) == 1 else None


def _of_two(heard: Heard, board: SpokenBoard, digit: int) -> tuple[int, str] | None:
    """The one house of two in which the digit is a single now, if its cell is not in the other one."""
    now = singles(board, digit)
    first, other = (set(board.position.layout.scope(house)) for house in heard.houses)
    if any(board.possible[cell] == 1 << digit for cell in first & other):
        return None
    there = [(now & first, heard.houses[1]), (now & other, heard.houses[0])]
    found = [(cells, slip) for cells, slip in there if len(cells) == 1]
    if len(found) != 1:
        return None
    ((cells, slip),) = found
    return next(iter(cells)), slip


def _may_be_meant(
    cell: int, heard: Heard, scope: tuple[int, ...], board: SpokenBoard, digit: int
) -> bool:
    """Whether the cell of the digit in the house that was said may be meant as well."""
    if board.position.is_placed(cell):
        return (cell, digit) in board.bridged or cell in board.last
    return cell in singles(board, digit) or (
        fits(cell, heard, scope, board) and _beside_last(cell, heard, board)
    )


def _at_the_place(heard: Heard, house: str, board: SpokenBoard, digit: int) -> Iterator[int]:
    """The singles of a digit at the place that was said, in any house of the kind."""
    zones = board.position.layout.zones
    kind = next((zone.kind for zone in zones if zone.name == house), "")

    def within(zone: Zone, cell: int) -> bool:
        return zone.kind == kind and cell in zone.cells and fits(cell, heard, zone.cells, board)

    for cell in singles(board, digit):
        if any(within(zone, cell) for zone in zones) and _beside_last(cell, heard, board):
            yield cell


def _beside_last(cell: int, heard: Heard, board: SpokenBoard) -> bool:
    return all(any(lies(cell, one, beside, board) for one in board.last) for beside in heard.beside)
