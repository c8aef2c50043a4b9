"""The SAT engine: one incremental solver per model, every premise behind an assumption.

Work is done in slices of a conflict budget, sized so that one takes a few hundredths of a second:
that is what keeps budgets, progress and Ctrl-C honest while a solver call holds Python's global lock.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from time import perf_counter

from pysat.solvers import Solver

from gridassay.encodings.cnf.compile import Compiled, compile_model
from gridassay.encodings.puzzle import Model, Solution
from gridassay.verify.budget import Clock
from gridassay.verify.engines.questions import Assertion, Demand, Denial, Reason, Switch

DEFAULT_SOLVER = "cadical153"
"""The fastest on hard 9×9 grids and on rules among the solvers of python-sat (see benchmarks/)."""

RENEW_AFTER = 1000
"""Retired demands after which the solver is made anew: dead switches slow it down."""

_SLICE = 1000
_SLICE_SECONDS = 0.05


class SatEngine:
    """Questions to one incremental solver. ``choices`` names encodings; ``solver`` python-sat's."""

    name = "sat"

    def __init__(
        self,
        model: Model,
        clock: Clock,
        choices: Mapping[str, str] | None = None,
        solver: str = DEFAULT_SOLVER,
    ) -> None:
        self.model = model
        self.solver_name = solver
        self.choices = choices
        self._asked: tuple[list[Assertion], list[Switch] | None] = [], []
        self._load(clock)

    def _load(self, clock: Clock) -> None:
        self.compiled: Compiled = compile_model(self.model, self.choices, clock.check)
        writer = self.compiled.writer
        self._solver = Solver(name=self.solver_name)
        add = self._solver.add_clause
        for place, clause in enumerate(writer.clauses):
            add(clause)
            if not place % 10_000:
                clock.check()
        for literals, bound in writer.cardinalities:
            self._solver.add_atmost(literals, bound)
        writer.clauses.clear()
        self._literal = writer.literal
        self._top = writer.top
        self._live = self._retired = 0
        self._slice = _SLICE
        self._shown = sum(len(self.model.domains[variable]) for variable in self.model.shown)
        self._value_of = [0] + [v for var in self.model.shown for v in self.model.domains[var]]
        self._by_default = [p.name for p in self.model.premises if not p.optional]
        self._all_on = self._switches(self._by_default)

    def solve(
        self,
        assuming: Iterable[Assertion],
        clock: Clock,
        on: Iterable[Switch] | None = None,
        demands: Iterable[Demand] = (),
    ) -> Solution | None:
        """See ``Engine.solve``."""
        assertions = list(assuming)
        asked = None if on is None else list(on)
        switches = self._all_on if asked is None else self._switches(asked)
        assumptions = [
            *switches,
            *[handle for (handle,) in demands],
            *[self._assume(assertion) for assertion in assertions],
        ]
        if self._run(assumptions, clock):
            value_of = self._value_of
            model = self._solver.get_model()
            return tuple([value_of[x] for x in model[: self._shown] if x > 0])
        self._asked = assertions, asked
        return None

    def _run(self, assumptions: list[int], clock: Clock) -> bool:
        solver = self._solver
        while True:
            solver.conf_budget(self._slice)
            started = perf_counter()
            answer: bool | None = solver.solve_limited(assumptions=assumptions)
            if answer is not None:
                return answer
            clock.check()
            slow = perf_counter() - started > _SLICE_SECONDS
            self._slice = max(50, self._slice // 2) if slow else min(self._slice * 2, 20_000)

    def _assume(self, assertion: Assertion) -> int:
        literal = self._literal(assertion.variable, assertion.value)
        return -literal if isinstance(assertion, Denial) else literal

    def _switches(self, on: Sequence[Switch]) -> list[int]:
        names = {switch if isinstance(switch, str) else switch[0] for switch in on}
        mentioned = self.compiled.mentioned.items()
        return [
            *[self._switch(switch) for switch in on],
            *[literal if name in names else -literal for name, literal in mentioned],
        ]

    def _switch(self, switch: Switch) -> int:
        if isinstance(switch, str):
            return self.compiled.switches[switch]
        return self.compiled.parts[switch[0]][switch[1]]

    def why(self) -> Reason:
        """The solver's failed assumptions: often few, rarely the fewest."""
        assertions, on = self._asked
        failed = set(self._solver.get_core() or ())
        switches: Sequence[Switch] = self._by_default if on is None else on
        return Reason(
            tuple(assertion for assertion in assertions if self._assume(assertion) in failed),
            tuple(switch for switch in switches if self._switch(switch) in failed),
        )

    def demand(self, options: Sequence[Assertion]) -> Demand:
        """See ``Engine.demand``."""
        self._top += 1
        self._solver.add_clause([-self._top, *map(self._assume, options)])
        self._live += 1
        return Demand(self._top)

    def retire(self, demand: Demand) -> None:
        """Switch a demand off for good; renew the solver when there are many dead ones."""
        self._solver.add_clause([-demand.handle])
        self._live -= 1
        self._retired += 1
        if self._retired >= RENEW_AFTER and not self._live:
            self._solver.delete()
            self._load(Clock(float("inf")))
