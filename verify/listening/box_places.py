"""Boxes by where they lie on the grid: *the box in the middle at the top*, *a corner box*."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cache
from itertools import product

from gridassay.encodings.grid import Canvas

_THIRDS = 3
_SIDES = {"top": (-1, 0), "bottom": (1, 0), "left": (0, -1), "right": (0, 1)}


def box_at(canvas: Canvas, place: int) -> str:
    """The box at one of nine places, counted along rows; empty if the boxes are not so arranged.

    With two boxes side by side there is no box in the middle.
    """
    boxes, rows, columns = _arrangement(canvas)
    down, along = divmod(place - 1, _THIRDS)
    at = _among(down, rows), _among(along, columns)
    return next((name for name, where in boxes.items() if where == at), "")


def corner_boxes(canvas: Canvas) -> tuple[str, ...]:
    """The boxes in the corners of the grid."""
    names = (box_at(canvas, place) for place in (1, 3, 7, 9))
    return tuple(name for name in names if name)


def beside_box(canvas: Canvas, box: str, side: str) -> str:
    """The box that lies at the edge of the grid beyond a box: ``box 2`` at the top of ``box 5``."""
    boxes, rows, columns = _arrangement(canvas)
    if box not in boxes or side not in _SIDES:
        return ""
    (down, along), (vertical, horizontal) = boxes[box], _SIDES[side]
    edge = {-1: 0, 1: rows - 1}.get(vertical, down), {-1: 0, 1: columns - 1}.get(horizontal, along)
    return next((name for name, where in boxes.items() if where == edge != (down, along)), "")


def box_along(canvas: Canvas, box: str, line: str) -> str:
    """The box that a row or column crosses on the side of the grid on which a box lies; else that box.

    In row 1, *the left-hand box* is the one in the top left corner.
    """
    boxes, _, _ = _arrangement(canvas)
    house = next((one for one in canvas.houses if one.name == line), None)
    if box not in boxes or house is None or house.kind not in ("row", "column"):
        return box
    crossed = {name: boxes[name] for name, cells in _boxes(canvas) if {*cells} & {*house.cells}}
    along = 1 if house.kind == "row" else 0
    same = [name for name, where in crossed.items() if where[along] == boxes[box][along]]
    return same[0] if same else box


def _among(third: int, count: int) -> int:
    """The number of the first, the middle or the last of some; -1 if there is no middle."""
    if third == 1:
        return count // 2 if count % 2 else -1
    return 0 if not third else count - 1


@cache
def _arrangement(canvas: Canvas) -> tuple[Mapping[str, tuple[int, int]], int, int]:
    """The boxes by their row and column of boxes, and how many of these there are."""
    first = {box: min(cells) for box, cells in _boxes(canvas)}
    rows = sorted({row for row, _ in first.values()})
    columns = sorted({column for _, column in first.values()})
    if len(first) != len(rows) * len(columns) or {*first.values()} != {*product(rows, columns)}:
        return {}, 0, 0
    places = {box: (rows.index(at[0]), columns.index(at[1])) for box, at in first.items()}
    return places, len(rows), len(columns)


def _boxes(canvas: Canvas) -> Iterator[tuple[str, list[tuple[int, int]]]]:
    for house in canvas.houses:
        if house.kind == "box":
            yield house.name, [(cell.row, cell.column) for cell in house.cells]
