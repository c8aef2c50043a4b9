"""The CP engine: the same questions put to OR-Tools CP-SAT, as a second opinion.

A question states only the premises that are on, solves, and throws the model away: CP-SAT is not
incremental, and an independent answer matters here more than a quick one.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from ortools.sat.python import cp_model

from gridassay.encodings.cp.compile import build_model
from gridassay.encodings.model import Model
from gridassay.encodings.puzzle import Solution
from gridassay.verify.budget import Clock, OutOfTime
from gridassay.verify.engines.questions import Assertion, Demand, Denial, Reason, Switch


class CpEngine:
    """An engine that asks CP-SAT, with one worker."""

    name = "cp"

    def __init__(self, model: Model) -> None:
        self.model = model
        self._demands: dict[int, tuple[Assertion, ...]] = {}
        self._bounds: dict[int, int] = {}
        self._made = 0
        self._reason = Reason((), ())

    def solve(
        self,
        assuming: Iterable[Assertion],
        clock: Clock,
        on: Iterable[Switch] | None = None,
        demands: Iterable[Demand] = (),
        effort: int | None = None,
    ) -> Solution | None:
        """See ``Engine.solve``."""
        assertions = tuple(assuming)
        switches: set[Switch] = set(self.model.by_default if on is None else on)
        build = build_model(
            self.model,
            lambda name, number: name in switches or (name, number) in switches,
            clock.check,
        )
        for assertion in assertions:
            literal = build.equals(assertion.variable, assertion.value)
            build.model.add_bool_and([_literal_with_sign(literal, assertion)])
        for demand in demands:
            options = self._demands[demand.handle]
            literals = [_literal_with_sign(build.equals(o.variable, o.value), o) for o in options]
            if demand.handle in self._bounds:
                build.model.add(sum(literals) <= self._bounds[demand.handle])
            else:
                build.model.add_bool_or(literals)
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 1
        solver.parameters.max_time_in_seconds = max(0.0, clock.time_left())
        status = solver.solve(build.model)
        if status in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            return tuple(solver.value(build.variables[variable]) for variable in self.model.shown)
        if status == cp_model.INFEASIBLE:
            self._reason = Reason(assertions, tuple(switches))
            return None
        if status == cp_model.UNKNOWN:
            raise OutOfTime
        raise AssertionError(f"CP-SAT refuses the model: {build.model.validate()}")

    def why(self) -> Reason:
        """Everything that was assumed: this engine gives no smaller reason."""
        return self._reason

    def demand(self, options: Sequence[Assertion]) -> Demand:
        """See ``Engine.demand``."""
        self._made += 1
        self._demands[self._made] = tuple(options)
        return Demand(self._made)

    def forbid(self, solution: Solution) -> Demand:
        """See ``Engine.forbid``."""
        return self.demand([Denial(v, n) for v, n in zip(self.model.shown, solution, strict=True)])

    def at_most(self, options: Sequence[Assertion]) -> tuple[Demand, ...]:
        """See ``Engine.at_most``."""
        demands = tuple(self.demand(options) for _ in options)
        self._bounds |= {demand.handle: bound for bound, demand in enumerate(demands)}
        return demands

    def retire(self, demand: Demand) -> None:
        """See ``Engine.retire``."""
        del self._demands[demand.handle]
        self._bounds.pop(demand.handle, None)


def _literal_with_sign(literal: Any, assertion: Assertion) -> Any:
    return ~literal if isinstance(assertion, Denial) else literal
