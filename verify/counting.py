"""How many solutions a puzzle has, exactly up to a limit."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from gridassay.verify.budget import Clock, OutOfTime
from gridassay.verify.engines.questions import Assertion, Demand, Engine, Switch, forbid

DEFAULT_LIMIT = 1000


@dataclass(frozen=True)
class SolutionCount:
    """A number of solutions: all of them when ``exact``, else at least so many."""

    count: int
    exact: bool

    def to_json(self) -> dict[str, int | bool]:
        """The keys of the JSON contract."""
        return {"count": self.count, "exact": self.exact}


def solution_count(
    engine: Engine,
    assuming: Sequence[Assertion],
    clock: Clock,
    on: Iterable[Switch] | None = None,
    limit: int = DEFAULT_LIMIT,
) -> SolutionCount:
    """Count the solutions in which the assertions hold; what is counted when time runs out counts.

    Two solutions differ when a cell or a declared unknown differs.
    """
    switches = None if on is None else list(on)
    demands: list[Demand] = []
    try:
        while len(demands) <= limit:
            solution = engine.solve(assuming, clock, on=switches, demands=demands)
            if solution is None:
                return SolutionCount(len(demands), exact=True)
            demands.append(forbid(engine, solution))
    except OutOfTime:
        pass
    finally:
        for demand in demands:
            engine.retire(demand)
    return SolutionCount(min(len(demands), limit), exact=False)
