"""How many solutions a puzzle has, exactly up to a limit.

The first few are found one by one on the compiled puzzle, each forbidden in turn: most puzzles that
are not unique have no more, and then nothing new needs loading. If there are more, they are counted
by enumeration in compiled code (``engines/enumerator.py``); very many on a classic 9×9 grid are
counted by the compiled search of ``classic.py``, twelve times as fast, if the extra ``bulk`` is
installed.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from importlib.util import find_spec

from gridassay.encodings.grid import classic
from gridassay.encodings.model import Model
from gridassay.encodings.puzzle import Fact, Puzzle, Solution
from gridassay.verify.budget import Clock, OutOfTime
from gridassay.verify.engines import enumerator_for
from gridassay.verify.engines.questions import Assertion, Demand, Engine, Switch

DEFAULT_LIMIT = 1000
A_GREAT_MANY = 50_000
"""The limit from which on loading the compiled search of a classic grid pays."""

ONE_BY_ONE = 32
"""Solutions that are found one by one before a count is handed to the enumerator."""


@dataclass(frozen=True)
class SolutionCount:
    """A number of solutions: all of them if ``exact``, else at least this many."""

    count: int
    exact: bool

    def __str__(self) -> str:
        """``17`` or ``at least 1,000``."""
        return f"{self.count:,}" if self.exact else f"at least {self.count:,}"

    def to_json(self) -> dict[str, int | bool]:
        """The keys of the JSON contract."""
        return {"count": self.count, "exact": self.exact}


@dataclass(frozen=True)
class Solutions:
    """Different solutions: all of them when ``complete``."""

    solutions: tuple[Solution, ...]
    complete: bool


def solution_count(
    engine: Engine,
    assuming: Sequence[Assertion],
    clock: Clock,
    on: Iterable[Switch] | None = None,
    limit: int = DEFAULT_LIMIT,
) -> SolutionCount:
    """Count the solutions in which the assertions hold, or as many as are found before time runs out.

    Two solutions differ when a cell or a declared unknown differs. ``on`` is as for
    ``Engine.solve``.
    """
    switches = _switches(engine, on)
    if speaks_of_groups(engine.model):
        # Cuts, which the compiled enumeration does not have, are worth more than its speed.
        found = some_solutions(engine, assuming, clock, switches, limit)
        return SolutionCount(len(found.solutions), found.complete)
    first = some_solutions(engine, assuming, clock, switches, min(limit, ONE_BY_ONE))
    few = SolutionCount(len(first.solutions), first.complete)
    if first.complete or few.count == limit or clock.time_left() <= 0:
        return few
    if limit >= A_GREAT_MANY and _is_classic(engine, assuming, switches):
        from gridassay.verify.counting.classic import count_classic

        facts = [one for one in assuming if isinstance(one, Fact)]
        count, exact = count_classic(facts, limit, clock)
        return SolutionCount(max(count, few.count), exact)
    try:
        enumerator = enumerator_for(engine.model, clock)
    except OutOfTime:
        return few
    count, exact = enumerator.count(assuming, switches, limit, clock)
    return SolutionCount(max(count, few.count), exact)


def speaks_of_groups(model: Model) -> bool:
    """Whether a premise of a model is about groups of a graph, which need cuts."""
    # Imported here: most verdicts count nothing.
    from gridassay.encodings.on_graphs import Grouped

    return any(
        isinstance(part.constraint, Grouped) for premise in model.premises for part in premise.parts
    )


def _is_classic(engine: Engine, assuming: Sequence[Assertion], switches: Sequence[Switch]) -> bool:
    """Whether the question is about a classic 9×9 grid, and the compiled search is installed."""
    model = Puzzle(classic(9)).model
    return (
        engine.model is model
        and set(switches) == {premise.name for premise in model.premises}
        and all(isinstance(assertion, Fact) for assertion in assuming)
        and find_spec("numba") is not None
    )


def some_solutions(
    engine: Engine,
    assuming: Sequence[Assertion],
    clock: Clock,
    on: Iterable[Switch] | None = None,
    limit: int = ONE_BY_ONE,
) -> Solutions:
    """Different solutions up to a limit, or as many as are found before time runs out."""
    switches = _switches(engine, on)
    found: list[Solution] = []
    demands: list[Demand] = []
    try:
        while len(found) <= limit:
            solution = engine.solve(assuming, clock, on=switches, demands=demands)
            if solution is None:
                return Solutions(tuple(found), complete=True)
            found.append(solution)
            demands.append(engine.forbid(solution))
            clock.check()
    except OutOfTime:
        pass
    finally:
        for demand in demands:
            engine.retire(demand)
    return Solutions(tuple(found[:limit]), complete=False)


def _switches(engine: Engine, on: Iterable[Switch] | None) -> list[Switch]:
    if on is not None:
        return list(on)
    return list(engine.model.by_default)
