"""The questions that a compiled puzzle can be asked, whichever engine answers.

A question is: can all of these *assertions* be true at once, with these premises *on* and these
*demands* met? The answer is a solution or None. Premises that are not on do not bind; a premise of
several parts may be on whole (its name) or in part (its name and the number of the part). A demand
is a lasting "at least one of these assertions", made once and used in any number of questions, which
is how a solution is forbidden, or a set of changes searched.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from typing import Literal, NamedTuple, Protocol

from gridassay.encodings.constraints import Variable
from gridassay.encodings.model import Model
from gridassay.encodings.puzzle import Fact, Solution
from gridassay.encodings.variables import denial_text
from gridassay.verify.budget import Clock


class Denial(NamedTuple):
    """A variable does not have a value.

    ``holds`` is always false; it keeps a denial from being equal to the fact it denies.
    """

    variable: Variable
    value: int
    holds: Literal[False] = False

    def __str__(self) -> str:
        return denial_text(self.variable, self.value)


Assertion = Fact | Denial
Switch = str | tuple[str, int]
"""A premise by its name, or one part of it by name and number from 0."""


class Demand(NamedTuple):
    """A handle on "at least one of these", as the engine knows it."""

    handle: int


class Reason(NamedTuple):
    """Assertions, premises and demands that contradict each other; not always the fewest."""

    assertions: tuple[Assertion, ...]
    premises: tuple[Switch, ...]
    demands: tuple[Demand, ...] = ()


class Engine(Protocol):
    """Answers questions about one model."""

    name: str
    model: Model

    def solve(
        self,
        assuming: Iterable[Assertion],
        clock: Clock,
        on: Iterable[Switch] | None = None,
        demands: Iterable[Demand] = (),
        effort: int | None = None,
    ) -> Solution | None:
        """A solution in which the assertions hold, the premises bind and the demands are met.

        ``on`` is every premise that is not optional unless it is given. Raises OutOfTime if the
        clock runs out first, and TooHard if it takes more conflicts than ``effort`` and the
        engine counts them.
        """
        ...

    def why(self) -> Reason:
        """The assumptions behind the last question without a solution, perhaps without demands."""
        ...

    def demand(self, options: Sequence[Assertion]) -> Demand:
        """Make a demand: at least one of these."""
        ...

    def forbid(self, solution: Solution) -> Demand:
        """Demand a solution that differs from this one in some cell or declared unknown."""
        ...

    def at_most(self, options: Sequence[Assertion]) -> tuple[Demand, ...]:
        """Make demands that at most 0, 1, 2 … of these are true; the last of them, all but one."""
        ...

    def retire(self, demand: Demand) -> None:
        """Forget a demand; it is not used again."""
        ...


@contextmanager
def other_than(engine: Engine, solution: Solution) -> Iterator[Demand]:
    """A demand for some other solution, which is forgotten at the end of the block."""
    demand = engine.forbid(solution)
    try:
        yield demand
    finally:
        engine.retire(demand)


def another(
    engine: Engine,
    assuming: Iterable[Assertion],
    solution: Solution,
    clock: Clock,
    on: Iterable[Switch] | None = None,
    effort: int | None = None,
) -> Solution | None:
    """A solution other than this one, asked for as ``Engine.solve`` is."""
    with other_than(engine, solution) as demand:
        return engine.solve(assuming, clock, on=on, demands=[demand], effort=effort)
