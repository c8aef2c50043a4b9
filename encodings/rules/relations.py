"""A relation of the setter's own: a formula over listed cells, or over every neighbourhood."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import lru_cache
from typing import ClassVar, Literal

from pydantic import Field

from gridassay.encodings.board import Board, Filled, Part
from gridassay.encodings.constraints import AllOf, AnyOf, Constraint, Table
from gridassay.encodings.formulas import Formula, FormulaError, parse, tuples
from gridassay.encodings.grid import Cell
from gridassay.encodings.rules.base import (
    Cells,
    Rule,
    RuleError,
    Shape,
    distinct_cells,
    length_between,
    spell,
)

LETTERS = "abcdefghijklmnopqrstuvwxyz"

Each = Literal[
    "row neighbours",
    "column neighbours",
    "orthogonal neighbours",
    "diagonal neighbours",
    "2x2 squares",
    "rows",
    "columns",
    "boxes",
]

_STEPS: dict[str, tuple[tuple[int, int], ...]] = {
    "row neighbours": ((0, 1),),
    "column neighbours": ((1, 0),),
    "orthogonal neighbours": ((0, 1), (1, 0)),
    "diagonal neighbours": ((1, -1), (1, 1)),
}
"""From the first cell of a pair, left or above, to the second."""


class Relation(Rule):
    """The formula is true of the cells: letters name them in order, `a` the first.

    `holds` is the formula: whole numbers, `+ - * // % **`, comparisons (in chains too), `and`, `or`,
    `not`, `abs`, `min`, `max` and brackets, reckoned in exact rationals. Where an operation is
    undefined, as a division by 0 is, the whole formula is false. A letter is the value of its cell:
    the digit, or twice that where the cell counts double.

    Instead of `cells`, `each` states the formula of every neighbourhood of a sort: pairs of row,
    column, orthogonal or diagonal neighbours (once each, the left one first, or the upper one where
    they are in different rows), 2x2 squares, rows, columns, or boxes (regions where there are
    these), cells in reading order. On several grids `grid` picks one; without it all are meant.

    The formula becomes a table of all values it allows, so the letters in it are limited: at most
    200,000 choices of their values, 5 letters of 9 digits.

    Example: `kind = "relation"`, `cells = "r1c1 r2c2 r3c3"`, `holds = "a + c == 2*b"` makes r2c2 the
    mean of the other two. `each = "row neighbours"`, `holds = "abs(a - b) != 1"` keeps consecutive
    digits apart in all rows.
    """

    kind: Literal["relation"] = "relation"
    cells: Cells | None = None
    each: Each | None = Field(default=None, description="every neighbourhood of a sort")
    formula: str = Field(alias="holds", description="a formula, such as 'a + b == 2*c'")
    grid: str | None = Field(default=None, description="with each: the grid's name")

    sentence: ClassVar[str] = "The marked cells keep a relation of the setter's own."

    def wording(self) -> str:
        """The formula with the cells its letters name."""
        if self.each is not None:
            return f"In all {self.each}, with cells a, b, … in reading order: {self.formula}."
        names = ", ".join(LETTERS[: len(self.cells or ())])
        return f"In the marked cells {names}: {self.formula}."

    def where(self) -> tuple[Cell, ...]:
        """Its cells; none where it is about neighbourhoods."""
        return self.cells or ()

    def place(self) -> str:
        """Its cells or sort of neighbourhood, and the formula."""
        where = spell(self.cells) if self.cells is not None else f"{self.each}"
        where = where if self.grid is None else f"{where} of {self.grid}"
        return f"{where}: {self.formula}"

    def check(self, board: Board) -> None:
        """Cells or a neighbourhood are given, and a formula that they fit."""
        super().check(board)
        if (self.cells is None) is (self.each is None):
            raise RuleError("give cells or each, one of the two")
        if self.cells is not None:
            if self.grid is not None:
                raise RuleError("grid goes with each, not with cells", key="grid")
            length_between(self.cells, 1, len(LETTERS))
            distinct_cells(self.cells)
        for size in sorted({len(cells) for cells in self.neighbourhoods(board)}):
            if size > len(LETTERS):
                raise RuleError(
                    f"each: {self.each} have {size} cells, and letters name {len(LETTERS)} at most",
                    key="each",
                )
            try:
                formula = _parsed(self.formula, size)
                _allowed(formula, board.value_domain)
            except FormulaError as error:
                raise RuleError(f"holds: {error}", key="holds") from None

    def neighbourhoods(self, board: Board) -> list[tuple[Cell, ...]]:
        """The cells of each time that the formula is stated."""
        if self.each is None:
            return [self.cells or ()]
        canvas = board.canvas
        if self.each in ("rows", "columns", "boxes"):
            found = [
                cells
                for grid in ([canvas.grid(self.grid)] if self.grid else canvas.grids)
                for cells in {
                    "rows": grid.rows,
                    "columns": grid.columns,
                    "boxes": tuple(area.cells for area in grid.areas),
                }[self.each]
            ]
            if not found:
                raise RuleError(f"each: there are no {self.each} here", key="each")
            return list(dict.fromkeys(found))
        inside = canvas.grid(self.grid).cells if self.grid else canvas.cells
        return list(_close(inside, self.each))

    def holds(self, filled: Filled) -> bool:
        """The formula is true of each neighbourhood's values."""
        return all(
            _parsed(self.formula, len(cells)).true_for(filled.values(cells))
            for cells in self.neighbourhoods(filled.board)
        )

    def parts(self, board: Board) -> Iterator[Part]:
        """One part a neighbourhood."""
        for cells in self.neighbourhoods(board):
            formula = _parsed(self.formula, len(cells))
            rows = _allowed(formula, board.value_domain)
            used = [cells[LETTERS.index(letter)] for letter in formula.names]
            constraint: Constraint = Table(board.values(used), rows)
            if not used:
                constraint = AllOf(()) if rows else AnyOf(())
            yield Part(f"relation {spell(cells)}", constraint)

    def shapes(self, board: Board) -> Iterator[Shape]:
        """A line through listed cells; nothing for neighbourhoods."""
        yield Shape("grid") if self.cells is None else Shape("line", self.cells)


def _close(inside: Sequence[Cell], each: str) -> Iterator[tuple[Cell, ...]]:
    """The 2x2 squares or pairs of neighbours among the cells."""
    known = frozenset(inside)
    steps = _STEPS.get(each, ())
    shapes = [(step,) for step in steps] if steps else [((0, 1), (1, 0), (1, 1))]
    for cell in inside:
        for shape in shapes:
            others = tuple(cell.step(*step) for step in shape)
            if known.issuperset(others):
                yield cell, *others


@lru_cache(maxsize=256)
def _parsed(text: str, cells: int) -> Formula:
    return parse(text, LETTERS[:cells])


@lru_cache(maxsize=16)
def _allowed(formula: Formula, domain: tuple[int, ...]) -> frozenset[tuple[int, ...]]:
    """The values of the cells that the formula names for which it is true."""
    if not formula.names:
        return frozenset({()} if formula.true_for([0] * len(formula.letters)) else ())
    named = parse(formula.text, formula.names)
    return frozenset(tuples(named, [domain] * len(formula.names)))
