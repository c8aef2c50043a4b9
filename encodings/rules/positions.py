"""Cells whose digits speak of how often, or where, a digit stands."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import ClassVar, Literal

from gridassay.encodings.board import Board, Filled, Part
from gridassay.encodings.constraints import AllOf, AnyOf, Constraint, Count, In
from gridassay.encodings.grid import Cell
from gridassay.encodings.rules.base import Shape
from gridassay.encodings.rules.cell_marks import CellMarks
from gridassay.encodings.rules.extent import extent
from gridassay.encodings.rules.outside import Beside


class CountingCircles(CellMarks):
    """A digit in a marked cell stands in exactly that many marked cells. Drawn as circles.

    The cells of one rule are counted together, those of another for themselves.

    Example: `kind = "counting-circles"`, `cells = "r1c1 r2c2 r3c3"`: one circle holds 1 and two
    hold 2, or all three hold 3.
    """

    kind: Literal["counting-circles"] = "counting-circles"

    together: ClassVar[bool] = True
    sentence: ClassVar[str] = "A digit in a circle appears in exactly that many circles."

    def holds(self, filled: Filled) -> bool:
        """Each digit met is met as often as it says."""
        met = Counter(filled.digits(self.cells))
        return all(digit == times for digit, times in met.items())

    def parts(self, board: Board) -> Iterator[Part]:
        """One part a digit: it is in none of the cells, or in as many as it says."""
        for digit in board.canvas.digits:
            right = Count(self.cells, frozenset({digit}), frozenset({0, digit}))
            yield Part(f"counting circles {digit}", right)

    def shapes(self, board: Board) -> Iterator[Shape]:
        """Circles."""
        yield Shape("cell mark", self.cells, figure="circle")


class Indexing(Beside):
    """A column (or row) whose digits tell in which column (or row) its own number stands.

    `line = "c4"`: the digit d of a cell in column 4 says that the 4 of its row is in column d.
    `line = "r4"`: the digit d of a cell in row 4 says that the 4 of its column is in row d. Rows
    and columns are counted in the grid, from 1.

    Example: `kind = "indexing"`, `line = "c1"`: with 5 in r3c1, r3c5 is 1.
    """

    kind: Literal["indexing"] = "indexing"

    noun: ClassVar[str] = "indexing line"
    sentence: ClassVar[str] = (
        "Each digit of a shaded column (or row) tells in which column (or row) its number stands."
    )

    def wording(self) -> str:
        """What the digits of its line tell."""
        own, across = ("column", "row") if self.line[0] in "cC" else ("row", "column")
        grid = "" if self.grid is None else f" of grid {self.grid}"
        return (
            f"In {own} {self.number}{grid}, each digit tells in which {own} the {self.number} of its "
            f"{across} stands."
        )

    @property
    def seen_as(self) -> str:
        """Its row or column, which its sentence names."""
        return self.wording()

    @property
    def number(self) -> int:
        """The number of its row or column, the digit that is looked for."""
        return int(self.line[1:])

    def holds(self, filled: Filled) -> bool:
        """Each digit is the place, in its row or column, of a cell with the line's number."""
        corner, _, _, cells = extent(filled.board.canvas, self.grid)
        for cell in cells:
            if self.line[0] in "cC" and cell.column - corner.column + 1 == self.number:
                told = Cell(cell.row, corner.column + filled[cell] - 1)
            elif self.line[0] in "rR" and cell.row - corner.row + 1 == self.number:
                told = Cell(corner.row + filled[cell] - 1, cell.column)
            else:
                continue
            if told not in cells or filled[told] != self.number:
                return False
        return True

    def parts(self, board: Board) -> Iterator[Part]:
        """One part a cell of the line: whatever its digit, the number is where it tells."""
        corner, _, _, cells = extent(board.canvas, self.grid)
        number = frozenset({self.number})
        for cell in self.reading(board):
            told: list[Constraint] = []
            for digit in board.canvas.digits:
                along = cell._replace(column=corner.column + digit - 1)
                down = cell._replace(row=corner.row + digit - 1)
                target = along if self.line[0] in "cC" else down
                no = In(cell, frozenset({digit}), inside=False)
                told.append(AnyOf((no, In(target, number))) if target in cells else no)
            yield Part(f"{self.named(board)} {cell}", AllOf(tuple(told)))

    def shapes(self, board: Board) -> Iterator[Shape]:
        """A shade over its line."""
        yield Shape("cell mark", self.reading(board), figure="shade")
