"""Which digits each cell takes over all solutions."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from gridassay.encodings.constraints import Variable
from gridassay.encodings.puzzle import Fact
from gridassay.verify.budget import Clock
from gridassay.verify.engines.questions import Assertion, Engine, Switch

Possible = Mapping[Variable, frozenset[int]]


def possible_values(
    engine: Engine,
    assuming: Sequence[Assertion],
    clock: Clock,
    on: Iterable[Switch] | None = None,
) -> Possible:
    """The values each shown variable takes in some solution; none where there is no solution.

    Asks again and again for a solution with something not seen yet, until there is none. Raises
    OutOfTime when the clock runs out.
    """
    switches = None if on is None else list(on)
    model = engine.model
    seen: dict[Variable, set[int]] = {variable: set() for variable in model.shown}
    while True:
        unseen = [
            Fact(variable, value)
            for variable in model.shown
            for value in model.domains[variable]
            if value not in seen[variable]
        ]
        something_new = engine.demand(unseen)
        solution = engine.solve(assuming, clock, on=switches, demands=[something_new])
        engine.retire(something_new)
        if solution is None:
            return {variable: frozenset(values) for variable, values in seen.items()}
        for variable, value in zip(model.shown, solution, strict=True):
            seen[variable].add(value)
