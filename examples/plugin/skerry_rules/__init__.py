"""Rules of the puzzle page of The Slack Tide."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import ClassVar, Literal

from pydantic import Field

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


class Swell(Rule):
    """Values rise and fall in turn along the line, beginning as `starts` says.

    Example: `kind = "swell"`, `cells = "r1c1..r1c4"` may read 1 3 2 4, but neither 3 1 4 2 (which
    begins by falling) nor 1 2 3 4.
    """

    kind: Literal["swell"] = "swell"
    cells: Cells
    starts: Literal["rising", "falling"] = Field(
        default="rising", description="what the first step does"
    )

    sentence: ClassVar[str] = (
        "Digits rise and fall in turn along a swell line, starting from its round end."
    )

    def where(self) -> tuple[Cell, ...]:
        """Its cells in order."""
        return self.cells

    def check(self, board: Board) -> None:
        """The cells are on the canvas, none twice, and there is a step to take."""
        super().check(board)
        distinct_cells(self.cells)
        length_between(self.cells, 2)

    def holds(self, filled: Filled) -> bool:
        """The steps alternate in sign, and the first has the right one."""
        values = filled.values(self.cells)
        steps = [after - before for before, after in pairwise(values)]
        signed = steps if self.starts == "rising" else [-step for step in steps]
        return all(step > 0 for step in signed[::2]) and all(step < 0 for step in signed[1::2])

    def parts(self, board: Board) -> Iterator[Part]:
        """One part per step: the lower of the two cells has a smaller value."""
        rising = self.starts == "rising"
        for first, second in pairwise(self.cells):
            lower, higher = (first, second) if rising else (second, first)
            less = Compare(board.value(lower), "<=", board.value(higher), -1)
            yield Part(f"swell {spell((first, second))}", less)
            rising = not rising

    def shapes(self, board: Board) -> Iterator[Shape]:
        """A line with a round end."""
        yield Shape("line", self.cells, first_end="circle")
