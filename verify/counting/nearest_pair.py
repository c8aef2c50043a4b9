"""The two solutions that differ in the fewest cells.

A first pair comes from bringing one known solution as close to another as single steps can. Then the
clauses are taken twice, for two solutions side by side; a cell *differs* when one of its literals
does, and the number of cells that differ is bounded by a totalizer, lowered until nothing is left.
A full house never differs in exactly one cell. The clauses do not say so by themselves, and most of
the proof comes from it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from pysat.card import ITotalizer
from pysat.solvers import Solver

from gridassay.encodings.cnf.compile import Compiled, compile_model
from gridassay.encodings.constraints import Permutation, Variable
from gridassay.encodings.puzzle import Fact, Puzzle, Solution
from gridassay.encodings.wording import quantity
from gridassay.verify.budget import DEFAULT_SECONDS, Clock, OutOfTime, within_budget
from gridassay.verify.engines import sat_engine_for
from gridassay.verify.engines.cores import Question
from gridassay.verify.engines.questions import other_than
from gridassay.verify.in_short import InShort

_SLICE = 1000
_TICK = 10_000


@dataclass(frozen=True, repr=False)
class Nearest(InShort):
    """Two solutions, the cells and unknowns in which they differ; ``proved`` when none are nearer."""

    first: Solution
    second: Solution
    differs: tuple[Variable, ...]
    proved: bool

    def in_short(self) -> str:
        """Where the two solutions differ."""
        least = "" if self.proved else " or fewer"
        return f"{quantity(len(self.differs), 'place')}{least}: {' '.join(map(str, self.differs))}"


@within_budget
def nearest_solutions(
    puzzle: Puzzle, known: tuple[Solution, Solution], *, budget: float | Clock = DEFAULT_SECONDS
) -> Nearest:
    """The two solutions that differ in fewest cells and unknowns, starting from two that are known.

    If the clock runs out, the nearest pair found so far is returned, not proved.
    """
    clock = Clock.of(budget)
    model = puzzle.model
    best = known
    proved = False
    try:
        best = _closer(puzzle, known, clock)
        compiled = compile_model(model, tick=clock.check)
        with _Pair(puzzle, compiled, _distance(*best), clock) as pair:
            nearer: tuple[Solution, Solution] | None = best
            while nearer is not None:
                best = nearer
                nearer = pair.nearer_than(_distance(*best), clock)
            proved = True
    except OutOfTime:
        pass
    pairs = zip(model.shown, *best, strict=True)
    differs = tuple(variable for variable, one, other in pairs if one != other)
    return Nearest(*best, differs, proved)


def _closer(
    puzzle: Puzzle, known: tuple[Solution, Solution], clock: Clock
) -> tuple[Solution, Solution]:
    """The first solution and one that agrees with it wherever the second did, and in no more cells."""
    first, second = known
    engine = sat_engine_for(puzzle, clock)
    facts = [Fact(v, n) for v, n in zip(engine.model.shown, first, strict=True)]
    with other_than(engine, first) as other:
        question = Question(puzzle, engine, facts, on=puzzle.model.by_default, demands=[other])
        found = question.solve(question.extend(second, clock), clock)
    return first, found or second


def _distance(first: Solution, second: Solution) -> int:
    return sum(one != other for one, other in zip(first, second, strict=True))


class _Pair:
    """A solver for two solutions at once, and how many of their variables may differ."""

    def __init__(self, puzzle: Puzzle, compiled: Compiled, distance: int, clock: Clock) -> None:
        model, givens = puzzle.model, puzzle.givens
        on = model.by_default
        self._model, self._compiled = model, compiled
        self._solver = Solver(name="cadical153")
        self._away = compiled.variables
        top = 2 * self._away
        for place, clause in enumerate(compiled.clauses):
            self._both(clause)
            if not place % _TICK:
                clock.check()
        for literal in [*compiled.assumptions(on), *(compiled.literal(*fact) for fact in givens)]:
            self._both([literal])
        given = {fact.variable for fact in givens}
        self._differs: dict[Variable, int] = {}
        for variable in model.shown:
            if variable not in given:
                top += 1
                self._differs[variable] = top
                self._define(variable, top)
        self._full_houses(on)
        differs = list(self._differs.values())
        self._solver.add_clause(differs)
        self._counter = ITotalizer(lits=differs, ubound=distance - 1, top_id=top)
        self._solver.append_formula(self._counter.cnf.clauses)

    def __enter__(self) -> _Pair:
        return self

    def __exit__(self, *_: object) -> None:
        self._solver.delete()
        self._counter.delete()

    def _both(self, clause: Sequence[int]) -> None:
        self._solver.add_clause(list(clause))
        self._solver.add_clause([x + self._away if x > 0 else x - self._away for x in clause])

    def _define(self, variable: Variable, differs: int) -> None:
        for one in self._compiled.writer.literals(variable):
            other = one + self._away
            self._solver.add_clause([-one, other, differs])
            self._solver.add_clause([one, -other, differs])
            self._solver.add_clause([-one, -other, -differs])

    def _full_houses(self, on: Sequence[str]) -> None:
        """A cell that differs in a full house never differs alone."""
        chosen = set(on)
        for premise in self._model.premises:
            for part in premise.parts if premise.name in chosen else ():
                if isinstance(part.constraint, Permutation):
                    members = [
                        self._differs[v] for v in part.constraint.scope() if v in self._differs
                    ]
                    for one in members:
                        self._solver.add_clause([-one, *[x for x in members if x != one]])

    def nearer_than(self, distance: int, clock: Clock) -> tuple[Solution, Solution] | None:
        """Two solutions that differ in fewer variables; None when there are none."""
        if distance <= 1:
            return None
        while True:
            self._solver.conf_budget(_SLICE)
            answer = self._solver.solve_limited(assumptions=[-self._counter.rhs[distance - 1]])
            if answer is not None:
                break
            clock.check()
        if not answer:
            return None
        true = {literal for literal in self._solver.get_model() or () if literal > 0}
        return self._read(true, 0), self._read(true, self._away)

    def _read(self, true: set[int], away: int) -> Solution:
        domains = self._model.domains
        return tuple(
            next(
                value
                for value in domains[variable]
                if self._compiled.literal(variable, value) + away in true
            )
            for variable in self._model.shown
        )
