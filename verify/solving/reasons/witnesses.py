"""The memory of the search for reasons: premises by number, the engine, the witnesses.

A *witness* is a full grid that refutes reasons: see ``search.py``.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from gridassay.encodings.constraints import CellMark, CellValue, Constraint, Doubler, Variable
from gridassay.encodings.grid import Cell
from gridassay.encodings.puzzle import Fact, Puzzle, Solution
from gridassay.encodings.variables import Shade
from gridassay.verify.budget import Clock
from gridassay.verify.engines.questions import Assertion, Demand, Switch
from gridassay.verify.engines.sat import SatEngine
from gridassay.verify.solving.board.ideas import Spot
from gridassay.verify.solving.board.position import Layout, Mark, Position, layout_of, members
from gridassay.verify.solving.reasons.proving import cell_premises

SOLVER = "minisat22"
"""Quicker than the default at many small questions answered near a known solution."""

MOST_BUNDLES = 1000
"""The number of handles after which the engine is rebuilt: each handle slows every question a little."""

Values = dict[Variable, int]
"""A number for every variable of a full grid, those behind its digits included."""


MOST_PREMISES = 24
"""The most houses and rule parts of a reason that is looked for."""

MOST_ABOUT_CANDIDATES = 120
"""The most premises about candidates of a reason that is looked for."""

MOST_CHOICES = 1000
"""The number of choices after which a search settles for a short reason."""


@dataclass(frozen=True)
class Within:
    """Bounds of a search, known from elsewhere: on parts and on premises about candidates.

    ``rules_only`` leaves houses out; after this many ``choices`` a short reason is enough.
    """

    fewest_parts: int = 0
    most_parts: int = MOST_PREMISES
    most_about: int = MOST_ABOUT_CANDIDATES
    rules_only: bool = False
    choices: int = MOST_CHOICES


NO_BOUNDS = Within()


@dataclass(frozen=True)
class FoundReason:
    """An elimination, or several with one reason, and the premises from which they follow."""

    removes: tuple[Mark, ...]
    switches: tuple[Switch, ...]
    cells: tuple[int, ...]
    spots: tuple[Spot, ...]
    places: tuple[Mark, ...] = ()
    """Digits that follow from the same premises."""

    exact: bool = True
    """Whether it is shown to be the smallest."""

    @property
    def size(self) -> tuple[int, int]:
        """Houses and rule parts, then premises about candidates."""
        return len(self.switches), len(self.cells) + len(self.spots)


@dataclass(frozen=True, slots=True)
class Witness:
    """A full grid: its candidates as a bit set (unknown × width + value), the parts it breaks."""

    marks: int
    broken: tuple[int, ...]


class ReasonBook:
    """Finds smallest reasons in the positions of one puzzle; learns from one to the next."""

    def __init__(self, puzzle: Puzzle, clock: Clock) -> None:
        self.layout: Layout = layout_of(puzzle)
        self.board = puzzle.board
        self._model = puzzle.model.with_free_letters
        self._settled: tuple[int, ...] = ()
        self.engine = SatEngine(self._model, clock, solver=SOLVER)
        self.settled = self.engine
        self.pool: list[Witness] = []
        self.switches: list[Switch] = []
        self.constraints: list[Constraint] = []
        self.scopes: list[int] = []
        self.touching: list[list[int]] = [[] for _ in self.layout.unknowns]
        for premise in self.layout.premises.values():
            for number, part in enumerate(premise.parts):
                self.switches.append(
                    premise.name if premise.kind == "house" else (premise.name, number)
                )
                self.constraints.append(part.constraint)
                scope = self.layout.reach(part)
                for cell_number in scope:
                    self.touching[cell_number].append(len(self.scopes))
                self.scopes.append(sum(1 << cell_number for cell_number in scope))
        self._solution: Solution = ()
        self._near: dict[Mark, tuple[Witness, ...]] = {}
        self._bundles: dict[tuple[object, ...], Demand] = {}

    def enter(self, position: Position, solution: Solution, clock: Clock) -> None:
        """Make ready for a position: ``settled`` answers with all its candidates as premises.

        Its engine has struck candidates removed for good, which saves most of the work of a
        question; so it is rebuilt for a position in which candidates are back.
        """
        masks = tuple(position.masks)
        grown = any(mask & ~old for mask, old in zip(masks, self._settled, strict=False))
        if not self._settled or grown:
            self.settled = SatEngine(self._model, clock, solver=SOLVER)
            self._settled = self.layout.full
        changed = [cell for cell, mask in enumerate(masks) if mask != self._settled[cell]]
        self.settled.settle(cell_premises(position, changed))
        self._settled = masks
        if len(self._bundles) > MOST_BUNDLES:
            self._bundles.clear()
            self.engine = SatEngine(self._model, clock, solver=SOLVER)
        if solution != self._solution:
            self._solution = solution
            self._near.clear()
        for engine in (self.engine, self.settled):
            engine.lean(map(Fact, self.board.shown, solution))

    def values(self, solution: Solution) -> Values:
        """A solution's numbers, and those behind its digits."""
        values: Values = dict(zip(self.board.shown, solution, strict=True))
        if self.board.counting:
            for cell in self.board.canvas.cells:
                self.read_cell(values, cell)
        return values

    def read_cell(self, values: Values, cell: Cell) -> None:
        """Bring the mark and value of a cell in line with its digit."""
        if counting := self.board.counting:
            for variable in (CellMark(cell), CellValue(cell)):
                values[variable] = counting.worked_out(variable, values)

    def marks(self, values: Values) -> int:
        """The candidates of a full grid as a bit set."""
        layout, bits = self.layout, 0
        for unknown in layout.unknowns:
            number, value = layout.mark_of(unknown, values[unknown])
            bits |= 1 << number * layout.width + value
        return bits

    def violated_parts(self, values: Values, among: Iterable[int] | None = None) -> tuple[int, ...]:
        """The numbers of the parts that a full grid breaks."""
        numbers = range(len(self.constraints)) if among is None else among
        return tuple(number for number in numbers if not self.constraints[number].holds(values))

    def near(self, mark: Mark) -> tuple[Witness, ...]:
        """Witnesses for a candidate next to the solution.

        Its cell is changed, or exchanged with one that it sees; no solver is asked.
        """
        if mark not in self._near:
            self._near[mark] = tuple(self._exchanges(mark))
        return self._near[mark]

    def _exchanges(self, mark: Mark) -> Iterator[Witness]:
        layout, solved = self.layout, self.values(self._solution)
        unknown, new = layout.fact(mark)
        yield self._change(solved, {mark[0]: new})
        for other in members(layout.sees[mark[0]]) if layout.is_cell(mark[0]) else ():
            if solved[layout.cells[other]] == new:
                yield self._change(solved, {mark[0]: new, other: solved[unknown]})

    def _change(self, solved: Values, changes: Mapping[int, int]) -> Witness:
        values = dict(solved)
        for number, value in changes.items():
            unknown = self.layout.unknowns[number]
            values[unknown] = value
            if isinstance(unknown, Cell | Doubler | Shade):
                self.read_cell(values, unknown if isinstance(unknown, Cell) else unknown.cell)
        near = dict.fromkeys(part for number in changes for part in self.touching[number])
        return Witness(self.marks(values), self.violated_parts(values, near))

    def about_cell(self, position: Position, cell: int) -> Demand:
        """The handle on "the candidates of this cell are these"."""
        return self.bundle((cell, position.masks[cell]), cell_premises(position, [cell]))

    def bundle(self, key: tuple[object, ...], assertions: Iterable[Assertion]) -> Demand:
        """The handle on a premise about candidates, made once."""
        found = self._bundles.get(key)
        if found is None:
            found = self._bundles[key] = self.engine.every(list(assertions))
        return found
