"""The room in a cell: what its edges and corners leave free, and the places of candidates."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from math import ceil, isqrt
from typing import NamedTuple

from gridassay.encodings.grid import Canvas, Cell
from gridassay.encodings.rules.base import Shape
from gridassay.verify.draw.frame import Frame
from gridassay.verify.draw.shapes import (
    CAGE_LABEL_END,
    CELL_LABEL_TOP,
    corner_reach,
    edge_reach,
)

RING = 0.46
"""The radius of a ring round a candidate in shares of the way to the next, and its line's width."""
RING_LINE = 0.05


class Room(NamedTuple):
    """The free part of a cell: its sides in shares of the cell's width and height."""

    left: float = 0.06
    top: float = 0.07
    right: float = 0.94
    bottom: float = 0.93

    def without(self, left: float = 0, top: float = 0, right: float = 0, bottom: float = 0) -> Room:
        """The room left after taking a share from each side of the cell."""
        return Room(
            max(self.left, left),
            max(self.top, top),
            min(self.right, 1 - right),
            min(self.bottom, 1 - bottom),
        )


WHOLE = Room()
"""The room of a cell in which nothing is drawn at the edges."""


def rooms(shapes: Iterable[Shape]) -> dict[Cell, Room]:
    """The room in every cell that has less than the whole, for totals, dots, signs and tags."""
    found: dict[Cell, Room] = {}

    def take(cell: Cell, **sides: float) -> None:
        found[cell] = found.get(cell, WHOLE).without(**sides)

    for shape in shapes:
        if shape.form == "cage" and shape.label:
            take(min(shape.cells), top=CAGE_LABEL_END)
        elif shape.form == "cell mark" and shape.label:
            for cell in shape.cells:
                take(cell, bottom=1 - CELL_LABEL_TOP)
        elif shape.form in ("edge mark", "corner mark"):
            row = sum(cell.row for cell in shape.cells) / len(shape.cells)
            column = sum(cell.column for cell in shape.cells) / len(shape.cells)
            if shape.form == "edge mark":
                across, down = edge_reach(shape)
            else:
                across = down = corner_reach(shape)
            for cell in shape.cells:
                take(
                    cell,
                    left=across if column < cell.column else 0,
                    right=across if column > cell.column else 0,
                    top=down if row < cell.row else 0,
                    bottom=down if row > cell.row else 0,
                )
    return found


@dataclass(frozen=True)
class CandidatePlaces:
    """The places of candidates: each digit has its own place, in rows across the room of its cell.

    ``wide`` is the number in a row, and ``high`` the number of rows.
    """

    digits: tuple[int, ...]
    frame: Frame
    wide: int
    high: int
    rooms: Mapping[Cell, Room]

    @classmethod
    def of(cls, canvas: Canvas, frame: Frame, free: Mapping[Cell, Room]) -> CandidatePlaces:
        """The places for a canvas whose cells have this room, if they have less than the whole cell."""
        wide = isqrt(max(0, len(canvas.digits) - 1)) + 1
        high = ceil(len(canvas.digits) / wide)
        return cls(canvas.digits, frame, wide, high, free)

    def room(self, cell: Cell) -> Room:
        """The free part of a cell."""
        return self.rooms.get(cell, WHOLE)

    def of_digit(self, cell: Cell, digit: int) -> tuple[float, float, float]:
        """The centre of a candidate, and the distance to the nearest other centre."""
        row, column = divmod(self.digits.index(digit), self.wide)
        room = self.room(cell)
        across = (room.right - room.left) / self.wide
        down = (room.bottom - room.top) / self.high
        x, y = self.frame.within(
            cell, room.left + across * (column + 0.5), room.top + down * (row + 0.5)
        )
        return x, y, min(across, down) * self.frame.size

    def size(self, pitch: float) -> float:
        """The size of candidates at this distance: small enough for a ring round each.

        Letters are wider than figures.
        """
        return (0.86 if len(self.digits) < 10 else 0.74) * pitch
