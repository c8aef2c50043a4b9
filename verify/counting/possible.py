"""Which digits each cell takes over all solutions.

Cell by cell the engine is asked for a solution in which the cell has none of the digits seen in it
so far; every solution it finds widens what is known of all other cells, and one question without a
solution settles a cell. On a grid of five givens that takes 150 questions for 573 possible digits.
Asking for any unseen digit anywhere takes fewer questions and, measured, ten times as long, for the
solver then has to look at hundreds of alternatives each time; asking digit by digit takes up to
eight such questions per cell.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from gridassay.encodings.constraints import Variable
from gridassay.encodings.puzzle import Fact
from gridassay.verify.budget import Clock
from gridassay.verify.engines.questions import Assertion, Denial, Engine, Switch

Possible = Mapping[Variable, frozenset[int]]


def possible_values(
    engine: Engine,
    assuming: Sequence[Assertion],
    clock: Clock,
    on: Iterable[Switch] | None = None,
) -> Possible:
    """The values each shown variable takes in some solution; none if there is no solution.

    ``on`` is as for ``Engine.solve``. Raises OutOfTime when the clock runs out.
    """
    switches = None if on is None else list(on)
    model = engine.model
    first = engine.solve(assuming, clock, on=switches)
    if first is None:
        return dict.fromkeys(model.shown, frozenset())
    seen = {variable: {value} for variable, value in zip(model.shown, first, strict=True)}
    settled = {assertion.variable for assertion in assuming if isinstance(assertion, Fact)}
    for variable in model.shown:
        values = seen[variable]
        if variable in settled:
            continue
        while len(values) < len(model.domains[variable]):
            clock.check()
            others = [Denial(variable, value) for value in values]
            solution = engine.solve([*assuming, *others], clock, on=switches)
            if solution is None:
                break
            for other, value in zip(model.shown, solution, strict=True):
                seen[other].add(value)
    return {variable: frozenset(values) for variable, values in seen.items()}
