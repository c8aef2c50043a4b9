"""Lines: the code that all of them share, and the lines that put their cells in order.

The other families have their own files: ``end_lines.py`` (between or outside the ends),
``set_lines.py`` (which digits go together), ``step_lines.py`` (how neighbours differ),
``sum_lines.py`` (totals along a line) and ``arrows.py``.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import ClassVar, Literal

from pydantic import Field

from gridassay.encodings.board import Board, Filled, Part
from gridassay.encodings.constraints import Compare
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
from gridassay.encodings.wording import article


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

    def doubts(self) -> Iterator[str]:
        """It jumps."""
        return jumps(self.cells)

    def shapes(self, board: Board) -> Iterator[Shape]:
        """A line through its cells."""
        yield Shape("line", self.cells)


class ClosableLine(Line):
    """Base of the lines that may be closed: the first cell then follows the last."""

    closed: bool = Field(
        default=False, description="the line continues from the last cell to the first"
    )

    def check(self, board: Board) -> None:
        """If it is closed, its ends share an edge or a corner and there is a cell between."""
        super().check(board)
        if not self.closed:
            return
        length_between(self.cells, max(3, self.shortest))
        first, last = self.cells[0], self.cells[-1]
        if max(abs(first.row - last.row), abs(first.column - last.column)) > 1:
            raise RuleError(f"closed = true, but {last} and {first} are not neighbours")

    @property
    def seen_as(self) -> str:
        """Its kind, and whether it is closed."""
        return f"{self.kind} closed" if self.closed else self.kind

    def along(self, name: str) -> str:
        """The words ``along a whisper``, or ``all the way round`` it."""
        return (
            f"all the way round a closed {name}" if self.closed else f"along {article(name)} {name}"
        )

    def shapes(self, board: Board) -> Iterator[Shape]:
        """A line through its cells, back to the first if it is closed."""
        yield Shape("line", self.cells, closed=self.closed)


def jumps(cells: Sequence[Cell]) -> Iterator[str]:
    """Words for where a line continues in a cell that does not touch the one before."""
    for a, b in pairwise(cells):
        if max(abs(a.row - b.row), abs(a.column - b.column)) > 1:
            yield f"jumps from {a} to {b}, which do not touch"


def windows(cells: tuple[Cell, ...], size: int, *, closed: bool) -> Iterator[tuple[Cell, ...]]:
    """Every ``size`` neighbouring cells of a line, across its ends if it is closed.

    The whole line, once, if it has no more cells than that.
    """
    if size >= len(cells):
        yield cells
        return
    around = cells + cells[: size - 1] if closed else cells
    for start in range(len(around) - size + 1):
        yield around[start : start + size]


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
        """One part per pair of neighbours."""
        for cells in pairwise(self.cells):
            less, more = board.values(cells)
            yield Part(f"thermometer {spell(cells)}", Compare(less, "<=", more, -1))

    def shapes(self, board: Board) -> Iterator[Shape]:
        """A line with a bulb."""
        yield Shape("line", self.cells, first_end="bulb")


class SlowThermometer(Line):
    """Values never fall along the line, from the bulb in the first cell; they may stay the same.

    Example: `kind = "slow-thermometer"`, `cells = "r1c1 r2c2 r3c3"` with a 3 in r1c1 and a 3 in
    r3c3 puts a 3 into r2c2 as well.
    """

    kind: Literal["slow-thermometer"] = "slow-thermometer"

    sentence: ClassVar[str] = (
        "Digits never fall along a slow thermometer, starting at its bulb; they may stay the same."
    )

    def holds(self, filled: Filled) -> bool:
        """The values are already sorted."""
        values = filled.values(self.cells)
        return values == sorted(values)

    def parts(self, board: Board) -> Iterator[Part]:
        """One part per pair of neighbours."""
        for cells in pairwise(self.cells):
            lower, upper = board.values(cells)
            yield Part(f"slow-thermometer {spell(cells)}", Compare(lower, "<=", upper))

    def shapes(self, board: Board) -> Iterator[Shape]:
        """A line with a bulb."""
        yield Shape("line", self.cells, first_end="bulb")
