"""Choosing few of many elements so that demands are met: the other half of a hitting-set search.

A small solver with native cardinality constraints (Liffiton and Maglalang, "A cardinality solver:
more expressive constraints for free", SAT 2012). A bound that rises is one constraint over the
elements and as many *spares* as the bound can rise: assuming all spares but k true leaves room for k
elements, so nothing is rebuilt when the bound rises.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from pysat.solvers import Solver

from gridassay.encodings.pace import pace
from gridassay.verify.budget import Clock, TooHard

SLICE = 2000
"""Conflicts after which a choice looks at the clock."""


class Bound:
    """At most a given number of some elements; each question sets the number."""

    def __init__(self, spares: Sequence[int]) -> None:
        self._spares = spares

    def at_most(self, count: int) -> Sequence[int]:
        """The assumptions for at most ``count`` elements (no more than the bound was made for)."""
        return self._spares[count:]


class Chooser:
    """Elements are positive numbers; a demand is a clause over them and their negations."""

    def __init__(self, clock: Clock, effort: int) -> None:
        """``effort`` is in conflicts, over all choices."""
        self._solver = Solver(name="minicard")
        self._clock = clock
        self._effort = effort
        self._top = 0

    def element(self) -> int:
        """A new element."""
        self._top += 1
        return self._top

    def elements(self, count: int) -> range:
        """Several new elements."""
        self._top += count
        return range(self._top - count + 1, self._top + 1)

    def demand(self, literals: Iterable[int]) -> None:
        """At least one of these is chosen (or, for a negative number, not chosen)."""
        self._solver.add_clause(list(literals))

    def bound(self, elements: Sequence[int], most: int) -> Bound:
        """A bound on these elements that can be set to any number up to ``most``."""
        spares = self.elements(most)
        self._solver.add_atmost([*elements, *spares], most)
        return Bound(spares)

    def choose(self, assuming: Sequence[int]) -> frozenset[int] | None:
        """The elements of a choice that meets every demand, or None if there is none.

        Raises OutOfTime when the clock runs out, and TooHard when the effort is spent.
        """
        while True:
            self._solver.conf_budget(SLICE)
            answer: bool | None = self._solver.solve_limited(assumptions=list(assuming))
            if answer is not None:
                break
            self._clock.check()
            pace()
        if self._solver.accum_stats()["conflicts"] > self._effort:
            raise TooHard
        if not answer:
            return None
        return frozenset(literal for literal in self._solver.get_model() if literal > 0)

    def close(self) -> None:
        """Free the solver."""
        self._solver.delete()
