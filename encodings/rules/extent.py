"""The extent of a whole-grid rule: one grid, or all of a bare canvas."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from pydantic import Field

from gridassay.encodings.board import Board
from gridassay.encodings.grid import TOP_LEFT, Canvas, Cell
from gridassay.encodings.rules.base import Rule, Shape
from gridassay.encodings.wording import mid_sentence


class Extent(NamedTuple):
    """Cells in reading order inside a rectangle with its top left corner at ``corner``."""

    corner: Cell
    rows: int
    columns: int
    cells: tuple[Cell, ...]

    def cell(self, row: int, column: int) -> Cell:
        """The cell in this row and column of the rectangle, counted from 1; it may be a hole."""
        return self.corner.step(row - 1, column - 1)

    def apart(
        self, moves: Iterable[tuple[int, int]], *, wrap: bool = False
    ) -> Iterator[tuple[Cell, Cell]]:
        """Pairs of cells joined by a move (rows down, columns right), each pair once.

        With ``wrap``, a move that leaves the rectangle continues on the opposite side.
        """
        known, met = set(self.cells), set()
        for cell in self.cells:
            for down, right in moves:
                other = cell.step(down, right)
                if wrap:
                    other = self.corner.step(
                        (other.row - self.corner.row) % self.rows,
                        (other.column - self.corner.column) % self.columns,
                    )
                pair = (cell, other) if cell < other else (other, cell)
                if other in known and other != cell and pair not in met:
                    met.add(pair)
                    yield pair


def extent(canvas: Canvas, name: str | None) -> Extent:
    """The grid of that name, or the only grid, or all of a canvas that has none.

    Raises GridError if there is no such grid, or several and no name.
    """
    if name is None and not canvas.grids:
        return Extent(TOP_LEFT, canvas.rows, canvas.columns, canvas.cells)
    grid = canvas.grid(name)
    return Extent(grid.at, grid.size, grid.size, grid.cells)


class WholeGrid(Rule):
    """Base of the rules about a whole grid."""

    grid: str | None = Field(default=None, description="the grid it is about, if there are several")

    def place(self) -> str:
        """The name of its grid, if it gives one."""
        return f"of {self.grid}" if self.grid else ""

    @property
    def seen_as(self) -> str:
        """Its sentence without the grid."""
        return self.wording()

    def wording(self) -> str:
        """Its sentence, with the grid it is about."""
        return self.about(self.sentence)

    def about(self, sentence: str) -> str:
        """A sentence that names its grid if there are several."""
        return f"In grid {self.grid}, {mid_sentence(sentence)}." if self.grid else sentence

    def named(self, label: str) -> str:
        """The label of a part, distinct from the same part of another grid."""
        return f"{label} {self.place()}".rstrip()

    def check(self, board: Board) -> None:
        """Raise GridError if there is no such grid."""
        super().check(board)
        extent(board.canvas, self.grid)

    def shapes(self, board: Board) -> Iterator[Shape]:
        """Only its sentence."""
        yield Shape("grid")
