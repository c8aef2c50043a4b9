"""Rules about the inside of a loop to be found, and about a shading that matches a loop."""

from __future__ import annotations

from collections.abc import Iterator
from typing import ClassVar, Literal

from pydantic import Field

from gridassay.encodings.automata import Dfa
from gridassay.encodings.board import Board, Filled, Part
from gridassay.encodings.constraints import (
    AllOf,
    Automaton,
    Constraint,
    HowMany,
)
from gridassay.encodings.grid import Canvas, Cell
from gridassay.encodings.layers.base import Layer
from gridassay.encodings.layers.border_loops import BorderLoop, inside_of_border
from gridassay.encodings.layers.loops import Loop, Path, Walk, inside_of_walk, on_it
from gridassay.encodings.rules.base import (
    Cells,
    Shape,
)
from gridassay.encodings.rules.layered import (
    Marked,
    OnLayer,
    OnShading,
    layer_of,
)
from gridassay.encodings.variables import Variable


class Inside(Marked, OnLayer):
    """The cells lie inside the loop; with `side = "out"`, outside.

    A cell on a loop of cells is neither. A border loop has every cell inside or outside.

    Example: `kind = "inside"`, `layer = "fence"`, `cells = "r2c2"`, `side = "in"`.
    """

    kind: Literal["inside"] = "inside"
    cells: Cells
    side: Literal["in", "out"] = "in"

    on_kinds: ClassVar[tuple[type[Layer], ...]] = (Loop, BorderLoop)
    sentence: ClassVar[str] = "The marked cells lie on one side of the loop."

    @property
    def spoken(self) -> str:
        """Its name in steps: ``marks inside the fence``."""
        return f"marks {'inside' if self.side == 'in' else 'outside'} the {self.layer}"

    def wording(self) -> str:
        """The sentence, with the layer and the side."""
        return (
            f"The marked cells lie {'inside' if self.side == 'in' else 'outside'} the {self.layer}."
        )

    def holds(self, filled: Filled) -> bool:
        """Crossings are counted; a cell on a loop of cells is neither inside nor outside."""
        board, canvas = filled.board, filled.board.canvas
        layer = self.own_layer(board)
        if isinstance(layer, BorderLoop):
            inside = inside_of_border(layer, canvas, filled.numbers)
            on: set[Cell] = set()
        else:
            assert isinstance(layer, Loop)
            inside = inside_of_walk(layer, canvas, filled.numbers)
            on = {c for c, degree in layer.degrees(filled).items() if degree}
        return all(
            cell not in on and (cell in inside) is (self.side == "in") for cell in self.cells
        )

    def parts(self, board: Board) -> Iterator[Part]:
        """One part per cell."""
        layer = self.own_layer(board)
        for cell in self.cells:
            said: list[Constraint] = [lies_inside(layer, board.canvas, cell, self.side == "in")]
            if isinstance(layer, Loop):
                said.append(on_it(layer, board.canvas, cell).negated())
            yield Part(f"{cell} {self.side}side {self.layer}", AllOf(tuple(said)))

    def shapes(self, board: Board) -> Iterator[Shape]:
        """A disc in each cell, or a circle if it is outside."""
        yield Shape("cell mark", self.cells, figure="disc" if self.side == "in" else "circle")


_PARITY = {
    odd: Dfa(0, frozenset({int(odd)}), {(s, n): s ^ n for s in (0, 1) for n in (0, 1)})
    for odd in (False, True)
}


def lies_inside(layer: object, canvas: Canvas, cell: Cell, inside: bool = True) -> Constraint:
    """A cell off a loop lies inside it if an odd number of its lines are crossed to the left."""
    row = [Cell(cell.row, column) for column in range(1, cell.column + 1)]
    crossed: list[Variable] = []
    if isinstance(layer, BorderLoop):
        for here in row:
            before = here.step(0, -1)
            if here in canvas.index:
                crossed.append(layer.edge(canvas, here, "left"))
            elif before in canvas.index:
                crossed.append(layer.edge(canvas, before, "right"))
    else:
        assert isinstance(layer, Walk)
        for here in row:
            above = here.step(-1, 0)
            if here in canvas.index and above in canvas.index:
                crossed.append(layer.link(above, here))
    return Automaton(tuple(crossed), _PARITY[inside])


class Matches(OnShading):
    """The cells with the value are exactly the cells that a loop or path visits.

    `of` names the loop or path. `inside = true`: exactly the cells inside it instead.

    Example: `kind = "matches"`, `layer = "water"`, `value = "deep"`, `of = "cruise"`.
    """

    kind: Literal["matches"] = "matches"
    of: str = Field(description="the loop or path")
    inside: bool = Field(default=False, description="whether the cells inside it are meant")

    sentence: ClassVar[str] = "The cells of the value are those of the line."

    @property
    def spoken(self) -> str:
        """Its name in steps: ``match of deep cells and the cruise``."""
        return f"match of {self.value} cells and the {self.of}"

    def wording(self) -> str:
        """The sentence, with the layers and the value."""
        if self.inside:
            return f"The {self.cells_called()} are exactly those inside the {self.of}."
        return f"The {self.cells_called()} are exactly those that the {self.of} visits."

    def place(self) -> str:
        """Its layer, value and the other layer."""
        return f"{super().place()} {self.of}"

    def of_layers(self) -> tuple[str, ...]:
        """Both layers."""
        return self.layer, self.of

    def _line(self, board: Board) -> Layer:
        kinds: tuple[type[Layer], ...] = (Loop, BorderLoop) if self.inside else (Loop, Path)
        return layer_of(board, self.of, kinds, self.kind, "of")

    def check(self, board: Board) -> None:
        """Both layers exist."""
        super().check(board)
        self._line(board)

    def holds(self, filled: Filled) -> bool:
        """Whether the two sets of cells are the same."""
        board, canvas = filled.board, filled.board.canvas
        line, having = self._line(board), self.cells_with(filled)
        if isinstance(line, BorderLoop):
            return having == inside_of_border(line, canvas, filled.numbers)
        assert isinstance(line, Walk)
        if self.inside:
            return having == inside_of_walk(line, canvas, filled.numbers)
        return having == {cell for cell, degree in line.degrees(filled).items() if degree}

    def parts(self, board: Board) -> Iterator[Part]:
        """One part per cell."""
        line, canvas = self._line(board), board.canvas
        for cell in canvas.cells:
            there: Constraint
            if not self.inside:
                assert isinstance(line, Walk)
                there = on_it(line, canvas, cell)
            else:
                there = lies_inside(line, canvas, cell)
                if isinstance(line, Walk):
                    there = AllOf((there, on_it(line, canvas, cell).negated()))
            both = HowMany((self.has(board, cell), there), frozenset({0, 2}))
            yield Part(f"{self.layer} matches {self.of} at {cell}", both)
