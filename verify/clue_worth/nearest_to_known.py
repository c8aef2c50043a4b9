"""The nearest other solution: one that differs from a known solution in the fewest cells.

The cells in which two solutions of a puzzle's houses and rules differ are an *unavoidable set*:
without a given among them the two cannot be told apart (Russell and Jarvis used the term for sudoku;
McGuire, Tugemann, Civario, "There is no 16-clue Sudoku", 2014). With every given but one assumed and
that one denied, the nearest other solution shows the smallest unavoidable set that this given alone
guards.

The search starts from any other solution, lets differing cells fall back one solver call at a time
until none can, and then asks for fewer differing cells by a totalizer's bound until there are none
fewer.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from gridassay.encodings.constraints import Variable
from gridassay.encodings.grid import Cell
from gridassay.encodings.puzzle import Fact, Solution
from gridassay.encodings.variables import Layered
from gridassay.verify.budget import Clock, OutOfTime
from gridassay.verify.engines.questions import Assertion, Demand, Denial, Engine, Switch


@dataclass(frozen=True)
class NearestOther:
    """Another solution and the cells in which it differs; ``exact`` if no other differs in fewer."""

    solution: Solution
    cells: tuple[Variable, ...]
    exact: bool


class Neighbourhood:
    """Counts differences from one known solution on an engine; made once, asked many times.

    The counter's clauses stay in the engine, so give it one that is not kept for other questions.
    """

    def __init__(self, engine: Engine, known: Solution) -> None:
        self.engine = engine
        self.value: dict[Variable, int] = dict(zip(engine.model.shown, known, strict=True))
        shown = engine.model.shown
        self.cells = [one for one in shown if isinstance(one, Cell | Layered)]
        self._bounds = engine.at_most([Denial(cell, self.value[cell]) for cell in self.cells])

    def nearest(
        self,
        other: Solution,
        assuming: Sequence[Assertion],
        clock: Clock,
        on: Iterable[Switch] | None = None,
        demands: Sequence[Demand] = (),
    ) -> NearestOther:
        """The solution nearest to the known one among those of a question, which ``other`` is one of.

        The question must rule the known solution out, by a denial among its assertions or by a
        demand. When the clock runs out the nearest found so far is given, not ``exact``.
        """
        switches = None if on is None else list(on)
        best = other
        try:
            best = self._fall_back(best, assuming, clock, switches, demands)
            while fewer := len(self._differing(best)):
                bound = self._bounds[fewer - 1]
                found = self.engine.solve(assuming, clock, on=switches, demands=[*demands, bound])
                if found is None:
                    break
                best = found
        except OutOfTime:
            return NearestOther(best, self._differing(best), exact=False)
        return NearestOther(best, self._differing(best), exact=True)

    def _fall_back(
        self,
        other: Solution,
        assuming: Sequence[Assertion],
        clock: Clock,
        on: Sequence[Switch] | None,
        demands: Sequence[Demand],
    ) -> Solution:
        """A solution whose differing cells contain those of no other solution."""
        best = other
        while differing := self._differing(best):
            same = [Fact(cell, self.value[cell]) for cell in self.cells if cell not in differing]
            one_back = self.engine.demand([Fact(cell, self.value[cell]) for cell in differing])
            try:
                found = self.engine.solve(
                    [*assuming, *same], clock, on=on, demands=[*demands, one_back]
                )
            finally:
                self.engine.retire(one_back)
            if found is None:
                break
            best = found
        return best

    def _differing(self, solution: Solution) -> tuple[Variable, ...]:
        pairs = zip(self.engine.model.shown, solution, strict=True)
        return tuple(
            one
            for one, number in pairs
            if isinstance(one, Cell | Layered) and number != self.value[one]
        )
