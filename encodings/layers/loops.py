"""Loops and paths: lines through the middles of cells, from neighbour to neighbour."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Annotated, ClassVar, Literal

from pydantic import BeforeValidator, Field

from gridassay.encodings.board import Board, Filled, Part
from gridassay.encodings.constraints import AllOf, AnyOf, Constraint, HowMany, In
from gridassay.encodings.errors import RuleError
from gridassay.encodings.graphs import Graph, Way
from gridassay.encodings.grid import Canvas, Cell
from gridassay.encodings.groups import Connected
from gridassay.encodings.layers.base import Layer, are_neighbours, neighbour_pairs, read_cell
from gridassay.encodings.layers.lines import OFF, ON, Texts, joints, no_line, so_many
from gridassay.encodings.variables import Fact, Link, Values, Variable


class Walk(Layer):
    """Base of loops and paths through the middles of cells."""

    visits: Literal["some", "all"] = Field(
        default="some", description="whether all cells are visited"
    )
    touching: bool = Field(
        default=True, description="false: visited cells that are neighbours are joined"
    )
    givens: Texts = Field(default=(), description='"r1c1-r1c2" or "not r1c1-r1c2"')

    def link(self, one: Cell, other: Cell) -> Link:
        """The variable of two neighbours."""
        first, second = sorted((one, other))
        return Link(self.name, first, second)

    def links(self, canvas: Canvas) -> tuple[Link, ...]:
        """All its variables, by their first cell and then their second."""
        return tuple(self.link(*pair) for pair in neighbour_pairs(canvas))

    def links_at(self, canvas: Canvas, cell: Cell) -> tuple[Link, ...]:
        """The variables of one cell: up, left, right, down."""
        return tuple(self.link(cell, other) for other in canvas.neighbours(cell))

    def variables(self, canvas: Canvas) -> Mapping[Variable, tuple[int, ...]]:
        """One variable per pair of neighbours."""
        return dict.fromkeys(self.links(canvas), (0, 1))

    def facts(self, canvas: Canvas) -> tuple[Fact, ...]:
        """The links that are given, and those that are given not to be."""
        return tuple(self._given_link(canvas, text) for text in self.givens)

    def _given_link(self, canvas: Canvas, text: str) -> Fact:
        bare = text.strip()
        no = bare.startswith("not ")
        first, dash, second = bare.removeprefix("not ").partition("-")
        if not dash:
            raise RuleError(f"{text!r} is not a link such as r1c1-r1c2", key="givens")
        ends = read_cell(first, canvas, text), read_cell(second, canvas, text)
        if not are_neighbours(*ends):
            raise RuleError(f"{text!r}: {ends[0]} and {ends[1]} are not neighbours", key="givens")
        return Fact(self.link(*ends), int(not no))

    def givens_of(self, canvas: Canvas, values: Values) -> list[str]:
        """Each link that is known, written out."""
        return [
            f"{'' if values[link] else 'not '}{link.first}-{link.second}"
            for link in self.links(canvas)
            if link in values
        ]

    def degrees(self, filled: Filled) -> dict[Cell, int]:
        """The number of links of each cell."""
        canvas, numbers = filled.board.canvas, filled.numbers
        return {
            cell: sum(numbers[link] for link in self.links_at(canvas, cell))
            for cell in canvas.cells
        }

    def one_piece(self, filled: Filled) -> bool:
        """Whether the drawn links are connected, and there is at least one."""
        canvas = filled.board.canvas
        drawn = [link for link in self.links(canvas) if filled.numbers[link]]
        if not drawn:
            return False
        reached, waiting = {drawn[0].first}, [drawn[0].first]
        while waiting:
            cell = waiting.pop()
            for link in drawn:
                for here, there in ((link.first, link.second), (link.second, link.first)):
                    if here == cell and there not in reached:
                        reached.add(there)
                        waiting.append(there)
        return all(link.first in reached for link in drawn)

    def _keeps_apart(self, filled: Filled, degrees: Mapping[Cell, int]) -> bool:
        return self.touching or all(
            filled.numbers[self.link(*pair)]
            for pair in neighbour_pairs(filled.board.canvas)
            if degrees[pair[0]] and degrees[pair[1]]
        )

    def whole_graph(self, canvas: Canvas) -> Graph:
        """Its links, with ways between those that meet in a cell."""
        return joints(self.links(canvas), {c: self.links_at(canvas, c) for c in canvas.cells})

    def cell_graph(self, canvas: Canvas, within: Sequence[Cell] | None = None) -> Graph:
        """Cells that are always in, all or some, with ways between those that it joins."""
        index = {cell: place for place, cell in enumerate(within or canvas.cells)}
        pairs = [pair for pair in neighbour_pairs(canvas) if set(pair) <= index.keys()]
        ways = tuple(Way(index[one], index[other], self.link(one, other)) for one, other in pairs)
        return Graph((None,) * len(index), ways)

    def _apart_parts(self, canvas: Canvas) -> Iterator[Part]:
        for one, other in neighbour_pairs(canvas) if not self.touching else ():
            own = self.link(one, other)
            clauses = tuple(
                AnyOf((In(own, ON), In(here, OFF), In(there, OFF)))
                for here in self.links_at(canvas, one)
                for there in self.links_at(canvas, other)
                if own not in (here, there)
            )
            yield Part(f"{self.name}: does not touch itself at {one} {other}", AllOf(clauses))

    def _way(self) -> str:
        """The rest of the sentence: where it runs, and what the marks of its givens mean."""
        middles = (
            "the middle of every cell" if self.visits == "all" else "the middles of some cells"
        )
        visits = "each cell exactly once" if self.visits == "all" else "no cell twice"
        apart = "" if self.touching else " Two visited cells that share a side are always joined."
        return (
            f"through {middles}. It moves only between cells that share a side, and visits {visits}."
            f"{apart}{no_line(self.givens)}"
        )

    def solution_text(self, canvas: Canvas, values: Values) -> str:
        """The links that are drawn, in order."""
        return " ".join(
            f"{link.first}-{link.second}" for link in self.links(canvas) if values[link]
        )

    def read(self, canvas: Canvas, text: str) -> tuple[Fact, ...]:
        """The value of every link: those named are drawn, the others are not."""
        facts = dict.fromkeys(self.links(canvas), 0)
        for word in text.split():
            fact = self._given_link(canvas, word)
            assert isinstance(fact.variable, Link)
            facts[fact.variable] = 1
        return tuple(Fact(link, value) for link, value in facts.items())

    def signs(self, canvas: Canvas, values: Values) -> Mapping[Cell, str]:
        """The piece of line in each cell."""
        found = {}
        for cell in canvas.cells:
            arms = 0
            for bit, move in ((1, (1, 0)), (2, (0, 1)), (4, (0, -1)), (8, (-1, 0))):
                other = cell.step(*move)
                if other in canvas.index and values.get(self.link(cell, other)) == 1:
                    arms |= bit
            found[cell] = "·╷╶┌╴┐─┬╵│└├┘┤┴┼"[arms]
        return found


class Loop(Walk):
    """One closed loop through the centres of cells, from neighbour to neighbour across shared sides.

    It visits no cell twice. `visits = "all"`: it goes through every cell. `touching = false`: two
    visited cells that are neighbours are joined.
    """

    kind: Literal["loop"] = "loop"

    called: ClassVar[str] = "a loop"

    def check(self, canvas: Canvas) -> None:
        """Raise RuleError if there is no room for one."""
        if not any(
            all(cell.step(*move) in canvas.index for move in ((0, 1), (1, 0), (1, 1)))
            for cell in canvas.cells
        ) and not _has_ring(canvas):
            raise RuleError("there is no room for a loop on this canvas", key="kind")

    def parts(self, board: Board) -> Iterator[Part]:
        """The parts: two links or none at each cell; one loop."""
        canvas = board.canvas
        counts = frozenset({2}) if self.visits == "all" else frozenset({0, 2})
        for cell in canvas.cells:
            yield Part(
                f"{self.name}: on and off at {cell}", so_many(self.links_at(canvas, cell), counts)
            )
        yield Part(f"{self.name}: one loop", Connected(self.whole_graph(canvas)))
        yield from self._apart_parts(canvas)

    def holds(self, filled: Filled) -> bool:
        """Checks the degrees of cells, one piece, and no touching."""
        degrees = self.degrees(filled)
        allowed = {2} if self.visits == "all" else {0, 2}
        return (
            set(degrees.values()) <= allowed
            and self.one_piece(filled)
            and self._keeps_apart(filled, degrees)
        )

    def text(self) -> str:
        """The sentence that tells a solver what to find."""
        return f"Draw one closed loop ({self.name}) {self._way()}"


def _has_ring(canvas: Canvas) -> bool:
    """Whether there is a ring of cells: something is left after removing dead ends."""
    left = set(canvas.cells)
    while thin := {c for c in left if sum(o in left for o in canvas.neighbours(c)) < 2}:
        left -= thin
    return bool(left)


def _ends(given: object) -> object:
    if not isinstance(given, str) or not re.fullmatch(
        r"\s*[rR]\d{1,3}[cC]\d{1,3}\s+[rR]\d{1,3}[cC]\d{1,3}\s*", given
    ):
        raise ValueError(f"{given!r} is not two cells such as 'r1c1 r9c9'")
    return given


class Path(Walk):
    """One path through the centres of cells, from neighbour to neighbour across shared sides.

    It visits no cell twice. `ends` names its first and its last cell; they are open if it is left
    out.
    """

    kind: Literal["path"] = "path"
    ends: Annotated[str, BeforeValidator(_ends)] | None = Field(
        default=None, description='its first and last cell, "r1c1 r9c9"; open if left out'
    )

    called: ClassVar[str] = "a path"

    def end_cells(self) -> tuple[Cell, ...]:
        """The cells that it begins and ends at; none while they are open."""
        found = re.findall(r"[rR](\d+)[cC](\d+)", self.ends or "")
        return tuple(Cell(int(row), int(column)) for row, column in found)

    def check(self, canvas: Canvas) -> None:
        """Its ends are two cells; there is room for a step."""
        for cell in self.end_cells():
            if cell not in canvas.index:
                raise RuleError(f"{cell} is not on the canvas", key="ends")
        if self.ends and len(set(self.end_cells())) < 2:
            raise RuleError("a path cannot begin and end in one cell", key="ends")
        if not self.links(canvas):
            raise RuleError("there is no room for a path on this canvas", key="kind")

    def parts(self, board: Board) -> Iterator[Part]:
        """The parts: one link at its ends, two at each other cell on it; one path."""
        canvas, ends = board.canvas, self.end_cells()
        least = {1} if self.visits == "all" else {0, 1}
        for cell in canvas.cells:
            if ends:
                counts = {1} if cell in ends else {2} if self.visits == "all" else {0, 2}
            else:
                counts = least | {2}
            links = self.links_at(canvas, cell)
            yield Part(f"{self.name}: on and off at {cell}", so_many(links, frozenset(counts)))
        if not ends:
            single = tuple(
                so_many(self.links_at(canvas, cell), frozenset({1})) for cell in canvas.cells
            )
            yield Part(f"{self.name}: two ends", HowMany(single, frozenset({2})))
        yield Part(f"{self.name}: one path", Connected(self.whole_graph(canvas)))
        yield from self._apart_parts(canvas)

    def holds(self, filled: Filled) -> bool:
        """Whether cells have the right degrees, and there are two ends, one piece and no touching."""
        degrees = self.degrees(filled)
        single = [cell for cell, degree in degrees.items() if degree == 1]
        return (
            max(degrees.values()) <= 2
            and len(single) == 2
            and (not self.ends or set(single) == set(self.end_cells()))
            and (self.visits == "some" or min(degrees.values()) > 0)
            and self.one_piece(filled)
            and self._keeps_apart(filled, degrees)
        )

    def text(self) -> str:
        """The sentence that tells a solver what to find."""
        ends = self.end_cells()
        runs = f" from {ends[0]} to {ends[1]}" if ends else ""
        return f"Draw one path ({self.name}){runs} {self._way()}"


def inside_of_walk(layer: Walk, canvas: Canvas, values: Values) -> set[Cell]:
    """The cells inside a loop of cells and not on it: an odd number of links pass above or below them.

    Looking left from the upper half of a cell, one crosses the links that go up from its row.
    """
    found: set[Cell] = set()
    for row in range(1, canvas.rows + 1):
        odd = False
        for column in range(1, canvas.columns + 1):
            cell, above = Cell(row, column), Cell(row - 1, column)
            if cell in canvas.index and above in canvas.index:
                odd ^= bool(values[layer.link(above, cell)])
            on_it = cell in canvas.index and any(
                values[link] for link in layer.links_at(canvas, cell)
            )
            if odd and cell in canvas.index and not on_it:
                found.add(cell)
    return found


def visits(layer: Walk, canvas: Canvas, cells: Iterable[Cell], count: frozenset[int]) -> Constraint:
    """A given number of the cells are on it."""
    members = tuple(on_it(layer, canvas, cell) for cell in cells)
    return HowMany(members, count)


def on_it(layer: Walk, canvas: Canvas, cell: Cell) -> Constraint:
    """A cell is visited."""
    return AnyOf(tuple(In(link, ON) for link in layer.links_at(canvas, cell)))
