"""Rules about loops and paths: the cells on them, and their turns."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import ClassVar, Literal

from pydantic import Field

from gridassay.encodings.board import Board, Filled, Part
from gridassay.encodings.constraints import (
    AllOf,
    AnyOf,
    Constraint,
    In,
)
from gridassay.encodings.grid import Cell
from gridassay.encodings.layers.base import Layer
from gridassay.encodings.layers.border_loops import BorderLoop, sides_on
from gridassay.encodings.layers.lines import OFF, ON
from gridassay.encodings.layers.loops import Loop, Path, Walk, on_it, visits
from gridassay.encodings.rules.base import (
    Cells,
    Shape,
    spell,
)
from gridassay.encodings.rules.layered import (
    Amount,
    AtOneCell,
    Marked,
    OnLayer,
    WithCount,
    amount_is,
    amount_sign,
)


class OnWalk(OnLayer):
    """Base of the rules about a loop or path."""

    on_kinds: ClassVar[tuple[type[Layer], ...]] = (Loop, Path)

    def walk(self, board: Board) -> Walk:
        """Its layer."""
        found = self.own_layer(board)
        assert isinstance(found, Walk)
        return found

    def arms(self, filled: Filled, cell: Cell) -> tuple[int, int, int, int]:
        """Which of the links up, down, left and right of a cell are drawn."""
        walk, canvas = self.walk(filled.board), filled.board.canvas
        found = []
        for move in ((-1, 0), (1, 0), (0, -1), (0, 1)):
            other = cell.step(*move)
            found.append(filled.numbers[walk.link(cell, other)] if other in canvas.index else 0)
        return found[0], found[1], found[2], found[3]

    def exactly(
        self, board: Board, cell: Cell, moves: Sequence[tuple[int, int]]
    ) -> Constraint | None:
        """Exactly these links of a cell are drawn; None if one of them leads nowhere."""
        walk, canvas = self.walk(board), board.canvas
        wanted = [cell.step(*move) for move in moves]
        if any(other not in canvas.index for other in wanted):
            return None
        return AllOf(
            tuple(
                In(walk.link(cell, other), ON if other in wanted else OFF)
                for other in canvas.neighbours(cell)
            )
        )


class OnIt(Marked, OnWalk):
    """The loop or path visits each of the cells.

    `on = false`: it visits none of them.

    Example: `kind = "on-it"`, `layer = "cruise"`, `cells = "r1c1 r3c3"`.
    """

    kind: Literal["on-it"] = "on-it"
    cells: Cells
    on: bool = Field(default=True, description="false: none of the cells is visited")

    sentence: ClassVar[str] = "The line visits the marked cells."

    @property
    def spoken(self) -> str:
        """Its name in steps: ``cruise marks``."""
        return f"{self.layer} marks"

    def wording(self) -> str:
        """The sentence, with the layer."""
        return f"The {self.layer} visits {'each' if self.on else 'none'} of the marked cells."

    def holds(self, filled: Filled) -> bool:
        """Some link is drawn at each, or at none."""
        return all(any(self.arms(filled, cell)) is self.on for cell in self.cells)

    def parts(self, board: Board) -> Iterator[Part]:
        """One part per cell."""
        for cell in self.cells:
            said = on_it(self.walk(board), board.canvas, cell)
            word = "on" if self.on else "not on"
            yield Part(f"{cell} is {word} {self.layer}", said if self.on else said.negated())

    def shapes(self, board: Board) -> Iterator[Shape]:
        """A disc in each cell, or a square if it is not visited."""
        yield Shape("cell mark", self.cells, figure="disc" if self.on else "square")


class Turns(Marked, OnWalk):
    """The loop or path turns in each of the cells, which it visits.

    Example: `kind = "turns"`, `layer = "cruise"`, `cells = "r2c2"`: it enters by one side and
    leaves by another at a right angle to it.
    """

    kind: Literal["turns"] = "turns"
    cells: Cells

    sentence: ClassVar[str] = "The line turns in the marked cells."

    @property
    def spoken(self) -> str:
        """Its name in steps: ``turning marks of the cruise``."""
        return f"turning marks of the {self.layer}"

    def wording(self) -> str:
        """The sentence, with the layer."""
        return f"The {self.layer} turns in each of the marked cells."

    def holds(self, filled: Filled) -> bool:
        """One link up or down, one to the left or right."""
        arms = [self.arms(filled, cell) for cell in self.cells]
        return all(up + down == 1 == left + right for up, down, left, right in arms)

    def parts(self, board: Board) -> Iterator[Part]:
        """One part per cell."""
        for cell in self.cells:
            options = [
                self.exactly(board, cell, (upright, level))
                for upright in ((-1, 0), (1, 0))
                for level in ((0, -1), (0, 1))
            ]
            yield Part(f"{self.layer} turns at {cell}", AnyOf(tuple(o for o in options if o)))

    def shapes(self, board: Board) -> Iterator[Shape]:
        """A disc in each cell."""
        yield Shape("cell mark", self.cells, figure="disc")


class Straight(Marked, OnWalk):
    """The loop or path goes straight on in each of the cells, which it visits.

    Example: `kind = "straight"`, `layer = "cruise"`, `cells = "r2c2"`: it enters by one side and
    leaves by the opposite one.
    """

    kind: Literal["straight"] = "straight"
    cells: Cells

    sentence: ClassVar[str] = "The line goes straight on in the marked cells."

    @property
    def spoken(self) -> str:
        """Its name in steps: ``straight marks of the cruise``."""
        return f"straight marks of the {self.layer}"

    def wording(self) -> str:
        """The sentence, with the layer."""
        return f"The {self.layer} goes straight on in each of the marked cells."

    def holds(self, filled: Filled) -> bool:
        """Both links up and down and no other, or both to the sides."""
        return all(self.arms(filled, cell) in ((1, 1, 0, 0), (0, 0, 1, 1)) for cell in self.cells)

    def parts(self, board: Board) -> Iterator[Part]:
        """One part per cell."""
        for cell in self.cells:
            options = [
                self.exactly(board, cell, ((-1, 0), (1, 0))),
                self.exactly(board, cell, ((0, -1), (0, 1))),
            ]
            yield Part(f"{self.layer} straight at {cell}", AnyOf(tuple(o for o in options if o)))

    def shapes(self, board: Board) -> Iterator[Shape]:
        """A circle in each cell."""
        yield Shape("cell mark", self.cells, figure="circle")


class CountsOnIt(Marked, WithCount, OnWalk):
    """The loop or path visits `count` of the cells.

    `count` is a number, a letter, a range `[least, most]` or `"digit of r1c1"`.

    Example: `kind = "counts-on-it"`, `layer = "cruise"`, `cells = "r1c1..r1c6"`, `count = 4`.
    """

    kind: Literal["counts-on-it"] = "counts-on-it"
    cells: Cells
    count: Amount

    sentence: ClassVar[str] = "A number tells how many of the cells the line visits."

    @property
    def spoken(self) -> str:
        """Its name in steps: ``cruise count``."""
        return f"{self.layer} count"

    def wording(self) -> str:
        """The sentence, with the layer."""
        return (
            f"A number beside marked cells tells how many of them the {self.layer} visits"
            f"{self.after_sign()}."
        )

    def most(self, board: Board) -> int:
        """All of them."""
        return len(self.cells)

    def holds(self, filled: Filled) -> bool:
        """Whether their number is the one asked for."""
        on = sum(any(self.arms(filled, cell)) for cell in self.cells)
        return amount_is(filled, self.count, on)

    def parts(self, board: Board) -> Iterator[Part]:
        """One part."""
        walk = self.walk(board)

        def being(counts: frozenset[int]) -> Constraint:
            return visits(walk, board.canvas, self.cells, counts)

        yield Part(f"{self.layer} in {spell(self.cells)}", self.count_constraint(board, being))

    def shapes(self, board: Board) -> Iterator[Shape]:
        """An outline with the number."""
        yield Shape("cage", self.cells, amount_sign(self.count))


class SidesOnIt(AtOneCell, WithCount, OnLayer):
    """`count` sides of the cell are on the border loop.

    `count` is a number, a letter, a range `[least, most]` or `"digit of r1c1"`.

    Example: `kind = "sides-on-it"`, `layer = "fence"`, `cell = "r2c2"`, `count = 3`.
    """

    kind: Literal["sides-on-it"] = "sides-on-it"
    cell: Cells
    count: Amount

    on_kinds: ClassVar[tuple[type[Layer], ...]] = (BorderLoop,)
    sentence: ClassVar[str] = "A number tells how many sides of its cell are on the loop."

    @property
    def spoken(self) -> str:
        """Its name in steps: ``fence number``."""
        return f"{self.layer} number"

    def wording(self) -> str:
        """The sentence, with the layer."""
        return f"A number tells how many sides of its cell belong to the {self.layer}{self.after_sign()}."

    def most(self, board: Board) -> int:
        """Its four sides."""
        return 4

    def _border(self, board: Board) -> BorderLoop:
        found = self.own_layer(board)
        assert isinstance(found, BorderLoop)
        return found

    def holds(self, filled: Filled) -> bool:
        """Whether the number of sides is the one asked for."""
        sides = self._border(filled.board).sides(filled.board.canvas, self.cell[0])
        return amount_is(filled, self.count, sum(filled.numbers[edge] for edge in sides))

    def parts(self, board: Board) -> Iterator[Part]:
        """One part."""
        border = self._border(board)

        def being(counts: frozenset[int]) -> Constraint:
            return sides_on(border, board.canvas, self.cell[0], counts)

        yield Part(f"{self.layer} at {self.cell[0]}", self.count_constraint(board, being))

    def shapes(self, board: Board) -> Iterator[Shape]:
        """The number."""
        yield Shape("cell mark", self.cell, amount_sign(self.count))
