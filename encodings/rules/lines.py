"""Lines that order their cells: thermometers and their kin."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import ClassVar, Literal

from gridassay.encodings.board import Board, Filled, Part
from gridassay.encodings.constraints import Compare
from gridassay.encodings.grid import Cell
from gridassay.encodings.rules.base import (
    Cells,
    Rule,
    Shape,
    distinct_cells,
    length_between,
    spell,
)


class Line(Rule):
    """Base of the rules on a line of cells, each listed once."""

    cells: Cells

    shortest: ClassVar[int] = 2

    def where(self) -> tuple[Cell, ...]:
        """Its cells in order."""
        return self.cells

    def check(self, board: Board) -> None:
        """The cells are on the canvas, none twice, and enough of them."""
        super().check(board)
        distinct_cells(self.cells)
        length_between(self.cells, self.shortest)

    def shapes(self, board: Board) -> Iterator[Shape]:
        """A line through its cells."""
        yield Shape("line", self.cells)


class Thermometer(Line):
    """Values rise strictly along the line, from the bulb in the first cell.

    Example: `kind = "thermometer"`, `cells = "r1c1..r1c9"` in a 9×9 grid is 1 to 9 in order.
    """

    kind: Literal["thermometer"] = "thermometer"

    sentence: ClassVar[str] = "Digits rise along a thermometer, starting at its bulb."

    def holds(self, filled: Filled) -> bool:
        """Each value is less than the next."""
        return all(a < b for a, b in pairwise(filled.values(self.cells)))

    def parts(self, board: Board) -> Iterator[Part]:
        """One part a pair of neighbours."""
        for cells in pairwise(self.cells):
            less, more = board.values(cells)
            yield Part(f"thermometer {spell(cells)}", Compare(less, "<=", more, -1))

    def shapes(self, board: Board) -> Iterator[Shape]:
        """A line with a bulb."""
        yield Shape("line", self.cells, first_end="bulb")
