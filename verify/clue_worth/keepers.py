"""Keeper sets: the fewest clues that still leave one solution.

A set of clues leaves one solution when no other solution keeps all of them. So every other solution gives
a set of clues of which one must stay: those that it breaks. A *smallest* set that meets all of
these is a lower bound; if the puzzle with only these clues has one solution it is a keeper set;
if not, the other solution gives a further set. This is implicit hitting-set dualisation (Reiter
1987; Ignatiev, Previti, Liffiton, Marques-Silva, "Smallest MUS extraction with minimal hitting set
dualization", 2015). Two things make it quick:

- the other solution is first grown to one that breaks no clue needlessly, because short sets bind;
- between two exact steps clues are added greedily until one solution is left, which collects many
  sets for one exact step, and gives a small set to report when time runs out.

Clues are removed in *bundles*: single givens and rules, or, to keep a symmetry, the givens of
an orbit. Cells and doublers must be determined; a letter that stood for a clue's number need not be.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from contextlib import suppress
from dataclasses import dataclass
from typing import Any, Literal

from gridassay.encodings.constraints import Variable
from gridassay.encodings.grid import Cell
from gridassay.encodings.lines import PuzzleError
from gridassay.encodings.puzzle import Fact, Solution
from gridassay.encodings.wording import quantity
from gridassay.verify.budget import Clock, OutOfTime, TooHard
from gridassay.verify.clue_worth.orbits import orbits
from gridassay.verify.clue_worth.thinning import Thinned
from gridassay.verify.engines.deletion import irreducible
from gridassay.verify.engines.hitting_sets import LightestHitting
from gridassay.verify.in_short import InShort

Over = Literal["givens", "rules", "both"]
Clue = Fact | str

_NEAR = 3
"""How much heavier than the best a set may be for an attempt to make it lighter than the best."""


@dataclass(frozen=True)
class Search:
    """Which keeper sets are wanted: over which clues, what must stay, in which orbits, and how many.

    ``keep`` holds cells of givens and names of rules, ``symmetric`` the name of a pattern
    (``orbits.py``) whose orbits of givens are dropped whole, ``most`` the number of sets to list.
    """

    over: Over = "givens"
    keep: tuple[Cell | str, ...] = ()
    symmetric: str | None = None
    most: int = 1


@dataclass(frozen=True, repr=False)
class Keepers(InShort):
    """Smallest sets of clues that still leave one way to fill the grid.

    ``sets`` are the ones found, all of one size. ``exact`` if no set is smaller; otherwise none
    has fewer than ``lower_bound`` clues. ``all_listed`` if there are no others of this size.
    """

    search: Search
    sets: tuple[tuple[Clue, ...], ...]
    lower_bound: int
    exact: bool
    all_listed: bool

    def in_short(self) -> str:
        """The size of the sets, and the first of them."""
        size = quantity(self.size, "clue")
        least = "" if self.exact else f", at least {self.lower_bound}"
        return f"{size}{least}: {', '.join(map(str, self.sets[0]))}"

    @property
    def size(self) -> int:
        """Clues in each of the sets."""
        return len(self.sets[0])

    def to_json(self) -> dict[str, Any]:
        """The keys of the JSON contract: the first set, then all of them if several are asked."""
        result: dict[str, Any] = {
            "size": self.size,
            "exact": self.exact,
            "lower_bound": self.lower_bound,
            "over": self.search.over,
            **_by_sort(self.sets[0]),
        }
        if self.search.most > 1:
            result["sets"] = [_by_sort(clues) for clues in self.sets]
            result["all_listed"] = self.all_listed
        return result


def _by_sort(clues: Sequence[Clue]) -> dict[str, list[str]]:
    return {
        "cells": [str(clue.variable) for clue in clues if isinstance(clue, Fact)],
        "rules": [clue for clue in clues if isinstance(clue, str)],
    }


def keepers(
    thinned: Thinned, search: Search, clock: Clock, step: Callable[[], None] = lambda: None
) -> Keepers:
    """Find the smallest sets of clues that still leave one way to fill the grid.

    If the clock runs out, the result has the best set found and the lower bound proved. ``step`` is
    called after each hitting set that was tried. Raises PuzzleError for unknown clues or patterns.
    """
    stay, bundles = _bundles(thinned, search)
    dropping = Dropping(thinned, bundles)
    weights = [len(bundle) for bundle in bundles]
    with LightestHitting(weights) as hitting:
        hunt = _Hunt(dropping, hitting, weights, search.most, step)
        with suppress(OutOfTime):
            hunt.run(clock)
    order = {clue: place for place, clue in enumerate((*thinned.puzzle.givens, *thinned.rules))}
    sets = [sorted([*stay, *dropping.clues(kept)], key=order.__getitem__) for kept in hunt.sets]
    return Keepers(
        search,
        tuple(map(tuple, sets)),
        len(sets[0]) if hunt.exact else len(stay) + hitting.lower_bound,
        hunt.exact,
        hunt.all_listed,
    )


def _bundles(thinned: Thinned, search: Search) -> tuple[list[Clue], list[list[Clue]]]:
    """The clues of a search that stay, and the bundles of those that may be removed."""
    puzzle = thinned.puzzle
    given = {fact.variable: fact for fact in puzzle.givens} if search.over != "rules" else {}
    rules = thinned.rules if search.over != "givens" else ()
    for kept in search.keep:
        if kept not in given and kept not in rules:
            raise PuzzleError(f"cannot keep {kept}: it is not among the clues", puzzle.source)
    cells = [cell for cell in given if isinstance(cell, Cell)]
    grouped: list[list[Variable]] = [[variable] for variable in given]
    if search.symmetric is not None:
        try:
            placed = orbits(cells, puzzle.canvas, search.symmetric)
            grouped = [[*orbit] for orbit in placed]
            grouped += [[one] for one in given if not isinstance(one, Cell)]
        except ValueError as error:
            raise PuzzleError(str(error), puzzle.source) from None
    stay: list[Clue] = []
    bundles: list[list[Clue]] = []
    for group in grouped:
        facts: list[Clue] = [given[cell] for cell in group]
        if set(search.keep) & set(group):
            stay += facts
        else:
            bundles.append(facts)
    stay += [name for name in rules if name in search.keep]
    bundles += [[name] for name in rules if name not in search.keep]
    return stay, bundles


class _Hunt:
    """The search for the lightest bundles to keep: what it has found so far is in its fields."""

    def __init__(
        self,
        dropping: Dropping,
        hitting: LightestHitting,
        weights: Sequence[int],
        most: int,
        step: Callable[[], None],
    ) -> None:
        self.dropping = dropping
        self.hitting = hitting
        self.weights = weights
        self.most = most
        self.step = step
        self.sets = [set(range(len(weights)))]
        self.exact = self.all_listed = False
        self._met = [0] * len(weights)

    def run(self, clock: Clock) -> None:
        """Find a lightest set, then others of its weight. Raises OutOfTime."""
        self.sets = [self.dropping.irreducible(self.sets[0], clock)]
        while (kept := self.hitting.find(self._weight(self.sets[0]) - 1, clock)) is not None:
            filled = self._fill(kept, clock)
            self.step()
            if filled == kept:
                self.sets = [kept]
                break
            if self._weight(filled) < self._weight(self.sets[0]) + _NEAR:
                smaller = self.dropping.irreducible(filled, clock)
                self.sets = [min(smaller, self.sets[0], key=self._weight)]
        self.exact = True
        self._list(clock)

    def _list(self, clock: Clock) -> None:
        least = self._weight(self.sets[0])
        self.hitting.exclude(self.sets[0])
        while len(self.sets) < self.most:
            kept = self.hitting.find(least, clock)
            if kept is None:
                self.all_listed = True
                return
            if self._fill(kept, clock) == kept:
                self.sets.append(kept)
                self.hitting.exclude(kept)
            self.step()

    def _fill(self, kept: set[int], clock: Clock) -> set[int]:
        """Add bundles one by one until one grid is left; every other grid met is remembered."""
        filled = set(kept)
        while (other := self.dropping.other(filled, clock)) is not None:
            # What stands in many sets is kept out of new ones, which makes the sets differ: three
            # times fewer were needed so than with the opposite order, or one left to chance.
            missed = self.dropping.shrink_missing(other, self._met, clock)
            self.hitting.add(missed)
            for number in missed:
                self._met[number] += 1
            filled.add(max(missed, key=self._met.__getitem__))
        return filled

    def _weight(self, kept: Iterable[int]) -> int:
        return sum(self.weights[number] for number in kept)


class Dropping:
    """Which bundles of clues can be removed from a puzzle with one solution.

    ``bundles`` may be removed, each as a whole; every other clue stays.
    """

    def __init__(self, thinned: Thinned, bundles: Sequence[Sequence[Clue]]) -> None:
        self.thinned = thinned
        self.bundles = [tuple(bundle) for bundle in bundles]
        loose = {clue for bundle in self.bundles for clue in bundle}
        self._givens = [given for given in thinned.puzzle.givens if given not in loose]
        self._rules = [name for name in thinned.rules if name not in loose]
        self._facts = [[c for c in bundle if isinstance(c, Fact)] for bundle in self.bundles]
        self._names = [[c for c in bundle if isinstance(c, str)] for bundle in self.bundles]
        self._place = {variable: i for i, variable in enumerate(thinned.puzzle.board.shown)}

    def clues(self, kept: Iterable[int]) -> tuple[Clue, ...]:
        """The clues in some of the bundles, in the order of the bundles."""
        return tuple(clue for number in sorted(kept) for clue in self.bundles[number])

    def other(
        self, kept: Iterable[int], clock: Clock, effort: int | None = None
    ) -> Solution | None:
        """Another grid that keeps these bundles and all clues that stay, or None.

        Raises OutOfTime, and TooHard when it takes more conflicts than ``effort``.
        """
        clock.check()
        numbers = list(kept)
        givens = [*self._givens, *(fact for n in numbers for fact in self._facts[n])]
        rules = [*self._rules, *(name for n in numbers for name in self._names[n])]
        demands = [self.thinned.grid_different()]
        engine = self.thinned.engine
        on = self.thinned.on(rules)
        return engine.solve(givens, clock, on=on, demands=demands, effort=effort)

    def broken_bundles(self, solution: Solution) -> set[int]:
        """The bundles that a solution does not keep, by the plain reading."""
        wrong = {
            number
            for number, facts in enumerate(self._facts)
            if any(solution[self._place[fact.variable]] != fact.value for fact in facts)
        }
        if any(self._names):
            filled = self.thinned.puzzle.fill(solution)
            rules = self.thinned.by_name
            wrong |= {
                number
                for number, names in enumerate(self._names)
                if number not in wrong and not all(rules[name].is_kept(filled) for name in names)
            }
        return wrong

    def needed_bundles(self) -> set[int]:
        """The bundles that the last answer None rested on."""
        reason = self.thinned.engine.why()
        facts = set(reason.assertions)
        names = {switch if isinstance(switch, str) else switch[0] for switch in reason.premises}
        return {
            number
            for number in range(len(self.bundles))
            if not facts.isdisjoint(self._facts[number])
            or not names.isdisjoint(self._names[number])
        }

    def irreducible(self, kept: Iterable[int], clock: Clock, effort: int | None = None) -> set[int]:
        """Bundles among these of which none can be removed without letting another grid in.

        Deletion with refinement by what each refutation rested on. With ``effort`` a bundle also
        stays if this many conflicts do not show whether it can be removed. Raises ValueError if
        another grid keeps all of these.
        """
        if self.other(kept, clock) is not None:
            raise ValueError("the bundles leave more than one grid")

        def rests_on(some: list[int]) -> set[int] | None:
            try:
                return self.needed_bundles() if self.other(some, clock, effort) is None else None
            except TooHard:
                return None

        return set(irreducible(sorted(self.needed_bundles()), rests_on))

    def shrink_missing(
        self, solution: Solution, first: Sequence[int], clock: Clock
    ) -> frozenset[int]:
        """The bundles that another grid breaks, made fewer until every one would let none in.

        Those with the largest number in ``first`` are tried first.
        """
        missing = self.broken_bundles(solution)
        everything = set(range(len(self.bundles)))
        for number in sorted(missing, key=lambda number: (-first[number], number)):
            if number in missing:
                found = self.other(everything - missing | {number}, clock)
                if found is not None:
                    missing = self.broken_bundles(found)
        return frozenset(missing)
