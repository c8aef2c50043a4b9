"""Cells, houses, grids and the canvas they lie on.

A *canvas* is a set of cells inside a bounding rectangle, with one set of digits. One or more *grids*
lie on it and may overlap; each brings its houses: rows, columns, and boxes or irregular regions. A
*house* holds each digit once if it has as many cells as there are digits, and no digit twice if
it has fewer. A bare canvas has cells and digits but no grid, so no house: every restriction on it is
a rule.

Everything here is a frozen value: canvases can be shared, compared and used as keys of caches.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from operator import itemgetter
from typing import Literal, NamedTuple

SYMBOLS = "123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"
SMALLEST, LARGEST = 4, len(SYMBOLS)


class Cell(NamedTuple):
    """A cell by its row and column, both counted from 1 at the top left: ``r3c7``."""

    row: int
    column: int

    def __str__(self) -> str:
        return f"r{self.row}c{self.column}"

    def step(self, down: int, right: int) -> Cell:
        """The cell this many rows down and columns to the right (it need not be on the canvas)."""
        return Cell(self.row + down, self.column + right)


TOP_LEFT = Cell(1, 1)


HouseKind = Literal["row", "column", "box", "region"]


class House(NamedTuple):
    """Cells that hold no digit twice, with the name that people use: ``row 3``, ``box 5``."""

    name: str
    cells: tuple[Cell, ...]
    kind: HouseKind


class GridError(ValueError):
    """An impossible grid; the message says what is wrong in one line."""


@dataclass(frozen=True)
class Grid:
    """A square grid of ``size`` rows and columns with its top left cell at ``at``.

    ``box`` is (rows, columns) of a box, or None; ``regions`` is one letter per cell in reading order,
    or None. At most one of the two is given; with neither the grid is a Latin square.
    """

    size: int
    at: Cell = TOP_LEFT
    box: tuple[int, int] | None = None
    regions: str | None = None
    name: str = "A"

    def __post_init__(self) -> None:
        if not SMALLEST <= self.size <= LARGEST:
            raise GridError(f"size {self.size} is outside {SMALLEST} to {LARGEST}")
        if self.box:
            rows, columns = self.box
            if rows * columns != self.size or min(self.box) < 1:
                cells = rows * columns
                raise GridError(f"a box of {rows}x{columns} has {cells} cells, not {self.size}")
        if self.regions is None:
            return
        if len(self.regions) != self.size**2:
            raise GridError(f"regions has {len(self.regions)} letters, not {self.size**2}")
        for letter in sorted(set(self.regions)):
            if self.regions.count(letter) != self.size:
                raise GridError(
                    f"region {letter} has {self.regions.count(letter)} cells, not {self.size}"
                )

    @cached_property
    def cells(self) -> tuple[Cell, ...]:
        """The cells in reading order."""
        span = range(self.size)
        return tuple(self.at.step(down, right) for down in span for right in span)

    @cached_property
    def rows(self) -> tuple[tuple[Cell, ...], ...]:
        """The rows from the top, each from the left."""
        return tuple(
            self.cells[start : start + self.size] for start in range(0, self.size**2, self.size)
        )

    @cached_property
    def columns(self) -> tuple[tuple[Cell, ...], ...]:
        """The columns from the left, each from the top."""
        return tuple(zip(*self.rows, strict=True))

    @cached_property
    def areas(self) -> tuple[House, ...]:
        """The boxes (numbered in reading order) or regions (by letter); none in a Latin square."""
        if self.regions is not None:
            members: dict[str, list[Cell]] = {}
            for letter, cell in zip(self.regions, self.cells, strict=True):
                members.setdefault(letter, []).append(cell)
            return tuple(
                House(f"region {key}", tuple(members[key]), "region") for key in sorted(members)
            )
        if self.box is None:
            return ()
        high, wide = self.box
        corners = [
            (top, left) for top in range(0, self.size, high) for left in range(0, self.size, wide)
        ]
        return tuple(
            House(
                f"box {number}",
                tuple(
                    self.rows[top + down][left + right]
                    for down in range(high)
                    for right in range(wide)
                ),
                "box",
            )
            for number, (top, left) in enumerate(corners, start=1)
        )

    @cached_property
    def houses(self) -> tuple[House, ...]:
        """Rows, columns, then boxes or regions."""
        rows = (
            House(f"row {number}", cells, "row") for number, cells in enumerate(self.rows, start=1)
        )
        columns = (
            House(f"column {number}", cells, "column")
            for number, cells in enumerate(self.columns, start=1)
        )
        return (*rows, *columns, *self.areas)


@dataclass(frozen=True, repr=False)
class Canvas:
    """The cells of a puzzle in reading order, its digits in rising order and its grids.

    ``rows`` and ``columns`` measure the bounding rectangle; a place in it that is not a cell is a
    hole. A canvas may have no digits, if something else is to be found in its cells.
    """

    rows: int
    columns: int
    cells: tuple[Cell, ...]
    digits: tuple[int, ...]
    grids: tuple[Grid, ...] = ()

    def __repr__(self) -> str:
        return f"<Canvas: {self.rows}x{self.columns}, {len(self.cells)} cells>"

    def __post_init__(self) -> None:
        for grid in self.grids:
            if grid.size > len(self.digits):
                raise GridError(
                    f"{len(self.digits)} digits do not fill the {grid.size} cells of a row"
                )
        if len({grid.name for grid in self.grids}) != len(self.grids):
            raise GridError("two grids have the same name")

    @cached_property
    def _hash(self) -> int:
        return hash((self.rows, self.columns, self.cells, self.digits, self.grids))

    def __hash__(self) -> int:
        return self._hash

    @cached_property
    def index(self) -> dict[Cell, int]:
        """The position of each cell in reading order, from 0."""
        return {cell: position for position, cell in enumerate(self.cells)}

    @property
    def digit_cells(self) -> tuple[Cell, ...]:
        """The cells that hold a digit: all of them, or none on a canvas without digits."""
        return self.cells if self.digits else ()

    @cached_property
    def houses(self) -> tuple[House, ...]:
        """The houses of all grids; named ``row 3 of B`` if there are several grids."""
        if len(self.grids) == 1:
            return self.grids[0].houses
        return tuple(
            House(f"{name} of {grid.name}", cells, kind)
            for grid in self.grids
            for name, cells, kind in grid.houses
        )

    @cached_property
    def house_readers(self) -> tuple[tuple[str, Callable[[Sequence[int]], tuple[int, ...]]], ...]:
        """For each house, its name and a function that picks its digits from all digits in cell order."""
        index = self.index
        return tuple(
            (name, itemgetter(*[index[cell] for cell in cells])) for name, cells, _ in self.houses
        )

    @cached_property
    def symbols(self) -> dict[int, str]:
        """How each digit is written: ``0`` to ``9``, then ``A`` for 10 and on."""
        return {digit: symbol(digit) for digit in self.digits}

    @cached_property
    def reader(self) -> dict[str, int]:
        """The digit each symbol stands for, letters in either case."""
        return {
            form: digit
            for digit, written in self.symbols.items()
            for form in (written, written.lower())
        }

    def is_full(self, cells: Sequence[Cell]) -> bool:
        """Whether cells that all differ must hold every digit."""
        return len(cells) == len(self.digits)

    def neighbours(self, cell: Cell) -> list[Cell]:
        """The cells that share an edge with this one, in the order up, left, right, down."""
        around = (cell.step(-1, 0), cell.step(0, -1), cell.step(0, 1), cell.step(1, 0))
        return [other for other in around if other in self.index]

    def grid(self, name: str | None) -> Grid:
        """The grid of that name, or the only one.

        Raises GridError if there is no such grid, or several and no name.
        """
        if name is None:
            if len(self.grids) == 1:
                return self.grids[0]
            raise GridError(
                "this needs a grid, and the canvas has none"
                if not self.grids
                else f"say which grid is meant: grid = {_names(self.grids)}"
            )
        for grid in self.grids:
            if grid.name == name:
                return grid
        raise GridError(f"there is no grid {name!r}, only {_names(self.grids) or 'a bare canvas'}")

    def line(self, values: Sequence[int | None]) -> str:
        """Write digits given in cell order over the bounding rectangle.

        None is written ``.`` and a hole ``_``; without digits every cell is ``.``.
        """
        if not self.digits:
            values = [None] * len(self.cells)
        if len(self.cells) == self.rows * self.columns:
            return "".join(["." if v is None else self.symbols[v] for v in values])
        place = dict(zip(self.cells, values, strict=True))
        written = []
        for row in range(1, self.rows + 1):
            for column in range(1, self.columns + 1):
                value = place.get(Cell(row, column), -1)
                written.append(
                    "." if value is None else "_" if value == -1 else self.symbols[value]
                )
        return "".join(written)


def _names(grids: Iterable[Grid]) -> str:
    return " or ".join(repr(grid.name) for grid in grids)


def symbol(digit: int) -> str:
    """Write a digit: ``0`` to ``9``, then ``A`` for 10 to ``Z`` for 35."""
    return "0" if digit == 0 else SYMBOLS[digit - 1]


def squarest_box(size: int) -> tuple[int, int] | None:
    """The box shape (rows, columns) nearest to a square, wide rather than high.

    None for a prime size, whose only boxes would be its rows.
    """
    high = next(h for h in range(int(size**0.5), 0, -1) if size % h == 0)
    return None if high == 1 else (high, size // high)


def canvas_of(grids: Sequence[Grid], digits: Sequence[int] | None = None) -> Canvas:
    """The canvas that the grids cover, with digits 1 to the largest size unless others are given.

    Raises GridError when the grids cannot share one set of digits.
    """
    cells = tuple(sorted({cell for grid in grids for cell in grid.cells}))
    chosen = tuple(sorted(digits)) if digits else tuple(range(1, max(g.size for g in grids) + 1))
    return Canvas(
        rows=max(cell.row for cell in cells),
        columns=max(cell.column for cell in cells),
        cells=cells,
        digits=chosen,
        grids=tuple(grids),
    )


@lru_cache(maxsize=64)
def classic(size: int) -> Canvas:
    """The plain canvas of a size: the squarest boxes, a Latin square for a prime size."""
    return canvas_of([Grid(size, box=squarest_box(size))])


_REFERENCE = re.compile(r"[rR](\d{1,3})[cC](\d{1,3})")


def parse_cells(text: str) -> Iterator[Cell]:
    """Read references: ``r1c1 r1c2``, and ``r1c1..r1c5`` for a straight or diagonal run.

    Commas may stand between them. Raises GridError naming the part that cannot be read.
    """
    for word in text.replace(",", " ").split():
        ends = [_REFERENCE.fullmatch(part) for part in word.split("..")]
        cells = [Cell(int(end[1]), int(end[2])) for end in ends if end]
        if len(cells) != len(ends) or len(cells) > 2:
            raise GridError(f"{word!r} is not a cell: write r3c7, or r1c1..r1c5 for a run")
        if len(cells) == 1:
            yield cells[0]
        else:
            yield from _run(word, *cells)


def _run(word: str, first: Cell, last: Cell) -> Iterator[Cell]:
    down, right = last.row - first.row, last.column - first.column
    if down and right and abs(down) != abs(right):
        raise GridError(f"{word!r} runs neither straight nor diagonally")
    length = max(abs(down), abs(right), 1)
    for place in range(max(abs(down), abs(right)) + 1):
        yield first.step(down // length * place, right // length * place)
