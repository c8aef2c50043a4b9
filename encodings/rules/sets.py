"""Sets of cells: all different, or the same as another set."""

from __future__ import annotations

from collections.abc import Iterator
from typing import ClassVar, Literal

from gridassay.encodings.board import Board, Filled, Part, each_once
from gridassay.encodings.constraints import Compare
from gridassay.encodings.grid import Cell
from gridassay.encodings.rules.base import (
    Cells,
    Rule,
    RuleError,
    Shape,
    distinct_cells,
    length_between,
    listing,
    spell,
)


class DifferentCells(Rule):
    """The cells hold no digit twice; with as many cells as digits, they hold each digit once.

    Example: `kind = "all-different"`, `cells = "r1c1 r2c2 r3c3 r4c4"` in a 4×4 grid: 1 to 4 in
    some order.
    """

    kind: Literal["all-different"] = "all-different"
    cells: Cells

    noun: ClassVar[str] = "all-different area"
    sentence: ClassVar[str] = "No digit repeats in an outlined area."

    def where(self) -> tuple[Cell, ...]:
        """Its cells."""
        return self.cells

    def check(self, board: Board) -> None:
        """There are two cells or more, none listed twice."""
        super().check(board)
        length_between(self.cells, 2)
        distinct_cells(self.cells)

    def holds(self, filled: Filled) -> bool:
        """No digit twice."""
        digits = filled.digits(self.cells)
        return len(set(digits)) == len(digits)

    def parts(self, board: Board) -> Iterator[Part]:
        """One part."""
        yield Part(f"all-different {spell(self.cells)}", each_once(board.canvas, self.cells))

    def shapes(self, board: Board) -> Iterator[Shape]:
        """An outline."""
        yield Shape("cage", self.cells)


class Copy(Rule):
    """The cells hold the same digits as the cells of `of`, one by one in order.

    Example: `kind = "copy"`, `cells = "r1c1 r1c2"`, `of = "r5c5 r5c6"`: with 3 in r5c5, r1c1 is 3.
    """

    kind: Literal["copy"] = "copy"
    cells: Cells
    of: Cells

    together: ClassVar[bool] = True
    sentence: ClassVar[str] = (
        "Two outlined areas of the same shape hold the same digits in the same places."
    )

    def wording(self) -> str:
        """The sentence: area by area if they have the same shape, else cell by cell."""
        steps = {
            (b.row - a.row, b.column - a.column) for a, b in zip(self.cells, self.of, strict=False)
        }
        if len(steps) == 1:
            return self.sentence
        pairs = [f"{a} and {b}" for a, b in zip(self.cells, self.of, strict=False)]
        return f"The same digit stands in {listing(pairs, 'and in')}."

    @property
    def seen_as(self) -> str:
        """Two areas, or the cells that its sentence names."""
        return self.wording()

    def site(self) -> str:
        """Both areas."""
        return f"{spell(self.cells)} as in {spell(self.of)}"

    def where(self) -> tuple[Cell, ...]:
        """The cells, then those they copy."""
        return self.cells + self.of

    def place(self) -> str:
        """Both areas."""
        return f"{spell(self.cells)} of {spell(self.of)}"

    def check(self, board: Board) -> None:
        """The areas have the same number of cells, and no cell copies itself."""
        super().check(board)
        length_between(self.cells, 1)
        distinct_cells(self.cells)
        distinct_cells(self.of, "of")
        if len(self.cells) != len(self.of):
            raise RuleError(f"cells lists {len(self.cells)}, and of lists {len(self.of)}", key="of")
        for cell, other in zip(self.cells, self.of, strict=True):
            if cell == other:
                raise RuleError(f"{cell} is its own copy")

    def holds(self, filled: Filled) -> bool:
        """The digits of both areas agree in order."""
        return filled.digits(self.cells) == filled.digits(self.of)

    def parts(self, board: Board) -> Iterator[Part]:
        """One part per cell and its copy."""
        for cell, other in zip(self.cells, self.of, strict=True):
            yield Part(f"copy {cell} {other}", Compare(cell, "==", other))

    def shapes(self, board: Board) -> Iterator[Shape]:
        """An outline round each area."""
        yield Shape("cage", self.cells)
        yield Shape("cage", self.of)
