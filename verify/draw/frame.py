"""From cells to millimetres."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from gridassay.encodings.grid import Cell
from gridassay.verify.draw.marks import Point


@dataclass(frozen=True)
class Frame:
    """A raster of square cells of ``size`` millimetres whose first cell begins at left and top."""

    size: float
    left: float = 0
    top: float = 0

    def point(self, column: float, row: float) -> Point:
        """A place counted in cells from the top left corner."""
        return self.left + column * self.size, self.top + row * self.size

    def points(self, places: Iterable[tuple[float, float]]) -> tuple[Point, ...]:
        """Several such places."""
        return tuple(self.point(column, row) for column, row in places)

    def within(self, cell: Cell, right: float = 0.5, down: float = 0.5) -> Point:
        """A place inside a cell, in shares of its width and height; its centre by default."""
        return self.point(cell.column - 1 + right, cell.row - 1 + down)
