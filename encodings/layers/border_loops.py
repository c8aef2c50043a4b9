"""Border loops: one closed loop along the lines of the grid."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import ClassVar, Literal

from pydantic import Field

from gridassay.encodings.board import Board, Filled, Part
from gridassay.encodings.constraints import Constraint, Count
from gridassay.encodings.errors import RuleError
from gridassay.encodings.grid import Canvas, Cell
from gridassay.encodings.groups import Connected
from gridassay.encodings.layers.base import Layer, are_neighbours, read_cell
from gridassay.encodings.layers.lines import ON, Texts, joints, no_line, so_many
from gridassay.encodings.variables import Edge, Fact, Side, Values, Variable

_SIDES: tuple[tuple[Side, tuple[int, int]], ...] = (
    ("top", (-1, 0)),
    ("left", (0, -1)),
    ("right", (0, 1)),
    ("bottom", (1, 0)),
)
_POINTS: Mapping[Side, tuple[tuple[int, int], tuple[int, int]]] = {
    "top": ((0, 0), (0, 1)),
    "left": ((0, 0), (1, 0)),
    "right": ((0, 1), (1, 1)),
    "bottom": ((1, 0), (1, 1)),
}


class BorderLoop(Layer):
    """One closed loop along the lines of the grid, the canvas's edge included.

    It runs wherever at least one side is a cell, and passes each corner of the grid at most once.
    """

    kind: Literal["border-loop"] = "border-loop"
    givens: Texts = Field(default=(), description='"r4c4|r4c5", "r1c1|top" or "not r1c1|top"')

    called: ClassVar[str] = "a border loop"

    def edge(self, canvas: Canvas, cell: Cell, side: Side) -> Edge:
        """The variable of one side of a cell."""
        other = cell.step(*dict(_SIDES)[side])
        if other not in canvas.index:
            return Edge(self.name, cell, side)
        first, second = sorted((cell, other))
        return Edge(self.name, first, second)

    def sides(self, canvas: Canvas, cell: Cell) -> tuple[Edge, ...]:
        """The four sides of a cell: top, left, right, bottom."""
        return tuple(self.edge(canvas, cell, side) for side, _ in _SIDES)

    def edges(self, canvas: Canvas) -> tuple[Edge, ...]:
        """All edges, by their cells."""
        found = (edge for cell in canvas.cells for edge in self.sides(canvas, cell))
        return tuple(dict.fromkeys(found))

    def corners(self, canvas: Canvas) -> dict[Cell, list[Variable]]:
        """The edges that meet at each corner of the grid, by the cell to the lower right of it."""
        at: dict[Cell, list[Variable]] = {}
        for cell in canvas.cells:
            for side, _ in _SIDES:
                edge = self.edge(canvas, cell, side)
                for down, right in _POINTS[side]:
                    meeting = at.setdefault(cell.step(down, right), [])
                    if edge not in meeting:
                        meeting.append(edge)
        return at

    def variables(self, canvas: Canvas) -> Mapping[Variable, tuple[int, ...]]:
        """One for each side of a cell."""
        return dict.fromkeys(self.edges(canvas), (0, 1))

    def facts(self, canvas: Canvas) -> tuple[Fact, ...]:
        """The sides given as part of the loop, and those given as not part of it."""
        return tuple(self._given_edge(canvas, text) for text in self.givens)

    def _given_edge(self, canvas: Canvas, text: str) -> Fact:
        bare = text.strip()
        no = bare.startswith("not ")
        first, bar, second = bare.removeprefix("not ").partition("|")
        if not bar:
            raise RuleError(f"{text!r} is not a side such as r1c1|r1c2 or r1c1|top", key="givens")
        cell = read_cell(first, canvas, text)
        for side, move in _SIDES:
            if second.strip() == side:
                if cell.step(*move) in canvas.index:
                    beyond = cell.step(*move)
                    raise RuleError(f"{text!r}: write {cell}|{beyond}", key="givens")
                return Fact(self.edge(canvas, cell, side), int(not no))
        other = read_cell(second, canvas, text)
        if not are_neighbours(cell, other):
            raise RuleError(f"{text!r}: {cell} and {other} are not neighbours", key="givens")
        first_cell, last = sorted((cell, other))
        return Fact(Edge(self.name, first_cell, last), int(not no))

    def givens_of(self, canvas: Canvas, values: Values) -> list[str]:
        """Each side that is known, written out."""
        return [
            f"{'' if values[edge] else 'not '}{edge.cell}|{edge.beyond}"
            for edge in self.edges(canvas)
            if edge in values
        ]

    def parts(self, board: Board) -> Iterator[Part]:
        """The parts: two lines or none at each corner; one loop."""
        at = self.corners(board.canvas)
        for corner, meeting in sorted(at.items()):
            label = f"{self.name}: on and off at the top left corner of {corner}"
            yield Part(label, so_many(meeting, frozenset({0, 2})))
        yield Part(f"{self.name}: one loop", Connected(joints(self.edges(board.canvas), at)))

    def holds(self, filled: Filled) -> bool:
        """Checks the degrees of corners, and that the loop is one piece."""
        canvas, numbers = filled.board.canvas, filled.numbers
        at = self.corners(canvas)
        if any(sum(numbers[edge] for edge in meeting) not in (0, 2) for meeting in at.values()):
            return False
        drawn = [edge for edge in self.edges(canvas) if numbers[edge]]
        if not drawn:
            return False
        left, waiting = set(drawn[1:]), [drawn[0]]
        while waiting:
            edge = waiting.pop()
            for meeting in at.values():
                if edge in meeting:
                    beside = [one for one in left if one in meeting]
                    left.difference_update(beside)
                    waiting += beside
        return not left

    def solution_text(self, canvas: Canvas, values: Values) -> str:
        """The sides that are on it, in order."""
        return " ".join(f"{e.cell}|{e.beyond}" for e in self.edges(canvas) if values[e])

    def read(self, canvas: Canvas, text: str) -> tuple[Fact, ...]:
        """The value of every side: those named are on it, the others are not."""
        facts = dict.fromkeys(self.edges(canvas), 0)
        for word in text.split():
            fact = self._given_edge(canvas, word)
            assert isinstance(fact.variable, Edge)
            facts[fact.variable] = 1
        return tuple(Fact(edge, value) for edge, value in facts.items())

    def signs(self, canvas: Canvas, values: Values) -> Mapping[Cell, str]:
        """The cells inside, if all is known; else how many sides of each cell are known to be on."""
        if all(edge in values for edge in self.edges(canvas)):
            inside = inside_of_border(self, canvas, values)
            return {cell: "●" if cell in inside else "·" for cell in canvas.cells}
        count = {c: sum(values.get(e, 0) for e in self.sides(canvas, c)) for c in canvas.cells}
        return {cell: str(number) if number else "·" for cell, number in count.items()}

    def text(self) -> str:
        """The sentence that tells a solver what to find."""
        return (
            f"Draw one closed loop ({self.name}) along the lines of the grid, its edge included, that "
            f"passes no corner twice.{no_line(self.givens)}"
        )


def inside_of_border(layer: BorderLoop, canvas: Canvas, values: Values) -> set[Cell]:
    """The cells inside a border loop: an odd number of its lines lie to their left."""
    found: set[Cell] = set()
    for row in range(1, canvas.rows + 1):
        odd = False
        for column in range(1, canvas.columns + 1):
            cell, before = Cell(row, column), Cell(row, column - 1)
            if cell in canvas.index:
                odd ^= bool(values[layer.edge(canvas, cell, "left")])
            elif before in canvas.index:
                odd ^= bool(values[layer.edge(canvas, before, "right")])
            if odd and cell in canvas.index:
                found.add(cell)
    return found


def sides_on(layer: BorderLoop, canvas: Canvas, cell: Cell, counts: frozenset[int]) -> Constraint:
    """A number of sides of a cell are on it."""
    return Count(layer.sides(canvas, cell), ON, counts)
