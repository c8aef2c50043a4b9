"""Lightest hitting sets: they meet every set of a growing collection at the least total weight.

They drive every search for a smallest thing in this package (conflicts, repairs, keeper sets, premises
to drop): each refusal of a candidate yields one more set, and the next candidate meets that too.

A core-guided search for a hitting set of least weight, kept between questions because sets are only
ever added: leave everything out; if that fails, the solver names things that cannot all be left
out; from then on one of them may be taken at its price, and further ones are counted by a totalizer
(the algorithm OLL: Andres, Kaufmann, Matheis, Schaub 2012; Morgado, Dodaro, Marques-Silva,
"Core-guided MaxSAT with soft cardinality constraints", 2014). The prices paid are a lower bound at
every moment, which is what is left to report when time runs out.

A linear relaxation bounds such problems better in theory; measured here, a MIP solver and CP-SAT with
full linearisation took 3 to 20 times longer over the whole run of a keeper set (see benchmarks/).
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from itertools import pairwise

from pysat.card import ITotalizer
from pysat.solvers import Solver

from gridassay.verify.budget import Clock

_SLICE = 2000
"""Conflicts between looks at the clock: a few hundredths of a second on problems this small."""


class LightestHitting:
    """Sets of numbers below ``len(weights)``, and the lightest sets that meet all of them.

    Weights are whole numbers of at least 1. ``lower_bound`` is what every hitting set weighs at
    least, as far as is known. As a context manager it frees its solver.
    """

    def __init__(self, weights: Sequence[int]) -> None:
        self.lower_bound = 0
        self._count = self._top = len(weights)
        self._solver = Solver(name="glucose4")
        self._heaviest = sum(weights)
        self._price = {-number - 1: weight for number, weight in enumerate(weights)}
        self._next: dict[int, int] = {}

    def __enter__(self) -> LightestHitting:
        return self

    def __exit__(self, *_: object) -> None:
        self._solver.delete()

    def add(self, members: Collection[int]) -> None:
        """Require one of these in every hitting set from now on."""
        self._solver.add_clause([number + 1 for number in members])

    def exclude(self, members: Collection[int]) -> None:
        """Forbid hitting sets that hold all of these from now on."""
        self._solver.add_clause([-number - 1 for number in members])

    def lightest(self, clock: Clock) -> frozenset[int]:
        """A hitting set of least weight; every one of the sets has a member. Raises OutOfTime."""
        found = self.find(self._heaviest, clock)
        assert found is not None
        return frozenset(found)

    def find(self, most: int, clock: Clock) -> set[int] | None:
        """A hitting set of least weight, or None if all weigh more than ``most``.

        Raises OutOfTime.
        """
        while self.lower_bound <= most:
            if self._satisfiable(clock):
                model = self._solver.get_model() or ()
                chosen = model[: self._count]
                return {number - 1 for number in chosen if number > 0}
            core = self._solver.get_core()
            if not core:
                self.lower_bound = most + 1
                break
            self._pay(core)
        return None

    def _satisfiable(self, clock: Clock) -> bool:
        assumptions = list(self._price)
        while True:
            clock.check()
            self._solver.conf_budget(_SLICE)
            answer: bool | None = self._solver.solve_limited(assumptions=assumptions)
            if answer is not None:
                return answer

    def _pay(self, core: Sequence[int]) -> None:
        """One of these assumptions must go: take its price, and count how many more go."""
        price = min(self._price[literal] for literal in core)
        self.lower_bound += price
        for literal in core:
            self._price[literal] -= price
            if not self._price[literal]:
                del self._price[literal]
            if literal in self._next:
                # "At most k" is paid for, so what may still cost is "at most k + 1".
                following = self._next[literal]
                self._price[following] = self._price.get(following, 0) + price
        if len(core) > 1:
            over = self._counter([-literal for literal in core])
            self._price[-over[1]] = price
            self._next |= {-less: -more for less, more in pairwise(over[1:])}

    def _counter(self, literals: list[int]) -> list[int]:
        """Literals that are true when more than 0, 1, 2 … of these are."""
        with ITotalizer(lits=literals, ubound=len(literals), top_id=self._top) as totalizer:
            for clause in totalizer.cnf.clauses:
                self._solver.add_clause(clause)
            self._top = max(self._top, totalizer.top_id)
            return list(totalizer.rhs)
