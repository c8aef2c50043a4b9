"""Smallest hitting sets, grown set by set.

Given sets of elements, a hitting set has a member of each. The smallest ones drive every search for a
smallest thing in this package (conflicts, repairs, keeper sets, premises to drop): each refusal of a
candidate yields one more set, and the next candidate hits that too.

The sets are clauses of a SAT solver and the size is a bound on totalizers (Bailleux and Boufkhad
2003) that only rises, because more sets never have a smaller hitting set. A greedy packing of
disjoint sets gives the bound a start: each needs a member of its own. Work is done in slices, so a
clock can stop it.
"""

from __future__ import annotations

from collections.abc import Iterable

from pysat.card import ITotalizer
from pysat.solvers import Solver

from gridassay.verify.budget import Clock

_SLICE = 2000


class HittingSets:
    """Smallest hitting sets over elements numbered from 0.

    Elements below ``first_tier`` count before all others: a smallest hitting set has as few of them
    as can be, then as few of the rest. Without ``first_tier`` all count alike.
    """

    def __init__(self, elements: int, first_tier: int | None = None) -> None:
        split = elements if first_tier is None else first_tier
        tiers = [range(1, split + 1), range(split + 1, elements + 1)]
        self._solver = Solver(name="cadical153")
        self._tiers = [tier for tier in tiers if tier]
        self._counters: list[ITotalizer] = []
        top = elements
        for tier in self._tiers:
            counter = ITotalizer(lits=list(tier), ubound=min(len(tier), 8), top_id=top)
            top = max(top, counter.top_id)
            self._solver.append_formula(counter.cnf.clauses)
            self._counters.append(counter)
        self._top = top
        self._sets: list[frozenset[int]] = []
        self._bounds = [0] * len(self._tiers)

    def __enter__(self) -> HittingSets:
        return self

    def __exit__(self, *_: object) -> None:
        self._solver.delete()
        for counter in self._counters:
            counter.delete()

    @property
    def bound(self) -> int:
        """What every hitting set of the sets so far has at least, as far as it has been proved."""
        return sum(self._bounds)

    def add(self, members: Iterable[int]) -> None:
        """One more set to hit; it has at least one member."""
        chosen = frozenset(members)
        self._sets.append(chosen)
        self._solver.add_clause([member + 1 for member in chosen])

    def smallest(self, clock: Clock) -> frozenset[int]:
        """A smallest hitting set of the sets added so far. Raises OutOfTime."""
        for number, bound in enumerate(self._packing()):
            if bound > self._bounds[number]:
                self._raise(number, bound)
        found: frozenset[int] | None = None
        for settled in range(1, len(self._tiers) + 1):
            found = self._within(settled, clock)
            while found is None:
                self._raise(settled - 1, self._bounds[settled - 1] + 1)
                found = self._within(settled, clock)
        return found or frozenset()

    def _raise(self, number: int, bound: int) -> None:
        self._bounds[number] = bound
        self._bounds[number + 1 :] = [0] * len(self._bounds[number + 1 :])

    def _packing(self) -> list[int]:
        """Disjoint sets inside each tier: a lower bound for it, taken greedily, smallest first."""
        bounds = []
        for tier in self._tiers:
            taken: set[int] = set()
            count = 0
            for members in sorted(self._sets, key=len):
                inside = all(member + 1 in tier for member in members)
                if inside and taken.isdisjoint(members):
                    taken |= members
                    count += 1
            bounds.append(count)
        return bounds

    def _within(self, settled: int, clock: Clock) -> frozenset[int] | None:
        """A hitting set that keeps the bounds of the first ``settled`` tiers."""
        assumptions = [
            -self._outputs(number, self._bounds[number])
            for number in range(settled)
            if self._bounds[number] < len(self._tiers[number])
        ]
        while True:
            self._solver.conf_budget(_SLICE)
            answer = self._solver.solve_limited(assumptions=assumptions)
            if answer is None:
                clock.check()
                continue
            if not answer:
                return None
            model = self._solver.get_model() or []
            last = self._tiers[-1][-1]
            return frozenset(literal - 1 for literal in model[:last] if literal > 0)

    def _outputs(self, number: int, bound: int) -> int:
        """The literal that is true when more than ``bound`` elements of a tier are chosen."""
        counter = self._counters[number]
        if bound >= len(counter.rhs):
            counter.increase(ubound=min(2 * bound, len(self._tiers[number])), top_id=self._top)
            self._top = max(self._top, counter.top_id)
            self._solver.append_formula(counter.cnf.clauses[-counter.nof_new :])
        literal: int = counter.rhs[bound]
        return literal
