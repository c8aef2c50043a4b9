"""Whether a cell lies beside others as was said: *under the six*, *after it*, *between them*."""

from __future__ import annotations

from gridassay.encodings.grid import Cell
from gridassay.verify.listening.bearings import Bearing
from gridassay.verify.listening.spots import SpokenBoard, box_around, lies

_SIDES = {"under": (1, 0), "over": (-1, 0), "left of": (0, -1), "right of": (0, 1)}
_IN_TURN = {"after": 1, "before": -1}


def near(cell: int, part: Bearing, board: SpokenBoard) -> bool:
    """Whether a cell lies on a side of a digit, or of the last cell; right beside it, or in its box."""
    position = board.position
    if not part.digits:
        return any(_lies(cell, one, part.said, board) for one in board.last)
    for digit in part.digits:
        index = position.layout.digit_index.get(digit)
        anchors = [
            one
            for one in range(len(position.layout.cells))
            if index is not None and position.is_placed(one) and position.has((one, index))
        ]
        if not any(_lies(cell, one, part.said, board) for one in anchors):
            return False
    return True


def _lies(cell: int, other: int, relation: str, board: SpokenBoard) -> bool:
    cells = board.position.layout.cells
    down = cells[cell].row - cells[other].row
    along = cells[cell].column - cells[other].column
    if relation in _SIDES:
        if (down, along) == _SIDES[relation]:
            return True
        return lies(cell, other, relation, board) and other in box_around(cell, board)
    if relation in _IN_TURN:
        step = _IN_TURN[relation]
        return (down, along) in ((0, step), (step, 0))
    if relation == "other side":
        there = (cells[cell].row, cells[cell].column)
        return any(there == _opposite(cells[one], cells[other]) for one in board.last)
    if relation == "between":
        return (not down or not along) and abs(down) + abs(along) <= 2
    return abs(down) + abs(along) == 1


def _opposite(one: Cell, middle: Cell) -> tuple[int, int]:
    """The row and column as far on the other side of a cell."""
    return 2 * middle.row - one.row, 2 * middle.column - one.column
