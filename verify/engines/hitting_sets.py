"""Lightest hitting sets: they meet every set of a growing collection at the least total weight.

They drive every search for a smallest thing (conflicts, repairs, keeper sets, premises to drop, the
reasons of steps): each refusal of a candidate yields one more set, and the next candidate meets that too.
A search over several targets at once, as for reasons, gives the targets no weight and lets a set hold
only for one of them (``when``); numbers may be added on the way.

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

from collections.abc import Iterable, Sequence
from itertools import pairwise

from pysat.card import ITotalizer
from pysat.solvers import Solver

from gridassay.verify.budget import Clock, TooHard

_SOLVER = "glucose4"
"""Measured on keeper sets of 50 givens: 0.4 to 3 s, where minisat22 takes 1 to over 60."""

_SLICE = 2000
"""Conflicts between looks at the clock: a few hundredths of a second on problems this small."""


class LightestHitting:
    """Sets of numbers, and the lightest sets that meet all of them.

    Weights are whole numbers; what weighs 0 is taken or left freely. ``lower_bound`` is what every
    hitting set weighs at least, as far as is known. With ``effort``, this many conflicts are the most
    for all questions together. ``solver`` is one of python-sat's. As a context manager it frees it.
    """

    def __init__(
        self, weights: Sequence[int], effort: int | None = None, solver: str = _SOLVER
    ) -> None:
        self.lower_bound = 0
        self._top = 0
        self._effort = effort
        self._solver = Solver(name=solver)
        self._heaviest = 0
        self._literals: list[int] = []
        self._price: dict[int, int] = {}
        self._next: dict[int, int] = {}
        self.elements(weights)

    def __enter__(self) -> LightestHitting:
        return self

    def __exit__(self, *_: object) -> None:
        self._solver.delete()

    def elements(self, weights: Sequence[int]) -> range:
        """Further numbers, with these weights."""
        first = len(self._literals)
        for weight in weights:
            self._top += 1
            self._literals.append(self._top)
            if weight:
                self._price[-self._top] = weight
        self._heaviest += sum(weights)
        return range(first, len(self._literals))

    def add(self, members: Iterable[int], *, when: Iterable[int] = ()) -> None:
        """Require one of these in every hitting set from now on, or in those with all of ``when``."""
        literals = self._literals
        self._solver.add_clause(
            [*(literals[number] for number in members), *(-literals[number] for number in when)]
        )

    def exclude(self, members: Iterable[int]) -> None:
        """Forbid hitting sets that hold all of these from now on."""
        self.add((), when=members)

    def lightest(self, clock: Clock) -> frozenset[int]:
        """A hitting set of least weight; every one of the sets has a member. Raises OutOfTime."""
        found = self.find(self._heaviest, clock)
        assert found is not None
        return frozenset(found)

    def find(self, most: int, clock: Clock) -> set[int] | None:
        """A hitting set of least weight, or None if all weigh more than ``most``.

        Raises OutOfTime, and TooHard when the effort is spent.
        """
        while self.lower_bound <= most:
            if self._satisfiable(clock):
                model = self._solver.get_model() or ()
                known = len(model)
                return {
                    number
                    for number, literal in enumerate(self._literals)
                    if literal <= known and model[literal - 1] > 0
                }
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
                break
        if self._effort is not None and self._solver.accum_stats()["conflicts"] > self._effort:
            raise TooHard
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
