"""Clues outside the grid that total or list cells: little killer, head sum, head digits.

Also the code that every clue next to a row or column shares; the clues that must be read cell by
cell are in ``outside_readings.py``.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Mapping
from typing import Annotated, ClassVar, Literal

from pydantic import BeforeValidator, Field

from gridassay.encodings.board import Board, Filled, Part
from gridassay.encodings.constraints import Count
from gridassay.encodings.grid import Canvas, Cell, Grid, symbol
from gridassay.encodings.rules.base import Cells, Clue, Rule, RuleError, Shape
from gridassay.encodings.wording import quantity

Side = Literal["left", "right", "top", "bottom"]


class Beside(Rule):
    """Base of the clues next to a row or column: ``line`` is ``r3`` or ``c5``.

    Rows and columns are counted within their grid, as the names of houses are; on a canvas without
    grids they are those of the canvas.
    """

    line: str = Field(description="r3 for row 3, c5 for column 5")
    grid: str | None = Field(default=None, description="the grid's name, where there are several")

    @property
    def seen_as(self) -> str:
        """A number outside the grid."""
        return "outside"

    def site(self) -> str:
        """Its row or column."""
        along = "row" if self.line[0] in "rR" else "column"
        of = "" if self.grid is None else f" of {self.grid}"
        return f"{along} {int(self.line[1:])}{of}"

    def place(self) -> str:
        """Its row or column."""
        return self.line if self.grid is None else f"{self.line} of {self.grid}"

    def check(self, board: Board) -> None:
        """There is such a row or column."""
        self.reading(board)

    def backwards(self) -> bool:
        """Whether it is read from the right or the bottom."""
        return False

    def reading(self, board: Board) -> tuple[Cell, ...]:
        """The cells of its row or column in the order in which the clue reads them."""
        cells = _line(board.canvas, self.line, self.grid)
        return cells[::-1] if self.backwards() else cells

    def part_name(self, board: Board) -> str:
        """The name of its part: ``sandwich row 3``."""
        along = "row" if self.line[0] in "rR" else "column"
        name = f"{self.kind} {along} {int(self.line[1:])}"
        return name if len(board.canvas.grids) < 2 else f"{name} of {self.grid}"

    def shape(self, cells: tuple[Cell, ...], label: str) -> Shape:
        """A mark next to the first of the cells that it reads."""
        sign = -1 if self.backwards() else 1
        return Shape("outside", cells, label, (0, sign) if self.line[0] in "rR" else (sign, 0))


class FromSide(Beside):
    """Base of the clues that are read from one side."""

    side: Side = Field(description="the side it is read from")

    def site(self) -> str:
        """Its row or column and side."""
        return f"{super().site()} from the {self.side}"

    def place(self) -> str:
        """Its row or column and side."""
        return " ".join((super().place(), self.side))

    def check(self, board: Board) -> None:
        """There is such a row or column, and it begins on that side."""
        super().check(board)
        row = self.line[0] in "rR"
        if (self.side in ("left", "right")) is not row:
            sides = "left or right" if row else "top or bottom"
            raise RuleError(
                f"side: {self.line} is read from {sides}, not from {self.side}", key="side"
            )

    def backwards(self) -> bool:
        """Whether it is read from the right or the bottom."""
        return self.side in ("right", "bottom")

    def part_name(self, board: Board) -> str:
        """The name of its part: ``x-sum row 3 from left``."""
        return f"{super().part_name(board)} from {self.side}"


class Head(FromSide):
    """Base of the clues on the first ``length`` cells; by default, as many as a box is wide or high."""

    length: int | None = Field(
        default=None, ge=1, description="how many cells; the box's width or height by default"
    )

    def check(self, board: Board) -> None:
        """Its length is given if there are no boxes, and the line has that many cells."""
        super().check(board)
        reach, cells = self.reach(board), self.reading(board)
        if reach > len(cells):
            raise RuleError(
                f"length: {self.line} has {len(cells)} cells, not {reach}", key="length"
            )

    def reach(self, board: Board) -> int:
        """The number of cells that it is about."""
        if self.length is not None:
            return self.length
        grids = board.canvas.grids
        box = board.canvas.grid(self.grid).box if grids else None
        if box is None:
            raise RuleError("length is missing, but there are no boxes to take it from")
        return box[1] if self.line[0] in "rR" else box[0]

    def head(self, board: Board) -> tuple[Cell, ...]:
        """The cells it is about, from its side."""
        return self.reading(board)[: self.reach(board)]


class HeadSum(Head):
    """The first ``length`` cells of a row or column, from one side, total ``sum``.

    Without ``length`` they are the cells inside the first box: as many as a box is wide for a row,
    as many as it is high for a column. The sum may be a letter.

    Example: `kind = "head-sum"`, `line = "r1"`, `side = "left"`, `sum = 6` in a 9×9 grid puts 1, 2
    and 3 into r1c1, r1c2 and r1c3 in some order.
    """

    kind: Literal["head-sum"] = "head-sum"
    sum: Clue

    sentence: ClassVar[str] = (
        "A number outside the grid is the total of the digits of its row or column in the box nearest "
        "to it."
    )

    def wording(self) -> str:
        """The sentence, with the number of cells if it is given."""
        if self.length is None:
            return self.sentence
        return (
            f"A number outside the grid is the total of the {quantity(self.length, 'digit')} nearest to "
            "it in its row or column."
        )

    def letters(self, board: Board) -> Mapping[str, tuple[int, int]]:
        """Its sum, if a letter stands for it."""
        return total_letters(self.sum, self.reach(board), board)

    def holds(self, filled: Filled) -> bool:
        """The first values add up to the total."""
        values = filled.values(self.reading(filled.board))
        return sum(values[: self.reach(filled.board)]) == filled.number(self.sum)

    def parts(self, board: Board) -> Iterator[Part]:
        """One part."""
        for constraint in board.total(self.head(board), "==", self.sum):
            yield Part(self.part_name(board), constraint)

    def shapes(self, board: Board) -> Iterator[Shape]:
        """The sum outside."""
        yield self.shape(self.head(board), self.sign())

    def sign(self) -> str:
        """Its sum."""
        return str(self.sum)


def _read_digits(given: object) -> object:
    return tuple(given) if isinstance(given, list) else given


class HeadDigits(Head):
    """The ``digits`` are among the first ``length`` cells of a row or column, from one side.

    A digit that is listed twice is there at least twice. Without ``length`` the cells are those
    inside the first box, as for `head-sum`.

    Example: `kind = "head-digits"`, `line = "c1"`, `side = "top"`, `digits = [4, 7]` in a 9×9 grid
    puts a 4 and a 7 into r1c1, r2c1 and r3c1.
    """

    kind: Literal["head-digits"] = "head-digits"
    digits: Annotated[tuple[int, ...], BeforeValidator(_read_digits), Field(min_length=1)]

    sentence: ClassVar[str] = (
        "Digits outside the grid all stand in their row or column in the box nearest to them."
    )

    def wording(self) -> str:
        """The sentence, with the number of cells if it is given, and what a digit written twice means."""
        twice = len(set(self.digits)) < len(self.digits)
        again = ", each at least as often as it is written" if twice else ""
        if self.length is None:
            return f"{self.sentence.removesuffix('.')}{again}."
        return (
            f"Digits outside the grid all stand in the {quantity(self.length, 'cell')} nearest to them "
            f"in their row or column{again}."
        )

    def check(self, board: Board) -> None:
        """Every digit is one of the canvas."""
        super().check(board)
        for digit in self.digits:
            if digit not in board.canvas.digits:
                raise RuleError(f"digits: {digit} is not a digit here", key="digits")

    def holds(self, filled: Filled) -> bool:
        """The digits are among the first ones."""
        first = filled.digits(self.reading(filled.board))[: self.reach(filled.board)]
        return not Counter(self.digits) - Counter(first)

    def parts(self, board: Board) -> Iterator[Part]:
        """One part per digit."""
        cells = self.head(board)
        for digit, times in sorted(Counter(self.digits).items()):
            enough = frozenset(range(times, len(cells) + 1))
            yield Part(
                f"{self.part_name(board)}: {board.canvas.symbols[digit]}",
                Count(cells, frozenset({digit}), enough),
            )

    def shapes(self, board: Board) -> Iterator[Shape]:
        """The digits outside."""
        yield self.shape(self.head(board), self.sign())

    def sign(self) -> str:
        """Its digits."""
        return "".join(map(symbol, self.digits))


_STEPS = {"down-right": (1, 1), "down-left": (1, -1), "up-right": (-1, 1), "up-left": (-1, -1)}


class LittleKiller(Rule):
    """The cells of a diagonal total ``sum``; digits may repeat if houses allow it.

    The diagonal runs from ``start``, the first cell added, in the ``direction`` to the last cell
    before the edge or a hole: of the canvas, or of the ``grid`` that is named. The sum may be a
    letter.

    Example: `kind = "little-killer"`, `start = "r7c1"`, `direction = "down-right"`, `sum = 27` in a
    9×9 grid puts a 9 into each of r7c1, r8c2 and r9c3 (which their box forbids).
    """

    kind: Literal["little-killer"] = "little-killer"
    start: Cells
    direction: Literal["down-right", "down-left", "up-right", "up-left"]
    sum: Clue
    grid: str | None = Field(default=None, description="the grid at whose edge it ends")

    sentence: ClassVar[str] = (
        "A number with an arrow outside the grid is the total of the digits on the diagonal that it "
        "points along; they may repeat there."
    )

    def wording(self) -> str:
        """The sentence, with the grid at whose edge the diagonal ends, if one is named."""
        if self.grid is None:
            return self.sentence
        return self.sentence.replace("points along;", f"points along inside grid {self.grid};")

    def site(self) -> str:
        """Its first cell and direction."""
        return f"from {self.start[0]} {self.direction.replace('-', ' and ')}"

    def place(self) -> str:
        """Its first cell and direction."""
        return f"{self.start[0]} {self.direction}"

    def check(self, board: Board) -> None:
        """It starts in one cell, of the canvas or the grid."""
        if len(self.start) != 1:
            raise RuleError(f"start: one cell is needed, not {len(self.start)}", key="start")
        if not self.diagonal(board):
            where = "on the canvas" if self.grid is None else f"in grid {self.grid!r}"
            raise RuleError(f"start: {self.start[0]} is not {where}", key="start")

    def diagonal(self, board: Board) -> tuple[Cell, ...]:
        """Its cells from the start."""
        canvas = board.canvas
        inside = canvas.index.keys() if self.grid is None else set(canvas.grid(self.grid).cells)
        cells, cell = [], self.start[0]
        while cell in inside:
            cells.append(cell)
            cell = cell.step(*_STEPS[self.direction])
        return tuple(cells)

    def letters(self, board: Board) -> Mapping[str, tuple[int, int]]:
        """Its sum, if a letter stands for it."""
        return total_letters(self.sum, len(self.diagonal(board)), board)

    def holds(self, filled: Filled) -> bool:
        """The values of the diagonal add up to the total."""
        return sum(filled.values(self.diagonal(filled.board))) == filled.number(self.sum)

    def parts(self, board: Board) -> Iterator[Part]:
        """One part."""
        for constraint in board.total(self.diagonal(board), "==", self.sum):
            yield Part(f"{self.kind} {self.place()}", constraint)

    def shapes(self, board: Board) -> Iterator[Shape]:
        """The sum outside, with the direction it is read in."""
        yield Shape("outside", self.diagonal(board), self.sign(), _STEPS[self.direction])

    def sign(self) -> str:
        """Its sum."""
        return str(self.sum)


def total_letters(clue: int | str, most_cells: int, board: Board) -> dict[str, tuple[int, int]]:
    """The letter of a total over ``most_cells`` cells, with its possible numbers."""
    if not isinstance(clue, str):
        return {}
    return {clue: (most_cells * board.value_domain[0], most_cells * board.value_domain[-1])}


def _line(canvas: Canvas, line: str, name: str | None) -> tuple[Cell, ...]:
    """The cells of a row from the left or of a column from the top."""
    match = re.fullmatch(r"([rc])([1-9]\d{0,2})", line.lower())
    if match is None:
        raise RuleError(
            f"line: {line!r} is neither a row such as 'r3' nor a column such as 'c5'", key="line"
        )
    number = int(match[2])
    if name is None and not canvas.grids:
        lines = _canvas_lines(canvas, match[1])
    else:
        lines = _grid_lines(canvas.grid(name), match[1])
    if number > len(lines):
        along = "rows" if match[1] == "r" else "columns"
        raise RuleError(f"line: there are {len(lines)} {along}, but no {line}", key="line")
    cells = lines[number - 1]
    for cell in cells:
        if cell not in canvas.index:
            raise RuleError(f"line: {line} is broken by the hole at {cell}", key="line")
    return cells


def _grid_lines(grid: Grid, along: str) -> tuple[tuple[Cell, ...], ...]:
    return grid.rows if along == "r" else grid.columns


def _canvas_lines(canvas: Canvas, along: str) -> tuple[tuple[Cell, ...], ...]:
    rows, columns = range(1, canvas.rows + 1), range(1, canvas.columns + 1)
    if along == "r":
        return tuple(tuple(Cell(row, column) for column in columns) for row in rows)
    return tuple(tuple(Cell(row, column) for row in rows) for column in columns)
