"""Numbers about a shading: how many of some cells have a value, and how many are seen from one."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product
from typing import ClassVar, Literal

from gridassay.encodings.board import Board, Filled, Part
from gridassay.encodings.constraints import AllOf, AnyOf, Constraint, Count
from gridassay.encodings.grid import Canvas, Cell
from gridassay.encodings.rules.base import Cells, Shape, spell
from gridassay.encodings.rules.layered import (
    Amount,
    AtOneCell,
    Marked,
    OnShading,
    WithCount,
    amount_is,
    amount_sign,
)


class CountIn(Marked, WithCount, OnShading):
    """`count` of the cells have the value.

    `count` is a number, a letter, a range `[least, most]` or `"digit of r1c1"`.

    Example: `kind = "count-in"`, `layer = "sky"`, `value = "star"`, `cells = "r1c1..r1c9"`, `count = 2`:
    two stars in row 1.
    """

    kind: Literal["count-in"] = "count-in"
    cells: Cells
    count: Amount

    sentence: ClassVar[str] = "A number tells how many of the cells have the value."

    @property
    def spoken(self) -> str:
        """Its name in steps: ``star count``."""
        return f"{self.value} count"

    def wording(self) -> str:
        """The sentence, with the value."""
        return (
            f"A number beside marked cells tells how many of them are {self.cells_called()}"
            f"{self.after_sign()}."
        )

    def most(self, board: Board) -> int:
        """All of them."""
        return len(self.cells)

    def holds(self, filled: Filled) -> bool:
        """Whether their number is the one asked for."""
        return amount_is(filled, self.count, len(self.cells_with(filled).intersection(self.cells)))

    def parts(self, board: Board) -> Iterator[Part]:
        """One part."""
        variables, alone = self.at(board, self.cells), frozenset({self.number(board)})

        def being(counts: frozenset[int]) -> Constraint:
            return Count(variables, alone, counts)

        label = f"{self.layer}: {self.value} in {spell(self.cells)}"
        yield Part(label, self.count_constraint(board, being))

    def shapes(self, board: Board) -> Iterator[Shape]:
        """An outline with the number."""
        yield Shape("cage", self.cells, f"{amount_sign(self.count)} {str(self.value)[0]}")


class SeenOf(AtOneCell, WithCount, OnShading):
    """The cell has the value, and sees a given number of cells with that value, itself included.

    The view goes along the row and the column, both ways, up to the border or the first cell of
    another value. `count` is a number, a letter, a range `[least, most]` or `"digit of r1c1"`.

    Example: `kind = "seen-of"`, `layer = "water"`, `value = "deep"`, `cell = "r2c2"`, `count = 3`.
    """

    kind: Literal["seen-of"] = "seen-of"
    cell: Cells
    count: Amount

    sentence: ClassVar[str] = "A number tells how many cells of the value are seen from its cell."

    @property
    def spoken(self) -> str:
        """Its name in steps: ``deep number``."""
        return f"{self.value} number"

    def wording(self) -> str:
        """The sentence, with the value."""
        return (
            f"Each cell with a number is a {self.cells_called(one=True)}, and the number tells how many "
            f"{self.cells_called()} are seen from it along its row and column, itself included; any "
            f"other cell blocks the view{self.after_sign()}."
        )

    def most(self, board: Board) -> int:
        """Its row and its column, as far as there are cells."""
        return 1 + sum(map(len, self._rays(board.canvas)))

    def _rays(self, canvas: Canvas) -> list[list[Cell]]:
        rays = []
        for move in ((-1, 0), (0, -1), (0, 1), (1, 0)):
            ray: list[Cell] = []
            while (nearest := (ray or [*self.cell])[-1].step(*move)) in canvas.index:
                ray.append(nearest)
            rays.append(ray)
        return rays

    def holds(self, filled: Filled) -> bool:
        """Going on in each direction while cells have the value."""
        having = self.cells_with(filled)
        (start,) = self.cell
        if start not in having:
            return False
        seen = 1
        for down, right in ((-1, 0), (1, 0), (0, -1), (0, 1)):
            other = start.step(down, right)
            while other in having:
                seen += 1
                other = other.step(down, right)
        return amount_is(filled, self.count, seen)

    def parts(self, board: Board) -> Iterator[Part]:
        """One part: the runs in the four directions that make the number."""
        rays = self._rays(board.canvas)
        runs: dict[int, list[Constraint]] = {}
        for reach in product(*(range(len(ray) + 1) for ray in rays)):
            seen: list[Constraint] = []
            for ray, length in zip(rays, reach, strict=True):
                seen += [self.has(board, cell) for cell in ray[:length]]
                seen += [self.has(board, cell, inside=False) for cell in ray[length : length + 1]]
            runs.setdefault(1 + sum(reach), []).append(AllOf(tuple(seen)))

        def being(counts: frozenset[int]) -> Constraint:
            return AnyOf(tuple(run for count in sorted(counts) for run in runs.get(count, ())))

        (start,) = self.cell
        label = f"{self.layer}: {self.value} seen from {start}"
        yield Part(label, AllOf((self.has(board, start), self.count_constraint(board, being))))

    def shapes(self, board: Board) -> Iterator[Shape]:
        """The number in a circle."""
        yield Shape("cell mark", self.cell, amount_sign(self.count), figure="circle")
