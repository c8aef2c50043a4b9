"""The symmetries of a rectangle of cells, by the names people use for what they leave in place."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

from gridassay.encodings.grid import Canvas, Cell


@dataclass(frozen=True)
class Turn:
    """A symmetry: the matrix that takes (down, right) to its image, both measured from the middle."""

    name: str
    matrix: tuple[tuple[int, int], tuple[int, int]]

    @property
    def words(self) -> str:
        """The name, with the direction of a quarter turn."""
        return f"{self.name} clockwise" if self == QUARTER_TURN else self.name

    @property
    def square(self) -> bool:
        """Whether it swaps rows and columns, and so needs equal numbers of both."""
        return self.matrix[0][0] == 0

    @property
    def involutive(self) -> bool:
        """Whether doing it twice changes nothing."""
        (a, b), (c, d) = self.matrix
        return (a * a + b * c, a * b + b * d, c * a + d * c, c * b + d * d) == (1, 0, 0, 1)

    def direction(self, down: int, right: int) -> tuple[int, int]:
        """Where a direction points afterwards."""
        (a, b), (c, d) = self.matrix
        return a * down + b * right, c * down + d * right

    def place(self, row: int, column: int, rows: int, columns: int) -> tuple[int, int]:
        """Where a place of a rectangle goes, counted from 0."""
        down, right = self.direction(2 * row - rows + 1, 2 * column - columns + 1)
        return (down + rows - 1) // 2, (right + columns - 1) // 2


STAY = Turn("as it stands", ((1, 0), (0, 1)))
HALF_TURN = Turn("half turn", ((-1, 0), (0, -1)))
QUARTER_TURN = Turn("quarter turn", ((0, 1), (-1, 0)))
QUARTER_BACK = Turn("quarter turn anticlockwise", ((0, -1), (1, 0)))
MIRRORS = (
    Turn("left-right mirror", ((1, 0), (0, -1))),
    Turn("top-bottom mirror", ((-1, 0), (0, 1))),
)
DIAGONAL_MIRRORS = (
    Turn("falling diagonal mirror", ((0, 1), (1, 0))),
    Turn("rising diagonal mirror", ((0, -1), (-1, 0))),
)
SYMMETRIES = (HALF_TURN, QUARTER_TURN, *MIRRORS, *DIAGONAL_MIRRORS)
"""Those that a pattern can have; a quarter turn forward and back leave the same patterns in place."""
TURNS = (STAY, HALF_TURN, QUARTER_TURN, QUARTER_BACK, *MIRRORS, *DIAGONAL_MIRRORS)
"""All eight."""


@lru_cache(maxsize=256)
def turn_cells(canvas: Canvas, turn: Turn, onto: Canvas) -> Mapping[Cell, Cell] | None:
    """Where each cell goes on a canvas of the same rectangle, or None if it misses its cells."""
    rows, columns = canvas.rows, canvas.columns
    if (rows, columns) != (onto.rows, onto.columns) or (turn.square and rows != columns):
        return None
    image = {}
    for cell in canvas.cells:
        row, column = turn.place(cell.row - 1, cell.column - 1, rows, columns)
        image[cell] = Cell(row + 1, column + 1)
    return image if set(image.values()) == set(onto.cells) else None
