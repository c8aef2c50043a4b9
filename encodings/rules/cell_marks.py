"""Marks in cells: which digits a cell may hold, or how it compares with its neighbours."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import ClassVar, Literal

from gridassay.encodings.board import Board, Filled, Part
from gridassay.encodings.constraints import Compare, Constraint, In, Variable
from gridassay.encodings.grid import Cell
from gridassay.encodings.rules.base import (
    Cells,
    Numbers,
    Rule,
    Shape,
    distinct_cells,
    length_between,
)


class CellMarks(Rule):
    """Base of the rules that mark single cells."""

    cells: Cells

    def where(self) -> tuple[Cell, ...]:
        """The marked cells."""
        return self.cells

    def check(self, board: Board) -> None:
        """There is a cell, and none is listed twice."""
        super().check(board)
        length_between(self.cells, 1)
        distinct_cells(self.cells)


class DigitMarks(CellMarks):
    """Base of the marks that limit the digits of a cell."""

    def allowed(self, digits: Sequence[int]) -> Sequence[int]:
        """The digits of the canvas, in rising order, that a marked cell may hold."""
        raise NotImplementedError

    def parts(self, board: Board) -> Iterator[Part]:
        """One part per cell."""
        allowed = frozenset(self.allowed(board.canvas.digits))
        for cell in self.cells:
            yield Part(f"{self.kind} {cell}", In(cell, allowed))


class Even(DigitMarks):
    """The marked cells hold even digits. Drawn as a square.

    Example: `kind = "even"`, `cells = "r1c1"`: r1c1 is 2, 4, 6 or 8.
    """

    kind: Literal["even"] = "even"

    noun: ClassVar[str] = "even mark"
    sentence: ClassVar[str] = "A cell with a square holds an even digit."

    def holds(self, filled: Filled) -> bool:
        """Every digit is even."""
        return not any(digit % 2 for digit in filled.digits(self.cells))

    def allowed(self, digits: Sequence[int]) -> Sequence[int]:
        """The even ones."""
        return [digit for digit in digits if digit % 2 == 0]

    def shapes(self, board: Board) -> Iterator[Shape]:
        """Squares."""
        yield Shape("cell mark", self.cells, figure="square")


class Odd(DigitMarks):
    """The marked cells hold odd digits. Drawn as a disc.

    Example: `kind = "odd"`, `cells = "r1c1"`: r1c1 is 1, 3, 5, 7 or 9.
    """

    kind: Literal["odd"] = "odd"

    noun: ClassVar[str] = "odd mark"
    sentence: ClassVar[str] = "A cell with a shaded disc holds an odd digit."

    def holds(self, filled: Filled) -> bool:
        """Every digit is odd."""
        return all(digit % 2 for digit in filled.digits(self.cells))

    def allowed(self, digits: Sequence[int]) -> Sequence[int]:
        """The odd ones."""
        return [digit for digit in digits if digit % 2 == 1]

    def shapes(self, board: Board) -> Iterator[Shape]:
        """Discs."""
        yield Shape("cell mark", self.cells, figure="disc")


class Low(DigitMarks):
    """The marked cells hold digits of the lower half; the middle one of an odd number is in neither.

    Example: `kind = "low"`, `cells = "r1c1"` in a 9×9 grid: r1c1 is 1, 2, 3 or 4.
    """

    kind: Literal["low"] = "low"

    noun: ClassVar[str] = "low mark"
    sentence: ClassVar[str] = (
        "A cell with ↓ holds a digit of the lower half; the middle digit is in neither half."
    )

    def holds(self, filled: Filled) -> bool:
        """More digits are greater than the one in a cell than are smaller."""
        digits = filled.board.canvas.digits
        return all(
            sum(d > digit for d in digits) > sum(d < digit for d in digits)
            for digit in filled.digits(self.cells)
        )

    def allowed(self, digits: Sequence[int]) -> Sequence[int]:
        """The first half."""
        return digits[: len(digits) // 2]

    def shapes(self, board: Board) -> Iterator[Shape]:
        """Arrows down."""
        yield Shape("cell mark", self.cells, "↓")


class High(DigitMarks):
    """The marked cells hold digits of the upper half; the middle one of an odd number is in neither.

    Example: `kind = "high"`, `cells = "r1c1"` in a 9×9 grid: r1c1 is 6, 7, 8 or 9.
    """

    kind: Literal["high"] = "high"

    noun: ClassVar[str] = "high mark"
    sentence: ClassVar[str] = (
        "A cell with ↑ holds a digit of the upper half; the middle digit is in neither half."
    )

    def holds(self, filled: Filled) -> bool:
        """More digits are smaller than the one in a cell than are greater."""
        digits = filled.board.canvas.digits
        return all(
            sum(d < digit for d in digits) > sum(d > digit for d in digits)
            for digit in filled.digits(self.cells)
        )

    def allowed(self, digits: Sequence[int]) -> Sequence[int]:
        """The last half."""
        return digits[(len(digits) + 1) // 2 :]

    def shapes(self, board: Board) -> Iterator[Shape]:
        """Arrows up."""
        yield Shape("cell mark", self.cells, "↑")


class Among(DigitMarks):
    """The marked cells hold one of `digits`.

    Example: `kind = "among"`, `cells = "r1c1 r1c2"`, `digits = [3, 7]`: each of the two is 3 or 7.
    """

    kind: Literal["among"] = "among"
    digits: Numbers

    noun: ClassVar[str] = "choice of digits"
    sentence: ClassVar[str] = "A cell with small digits holds one of them."

    def holds(self, filled: Filled) -> bool:
        """Each is listed."""
        return all(digit in self.digits for digit in filled.digits(self.cells))

    def allowed(self, digits: Sequence[int]) -> Sequence[int]:
        """The listed ones."""
        return [digit for digit in digits if digit in self.digits]

    def shapes(self, board: Board) -> Iterator[Shape]:
        """The digits, small."""
        yield Shape("cell mark", self.cells, self.sign())

    def sign(self) -> str:
        """Its digits."""
        return " ".join(map(str, self.digits))


class NeighbourMarks(CellMarks):
    """Base of the marks that compare a cell with its orthogonal neighbours.

    Neighbours that a rule of the same kind lists, this one or another, are left out.
    """

    def alike(self, board: Board) -> set[Cell]:
        """The cells that some rule of its kind lists."""
        drawn = {cell for kind, cells in board.drawn if kind == self.kind for cell in cells}
        return drawn.union(self.cells)

    def comparisons(self, filled: Filled) -> Iterator[tuple[int, int]]:
        """The value of each marked cell with the value of each unmarked neighbour."""
        alike = self.alike(filled.board)
        for cell in self.cells:
            for other in filled.board.canvas.cells:
                apart = abs(cell.row - other.row) + abs(cell.column - other.column)
                if apart == 1 and other not in alike:
                    yield filled.value(cell), filled.value(other)

    @staticmethod
    def order(marked: Variable, other: Variable) -> Constraint:
        """How a marked cell compares with an unmarked neighbour."""
        raise NotImplementedError

    def parts(self, board: Board) -> Iterator[Part]:
        """One part per marked cell and unmarked neighbour."""
        alike = self.alike(board)
        for cell in self.cells:
            for other in board.canvas.neighbours(cell):
                if other not in alike:
                    order = self.order(board.value(cell), board.value(other))
                    yield Part(f"{self.kind} {cell}–{other}", order)


class BelowNeighbours(NeighbourMarks):
    """A marked cell is less than each orthogonal neighbour without the same mark.

    Cells listed by any rule of this kind are not compared with one another. Drawn as a minus sign.

    Example: `kind = "below-neighbours"`, `cells = "r1c1"`: with 3 in r1c2, r1c1 is 1 or 2.
    """

    kind: Literal["below-neighbours"] = "below-neighbours"

    noun: ClassVar[str] = "minus mark"
    sentence: ClassVar[str] = (
        "The digit in a cell with − is less than those in all cells without − that share a side with it."
    )

    def holds(self, filled: Filled) -> bool:
        """Its value is less than all of theirs."""
        return all(own < other for own, other in self.comparisons(filled))

    @staticmethod
    def order(marked: Variable, other: Variable) -> Constraint:
        """Less."""
        return Compare(marked, "<=", other, -1)

    def shapes(self, board: Board) -> Iterator[Shape]:
        """A minus sign in each."""
        yield Shape("cell mark", self.cells, "−")


class AboveNeighbours(NeighbourMarks):
    """A marked cell is greater than each orthogonal neighbour without the same mark.

    Cells listed by any rule of this kind are not compared with one another. Drawn as a plus sign.

    Example: `kind = "above-neighbours"`, `cells = "r1c1"`: with 7 in r1c2, r1c1 is 8 or 9.
    """

    kind: Literal["above-neighbours"] = "above-neighbours"

    noun: ClassVar[str] = "plus mark"
    sentence: ClassVar[str] = (
        "The digit in a cell with + is greater than those in all cells without + that share a side "
        "with it."
    )

    def holds(self, filled: Filled) -> bool:
        """Its value is greater than all of theirs."""
        return all(own > other for own, other in self.comparisons(filled))

    @staticmethod
    def order(marked: Variable, other: Variable) -> Constraint:
        """Greater."""
        return Compare(other, "<=", marked, -1)

    def shapes(self, board: Board) -> Iterator[Shape]:
        """A plus sign in each."""
        yield Shape("cell mark", self.cells, "+")
