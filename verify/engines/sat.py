"""The SAT engine: one incremental solver per model, every premise behind an assumption.

Work is done in slices of a conflict budget, sized so that one takes a few hundredths of a second:
that is what keeps budgets, progress and Ctrl-C honest while a solver call holds Python's global lock.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from time import perf_counter

from gridassay.encodings.cnf.compile import Compiled, compile_model, extend
from gridassay.encodings.cnf.writer import Clause
from gridassay.encodings.model import Model
from gridassay.encodings.pace import pace
from gridassay.encodings.puzzle import Fact, Solution
from gridassay.verify.budget import Clock, TooHard
from gridassay.verify.engines.cutting import Noted
from gridassay.verify.engines.questions import Assertion, Demand, Denial, Reason, Switch
from gridassay.verify.engines.shared_solvers import DEFAULT_SOLVER, Lent, add_all, lend, meanings_of

RENEW_AFTER = 1000
"""Retired demands after which the solver is made anew: dead switches slow it down."""

_SLICE = 1000
_SLICE_SECONDS = 0.05


class SatEngine:
    """Questions to one incremental solver. ``choices`` names encodings; ``solver`` python-sat's.

    It is not ``sound`` where loading was broken off, and must not be asked again. Raises ValueError
    if there is no such encoding, no such constraint or no such solver.
    """

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
        self._asked: tuple[list[Assertion], list[Switch] | None, list[int]] = [], [], []
        self._load(clock)

    def _load(self, clock: Clock) -> None:
        self.sound = False
        ground = self.model.ground
        if ground is None or self.choices or self.solver_name != DEFAULT_SOLVER:
            self._own(clock)
        else:
            self._borrow(ground, clock)
        self.compiled.writer.take = None
        self.compiled.writer.clauses.clear()
        self._ready()
        self.sound = True

    def _own(self, clock: Clock) -> None:
        """A fresh solver, with the whole model."""
        # Imported here: a certificate is rechecked without any solver at hand.
        from pysat.solvers import NoSuchSolverError, Solver

        self._lent: Lent | None = None
        self._passes: list[int] = []
        try:
            self._solver = solver = Solver(name=self.solver_name)
        except NoSuchSolverError:
            raise ValueError(f"python-sat has no solver {self.solver_name!r}") from None
        self.compiled: Compiled = compile_model(
            self.model,
            self.choices,
            clock.check,
            lambda many: add_all(solver, many, clock),
            cuts=True,
        )
        writer = self.compiled.writer
        add_all(self._solver, writer.clauses, clock)
        for literals, bound in writer.cardinalities:
            self._solver.add_atmost(literals, bound)

    def _borrow(self, ground: Model, clock: Clock) -> None:
        """A solver that has the houses; what is added is bound to a pass (``shared_solvers.py``)."""
        self._lent = lent = lend(ground, self, clock)
        self._passes = [lent.passage]
        self._solver, unless = lent.solver, -lent.passage

        def take(many: Sequence[Clause]) -> None:
            lent.room -= len(many)
            add_all(lent.solver, [(*clause, unless) for clause in many], clock)

        self.compiled = extend(lent.compiled, self.model, lent.top, clock.check, take)
        # What order literals mean stays true for the next borrower: it need not be bound to a pass.
        self._solver.append_formula(self.compiled.writer.channels)
        lent.compiled.writer.share(self.compiled.writer)
        take(self.compiled.clauses)

    def _add(self, *literals: int) -> None:
        """Add a clause that binds as long as this engine has the solver."""
        self._solver.add_clause([*literals, *[-one for one in self._passes]])

    def _ready(self) -> None:
        """The variables as questions need to know them."""
        compiled = self.compiled
        meanings = self._lent.meanings if self._lent else meanings_of(self.model, compiled)
        self._literals, self._by_value, self._value_of = meanings
        self._top = compiled.variables
        self._live = self._retired = 0
        self._slice = _SLICE
        self._shown = len(self._value_of) - 1
        self._noted = Noted(compiled.writer)
        self._by_default = self.model.by_default
        # One switch that turns on everything that is on by default: most questions assume nothing else.
        self._all, self._true = self._top + 1, self._top + 2
        self._top += 2
        self._add(self._true)
        for literal in self.compiled.assumptions(self._by_default):
            self._add(-self._all, literal)

    def solve(
        self,
        assuming: Iterable[Assertion],
        clock: Clock,
        on: Iterable[Switch] | None = None,
        demands: Iterable[Demand] = (),
        effort: int | None = None,
    ) -> Solution | None:
        """See ``Engine.solve``."""
        assertions = list(assuming)
        asked = None if on is None else list(on)
        switches = [self._all] if asked is None else self.compiled.assumptions(asked)
        handles = [handle for (handle,) in demands]
        known, assume = self._literals.get, self._assume
        # Demands last: assumed before the givens they take a third longer on hard grids.
        assumptions = [
            *self._passes,
            *switches,
            # A fact is looked up as it is, which is quicker, and most assertions are facts.
            *[known(assertion) or assume(assertion) for assertion in assertions],  # type: ignore[arg-type]
            *handles,
        ]
        if self._run(assumptions, clock, effort):
            return self._read_solution()
        self._asked = assertions, asked, handles
        return None

    def glance(
        self,
        assuming: Iterable[Assertion],
        on: Sequence[Switch],
        more: Sequence[Assertion | str | tuple[str, int]],
        conflicts: int,
        demands: Iterable[Demand] = (),
    ) -> Solution | None:
        """A solution if one is found within this many conflicts; None says nothing.

        At least one of ``more`` (assertions and premises) also holds in it.
        """
        pace()
        self._top += 1
        compiled = self.compiled
        asserted = [one for one in more if isinstance(one, Fact | Denial)]
        switches = [one for one in more if not isinstance(one, Fact | Denial)]
        either = [compiled.by_switch[switch] for switch in switches]
        self._add(-self._top, *map(self._assume, asserted), *either)
        assumptions = [*self._passes, self._top]
        # What the further premises mention is left open, as they are.
        open_too = set(compiled.assumptions([*on, *switches]))
        assumptions += [one for one in compiled.assumptions(on) if one > 0 or one in open_too]
        assumptions += map(self._assume, assuming)
        assumptions += [handle for (handle,) in demands]
        self._solver.conf_budget(conflicts)
        found = self._solver.solve_limited(assumptions=assumptions)
        while found and self._cut():
            self._solver.conf_budget(conflicts)
            found = self._solver.solve_limited(assumptions=assumptions)
        solution = self._read_solution() if found else None
        self._add(-self._top)
        return solution

    def refutes(
        self,
        assuming: Sequence[Assertion],
        on: Sequence[Switch],
        conflicts: int,
        demands: Iterable[Demand] = (),
    ) -> Reason | None:
        """The reason why this is impossible, if found within this many conflicts; None says nothing."""
        pace()
        handles = [handle for (handle,) in demands]
        assumptions = [*self._passes, *self.compiled.assumptions(on), *handles]
        assumptions += map(self._assume, assuming)
        self._solver.conf_budget(conflicts)
        if self._solver.solve_limited(assumptions=assumptions) is not False:
            return None
        self._asked = list(assuming), list(on), handles
        return self.why()

    def _read_solution(self) -> Solution:
        value_of = self._value_of
        model = self._solver.get_model()
        return tuple([value_of[x] for x in model[: self._shown] if x > 0])

    def _run(self, assumptions: list[int], clock: Clock, effort: int | None) -> bool:
        solver = self._solver
        if effort is not None:
            # Slices of one length, whatever the machine: the answer is the same each time.
            for _ in range(0, effort, _SLICE):
                solver.conf_budget(min(_SLICE, effort))
                decided: bool | None = solver.solve_limited(assumptions=assumptions)
                if decided is not None and not (decided and self._cut()):
                    return decided
                clock.check()
            raise TooHard
        while True:
            pace()
            solver.conf_budget(self._slice)
            started = perf_counter()
            answer: bool | None = solver.solve_limited(assumptions=assumptions)
            if answer and self._cut():
                clock.check()
                continue
            if answer is not None:
                return answer
            clock.check()
            slow = perf_counter() - started > _SLICE_SECONDS
            self._slice = max(50, self._slice // 2) if slow else min(self._slice * 2, 20_000)

    def _cut(self) -> bool:
        """Add the cuts that the model found breaks; return whether there were any."""
        if not self._noted:
            return False
        clauses = self._noted.cuts(self._solver.get_model())
        for clause in clauses:
            self._add(*clause)
        return bool(clauses)

    def _assume(self, assertion: Assertion) -> int:
        """The literal of an assertion; one about an impossible value is constant."""
        literal = self._literals.get(assertion[:2])
        if literal is None:
            literal = -self._true
        return -literal if assertion.__class__ is Denial else literal

    def why(self) -> Reason:
        """The solver's failed assumptions: often few, rarely the fewest."""
        assertions, on, demands = self._asked
        switches: Sequence[Switch] = self._by_default if on is None else on
        if on is None:
            # The failed assumptions name the one switch for all; asked again, they name the few.
            self._solver.solve(
                assumptions=[
                    *self._passes,
                    *self.compiled.assumptions(switches),
                    *demands,
                    *[self._assume(assertion) for assertion in assertions],
                ]
            )
        failed = set(self._solver.get_core() or ())
        return Reason(
            tuple(assertion for assertion in assertions if self._assume(assertion) in failed),
            tuple(switch for switch in switches if self.compiled.by_switch[switch] in failed),
            tuple(Demand(handle) for handle in demands if handle in failed),
        )

    def effort(self) -> Mapping[str, int]:
        """Conflicts, decisions and propagations since the solver was made, if it counts them."""
        return dict(self._solver.accum_stats() or {})

    def demand(self, options: Sequence[Assertion]) -> Demand:
        """See ``Engine.demand``."""
        self._top += 1
        self._add(-self._top, *map(self._assume, options))
        self._live += 1
        return Demand(self._top)

    def forbid(self, solution: Solution) -> Demand:
        """See ``Engine.forbid``."""
        self._top += 1
        literals = zip(self._by_value, solution, strict=True)
        self._add(-self._top, *[-places[value] for places, value in literals])
        self._live += 1
        return Demand(self._top)

    def at_most(self, options: Sequence[Assertion]) -> tuple[Demand, ...]:
        """See ``Engine.at_most``. One totalizer for all bounds (Bailleux and Boufkhad 2003)."""
        # Imported here: verdicts do without.
        from pysat.card import ITotalizer

        literals = [self._assume(option) for option in options]
        with ITotalizer(lits=literals, ubound=len(literals), top_id=self._top) as totalizer:
            self._top = max(self._top, totalizer.top_id)
            for clause in totalizer.cnf.clauses:
                self._add(*clause)
            bounds = [Demand(-output) for output in totalizer.rhs[: len(literals)]]
        self._live += len(bounds)
        return tuple(bounds)

    def every(self, assertions: Sequence[Assertion]) -> Demand:
        """Make a demand for all of these, for many questions that assume the same."""
        self._top += 1
        for assertion in assertions:
            self._add(-self._top, self._assume(assertion))
        self._live += 1
        return Demand(self._top)

    def settle(self, assertions: Iterable[Assertion]) -> None:
        """Make these true as long as this engine is.

        What they decide is then not decided again question by question.
        """
        for assertion in assertions:
            self._add(self._assume(assertion))

    def bind(self) -> None:
        """Turn on permanently everything that is on by default."""
        self._add(self._all)

    def propagate(self, fact: Fact) -> tuple[bool, int]:
        """Whether a fact stands under unit propagation, and how much it forces until that ends.

        The solver must be one of the MiniSat family, and must not have solved anything: what it learned
        would count too.
        """
        holds, literals = self._solver.propagate([*self._passes, self._assume(fact)])
        return holds, len(literals)

    def lean(self, facts: Iterable[Fact]) -> None:
        """Try these values first, others last; the solver must be one of the MiniSat family."""
        liked = {self._literals[fact[:2]] for fact in facts}
        self._solver.set_phases([x if x in liked else -x for x in range(1, self._shown + 1)])

    def shun(self, facts: Iterable[Fact]) -> None:
        """Try these values last, as ``lean`` does with those that it is not given."""
        self._solver.set_phases([-self._literals[fact[:2]] for fact in facts])

    def retire(self, demand: Demand) -> None:
        """Switch a demand off for good. Rebuild the solver when many demands are off."""
        self._add(-demand.handle)
        self._live -= 1
        self._retired += 1
        if self._retired >= RENEW_AFTER and not self._live:
            if self._lent is None:
                self._solver.delete()
            else:
                self._lent.spent = True
            self._load(Clock(float("inf")))
