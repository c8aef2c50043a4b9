"""Which clues earn their place: what each given and each drawn rule does for the one solution.

For every clue: is it *wasted* (without it there is still one solution), how many solutions there are
without it, which cells open up, and which other solution lies nearest. For all of them together:
a set that may be removed at once, and on request the smallest sets that must stay (``keepers.py``).

Answers come in order of their worth, so that a budget that runs out costs the most expensive ones: all
of "wasted or not", then the cells that open, then the counts, then the nearest solutions.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any

from gridassay.encodings.constraints import Variable
from gridassay.encodings.grid import Cell
from gridassay.encodings.puzzle import Fact, Puzzle, Solution
from gridassay.encodings.variables import word
from gridassay.verify.budget import DEFAULT_SECONDS, Clock, OutOfTime, within_budget
from gridassay.verify.clue_worth.certain import Certain
from gridassay.verify.clue_worth.keepers import Dropping, Keepers, Search
from gridassay.verify.clue_worth.keepers import keepers as find_keepers
from gridassay.verify.clue_worth.nearest_to_known import NearestOther, Neighbourhood
from gridassay.verify.clue_worth.thinning import Thinned
from gridassay.verify.counting.solution_count import SolutionCount, solution_count
from gridassay.verify.counting.verdict import Verdict, check
from gridassay.verify.engines import sat_engine_for
from gridassay.verify.engines.questions import Assertion, Reason, Switch
from gridassay.verify.engines.sat import SatEngine
from gridassay.verify.in_short import InShort
from gridassay.verify.words import quantity

DEFAULT_LIMIT = 100

DROPPING_EFFORT = 1000
"""Conflicts after which a clue counts among those that stay when several are dropped together.

With most of its clues gone a puzzle can be as hard to decide as any: of 45 clues 37 could be removed
together, which took 72 s to find, mostly for the last two.
"""


@dataclass(frozen=True, repr=False)
class Effect(InShort):
    """The effect of removing one clue; None for what the budget did not reach.

    ``clue`` is a given or the name of a rule, ``without`` the number of solutions that are left,
    ``opens`` the cells and unknowns that are then no longer certain, ``nearest`` the other solution
    that differs in the fewest cells. For a given those cells are the smallest unavoidable set that
    it alone guards. A wasted clue opens nothing and has no nearest other solution.
    """

    clue: Fact | str
    wasted: bool | None = None
    without: SolutionCount | None = None
    opens: tuple[Variable, ...] | None = None
    nearest: NearestOther | None = None

    def in_short(self) -> str:
        """Whether the clue is wasted, and how much depends on it."""
        if self.wasted is None:
            return f"{self.clue}, not examined in time"
        opens = f", opens {quantity(len(self.opens), 'place')}" if self.opens else ""
        return f"{self.clue}, {'wasted' if self.wasted else 'needed'}{opens}"

    def to_json(self, puzzle: Puzzle) -> dict[str, Any]:
        """The keys of the JSON contract, and the nearest other solution."""
        clue = self.clue
        named: dict[str, Any]
        if isinstance(clue, str):
            named = {"premise": clue}
        elif isinstance(clue.variable, Cell):
            named = {"cell": str(clue.variable), "digit": clue.value}
        else:
            named = {"unknown": str(clue.variable), "value": str(word(clue.variable, clue.value))}
        near = self.nearest
        return named | {
            "wasted": self.wasted,
            "without": self.without and self.without.to_json(),
            "opens": None if self.opens is None else [str(variable) for variable in self.opens],
            "nearest": near
            and {
                "cells": [str(cell) for cell in near.cells],
                "exact": near.exact,
                "solution": puzzle.line(near.solution),
                **({"layers": puzzle.layers_shown(near.solution)} if puzzle.layers else {}),
            },
        }


@dataclass(frozen=True, repr=False)
class Clues(InShort):
    """The analysis of one puzzle. If it does not have one solution, only the verdict says something.

    ``droppable`` clues can all be removed together, and one way to fill the grid remains; no clue
    is known that could be removed with them. Another, larger set might do instead: see ``keepers``.
    """

    verdict: Verdict
    givens: tuple[Effect, ...] = ()
    rules: tuple[Effect, ...] = ()
    droppable: tuple[Fact | str, ...] | None = None
    keepers: Keepers | None = None
    seconds: float = 0.0

    def in_short(self) -> str:
        """How many givens and rules, and how many of them are wasted."""
        wasted = sum(bool(effect.wasted) for effect in self.effects)
        of = f"{quantity(len(self.givens), 'given')} and {quantity(len(self.rules), 'rule')}"
        return f"{self.verdict.status}, {of}, {wasted} wasted"

    @property
    def effects(self) -> tuple[Effect, ...]:
        """The effects of all clues, givens first."""
        return (*self.givens, *self.rules)

    @property
    def irreducible(self) -> bool | None:
        """Whether no clue is wasted; None if that is not known."""
        if self.verdict.status != "unique":
            return None
        answers = [effect.wasted for effect in self.effects]
        return False if True in answers else None if None in answers else True

    @property
    def complete(self) -> bool:
        """Whether the budget was enough for every clue; for keeper sets see ``keepers.exact``."""
        return all(
            effect.wasted or (effect.nearest is not None and effect.nearest.exact)
            for effect in self.effects
        )

    def to_json(self) -> dict[str, Any]:
        """The keys of the JSON contract; ``droppable`` and ``nearest`` are more than it asks."""
        puzzle = self.verdict.puzzle
        result: dict[str, Any] = {
            "title": puzzle.title,
            "source": puzzle.source,
            "verdict": self.verdict.status,
            "givens": [effect.to_json(puzzle) for effect in self.givens],
            "rules": [effect.to_json(puzzle) for effect in self.rules],
            "irreducible": self.irreducible,
        }
        if self.droppable is not None:
            result["droppable"] = [str(clue) for clue in self.droppable]
        if self.keepers is not None:
            result["keepers"] = self.keepers.to_json()
        return result | {"seconds": round(self.seconds, 6)}


@within_budget
def clues(
    puzzle: Puzzle,
    *,
    budget: float | Clock = DEFAULT_SECONDS,
    limit: int = DEFAULT_LIMIT,
    keepers: Search | None = None,
    deep: bool = True,
    step: Callable[[], None] = lambda: None,
) -> Clues:
    """Find what each clue of a puzzle does.

    ``budget`` is in seconds, building included, or a clock already running; with ``keepers`` the
    effects of single clues get half of what is left and the keeper sets the rest. Solutions are
    counted up to ``limit``. Without ``deep`` only the wasted clues, and those that can be removed
    together, are found. ``step`` is called after each answer: four for every clue, or one.
    """
    clock = Clock.of(budget)
    started = clock.time_spent()
    verdict = check(puzzle, budget=clock)
    if verdict.status != "unique":
        return Clues(verdict, seconds=clock.time_spent() - started)
    engine = sat_engine_for(puzzle, clock)
    with Thinned(puzzle, verdict.solutions[0], engine) as thinned:
        effects = _Effects(thinned, limit, step)
        droppable: tuple[Fact | str, ...] | None = None
        found: Keepers | None = None
        single = clock if keepers is None else Clock(clock.time_left() / 2)
        try:
            effects.find_wasted(single)
            droppable = _droppable(thinned, single)
            if deep:
                effects.opens(single)
                effects.counts(single)
                effects.nearest(single)
        except OutOfTime:
            pass
        if keepers is not None:
            found = find_keepers(thinned, keepers, clock, step)
    count = len(puzzle.givens)
    done = tuple(effects.found)
    return Clues(
        verdict, done[:count], done[count:], droppable, found, seconds=clock.time_spent() - started
    )


def wasted_clues(thinned: Thinned, clock: Clock) -> Iterator[tuple[Fact | str, Solution | None]]:
    """Each clue with another solution that its loss lets in; None if it is wasted.

    Clues that the solver did not need to rule out a second solution are wasted without further
    question; each of the rest is one question.
    """
    puzzle = thinned.puzzle
    second = thinned.other(puzzle.givens, clock)
    if second is not None:
        raise ValueError("the puzzle has more than one solution")
    needed = thinned.engine.why()
    facts, names = set(needed.assertions), _names(needed)
    for fact in puzzle.givens:
        if fact in facts:
            # The denial alone rules out the known solution, and is quicker.
            yield fact, thinned.engine.solve(thinned.without(fact), clock)
        else:
            yield fact, None
    for name in thinned.rules:
        other = None
        if name in names:
            others = [other for other in thinned.rules if other != name]
            other = thinned.other(puzzle.givens, clock, others)
            if other is None:
                # A proof without this rule also settles every other rule that it does not use.
                names &= _names(thinned.engine.why())
        yield name, other


def _names(reason: Reason) -> set[str]:
    """The premises that a reason rests on, whole or in part."""
    return {switch if isinstance(switch, str) else switch[0] for switch in reason.premises}


def _droppable(thinned: Thinned, clock: Clock) -> tuple[Fact | str, ...]:
    """Clues that can be removed together; none of the rest is known to be removable with them."""
    clues: list[Fact | str] = [*thinned.puzzle.givens, *thinned.rules]
    dropping = Dropping(thinned, [[clue] for clue in clues])
    kept = dropping.irreducible(range(len(clues)), clock, DROPPING_EFFORT)
    return tuple(clue for place, clue in enumerate(clues) if place not in kept)


class _Effects:
    """Fills in the effects of all clues, question by question."""

    def __init__(self, thinned: Thinned, limit: int, step: Callable[[], None]) -> None:
        self.thinned = thinned
        self.limit = limit
        self.step = step
        self.clues: tuple[Fact | str, ...] = (*thinned.puzzle.givens, *thinned.rules)
        self.found = [Effect(clue) for clue in self.clues]
        self._others: list[Solution | None] = []

    def find_wasted(self, clock: Clock) -> None:
        """Wasted or not, for every clue."""
        for place, (_, other) in enumerate(wasted_clues(self.thinned, clock)):
            clock.check()
            self._others.append(other)
            self.found[place] = replace(self.found[place], wasted=other is None)
            self.step()

    def opens(self, clock: Clock) -> None:
        """The cells and unknowns that are no longer certain without each clue."""
        self.thinned.release()
        certain = Certain(self.thinned)
        for place, (clue, other) in enumerate(zip(self.clues, self._others, strict=True)):
            opens: tuple[Variable, ...] = ()
            clock.check()
            if other is not None:
                assuming, on = self._rest_without(clue)
                opens = certain.open_without(clue, other, assuming, on, clock)
            self.found[place] = replace(self.found[place], opens=opens)
            self.step()

    def counts(self, clock: Clock) -> None:
        """The number of solutions without each clue."""
        engine = self.thinned.engine
        for place, clue in enumerate(self.clues):
            clock.check()
            count = SolutionCount(1, exact=True)
            if not self.found[place].wasted:
                assuming, on = self._rest_without(clue)
                count = solution_count(engine, assuming, clock, on, self.limit)
            self.found[place] = replace(self.found[place], without=count)
            self.step()

    def nearest(self, clock: Clock) -> None:
        """The nearest other solution without each clue."""
        if any(self._others):
            engine = SatEngine(self.thinned.engine.model, clock)
            with Thinned(self.thinned.puzzle, self.thinned.known, engine) as apart:
                self._nearest(apart, Neighbourhood(engine, apart.known), clock)

    def _nearest(self, apart: Thinned, around: Neighbourhood, clock: Clock) -> None:
        givens = apart.puzzle.givens
        for place, (clue, other) in enumerate(zip(self.clues, self._others, strict=True)):
            clock.check()
            if other is not None:
                if isinstance(clue, str):
                    rules = [name for name in apart.rules if name != clue]
                    demands = [apart.different(rules)]
                    near = around.nearest(other, givens, clock, apart.on(rules), demands)
                else:
                    near = around.nearest(other, apart.without(clue), clock)
                self.found[place] = replace(self.found[place], nearest=near)
            self.step()

    def _rest_without(self, clue: Fact | str) -> tuple[Sequence[Assertion], list[Switch] | None]:
        """The assertions and switches that are left without a clue."""
        thinned = self.thinned
        if isinstance(clue, str):
            rules = [name for name in thinned.rules if name != clue]
            return thinned.puzzle.givens, thinned.on(rules)
        return [given for given in thinned.puzzle.givens if given != clue], None
