"""Cells whose digits say how often, or where, a digit appears."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import ClassVar, Literal

from pydantic import Field

from gridassay.encodings.board import Board, Filled, Part
from gridassay.encodings.constraints import AllOf, AnyOf, Constraint, Count, In
from gridassay.encodings.grid import Cell
from gridassay.encodings.rules.base import Numbers, Shape, listing
from gridassay.encodings.rules.cell_marks import CellMarks
from gridassay.encodings.rules.extent import extent
from gridassay.encodings.rules.outside import Beside


class CountingCircles(CellMarks):
    """A digit in a marked cell appears in exactly that many marked cells. Drawn as circles.

    The cells of one rule are counted together, and those of another rule separately.

    Example: `kind = "counting-circles"`, `cells = "r1c1 r2c2 r3c3"`: one circle holds 1 and two
    hold 2, or all three hold 3.
    """

    kind: Literal["counting-circles"] = "counting-circles"

    together: ClassVar[bool] = True
    sentence: ClassVar[str] = "A digit in a circle appears in exactly that many circles."

    def holds(self, filled: Filled) -> bool:
        """Each digit appears as often as it says."""
        met = Counter(filled.digits(self.cells))
        return all(digit == times for digit, times in met.items())

    def parts(self, board: Board) -> Iterator[Part]:
        """One part per digit: it is in none of the cells, or in as many as it says."""
        for digit in board.canvas.digits:
            right = Count(self.cells, frozenset({digit}), frozenset({0, digit}))
            yield Part(f"counting circles {digit}", right)

    def shapes(self, board: Board) -> Iterator[Shape]:
        """Circles."""
        yield Shape("cell mark", self.cells, figure="circle")


class CountsNeighbours(CellMarks):
    """The digit in a marked cell is how many of its neighbours hold one of `digits`.

    Neighbours are the up to eight cells around it; with `around = "sides"` the up to four that share
    a side with it. This is about digits, not values. Drawn as a circle with the digits in it.

    Example: `kind = "counts-neighbours"`, `cells = "r1c1"`, `digits = [7, 8, 9]`: with 2 in r1c1 two
    of r1c2, r2c1 and r2c2 hold 7, 8 or 9.
    """

    kind: Literal["counts-neighbours"] = "counts-neighbours"
    digits: Numbers
    around: Literal["all", "sides"] = Field(
        default="all", description="all eight neighbours, or the four that share a side"
    )

    noun: ClassVar[str] = "neighbour count"
    sentence: ClassVar[str] = (
        "The digit in a circle marked with small digits tells how many of the cells around it hold one "
        "of them."
    )

    def wording(self) -> str:
        """Which neighbours are counted, and which digits."""
        listed = [str(digit) for digit in sorted(set(self.digits))]
        cells = "cells around it" if self.around == "all" else "cells that share a side with it"
        return (
            f"The digit in a circle marked {' '.join(listed)} tells how many of the {cells} hold "
            f"{listing(listed, 'or')}."
        )

    @property
    def seen_as(self) -> str:
        """Its digits; the picture does not show which neighbours are counted."""
        return f"{self.kind} {self.sign()}"

    def holds(self, filled: Filled) -> bool:
        """Each marked digit is the number of listed digits around it."""
        reach = 2 if self.around == "all" else 1
        for cell in self.cells:
            met = 0
            for other in filled.board.canvas.cells:
                down, right = abs(other.row - cell.row), abs(other.column - cell.column)
                near = max(down, right) == 1 and down + right <= reach
                met += near and filled[other] in self.digits
            if filled[cell] != met:
                return False
        return True

    def parts(self, board: Board) -> Iterator[Part]:
        """One part per marked cell: as many of its neighbours as its digit hold one of the digits."""
        steps = [(down, right) for down in (-1, 0, 1) for right in (-1, 0, 1) if down or right]
        for cell in self.cells:
            near = [cell.step(*step) for step in steps if self.around == "all" or 0 in step]
            inside = tuple(other for other in near if other in board.canvas.index)
            told: list[Constraint] = []
            for digit in board.canvas.digits:
                no = In(cell, frozenset({digit}), inside=False)
                met = Count(inside, frozenset(self.digits), frozenset({digit}))
                told.append(AnyOf((no, met)) if digit <= len(inside) else no)
            yield Part(f"{self.kind} {cell}", AllOf(tuple(told)))

    def shapes(self, board: Board) -> Iterator[Shape]:
        """Circles with the digits."""
        yield Shape("cell mark", self.cells, self.sign(), figure="circle")

    def sign(self) -> str:
        """Its digits."""
        return " ".join(str(digit) for digit in sorted(set(self.digits)))


class Indexing(Beside):
    """The digits of a column (or row) say in which column (or row) its own number is.

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
        """Words for what the digits of its line say."""
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
        """Each digit is the place, in its row or column, of the cell with the line's number."""
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
        """One part per cell of the line: the number is where its digit says."""
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
            yield Part(f"{self.part_name(board)} {cell}", AllOf(tuple(told)))

    def shapes(self, board: Board) -> Iterator[Shape]:
        """A shade over its line."""
        yield Shape("cell mark", self.reading(board), figure="shade")
