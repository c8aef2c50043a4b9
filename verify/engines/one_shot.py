"""One question to a fresh solver, in which everything fixed is stated as fact.

A solver cannot simplify with what is only assumed: of sixteen published 25×25 grids with a quarter
to a half of the cells given, the shared solver (``sat.py``), which assumes givens and premises,
took 5 to 20 times as long. Here givens are unit clauses, premises bind without switches, and a
solution that is ruled out stays so. Such a solver can answer only one question, so it is used for
the first puzzle on a canvas, and for puzzles that the shared solver finds hard.

At-most-one is left to the solver's own cardinality constraints (Liffiton and Maglalang, "A cardinality
solver: more expressive constraints for free", SAT 2012): they load ten times as fast as pairs.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable

from gridassay.encodings.cnf.compile import compile_plainly
from gridassay.encodings.cnf.writer import FALSE
from gridassay.encodings.model import Model
from gridassay.encodings.puzzle import Fact, Solution
from gridassay.verify.budget import Clock
from gridassay.verify.engines.cutting import Noted
from gridassay.verify.engines.shared_solvers import add_all

SOLVER = "gluecard4"
CHOICES = {"AtMostOne": "native"}

_SLICE = 1000


class OutrightEngine:
    """Finds solutions of a model with some facts, one after another, each different from the last."""

    name = "sat"

    def __init__(
        self,
        model: Model,
        facts: Iterable[Fact],
        clock: Clock,
        on: Collection[str] | None = None,
        solver: str = SOLVER,
    ) -> None:
        """``on`` names the premises that bind, all but the optional ones if it is left out."""
        # Imported here: a certificate is rechecked without any solver at hand.
        from pysat.solvers import Solver

        plain = compile_plainly(model, clock.check, CHOICES, on, cuts=True)
        writer = plain.writer
        self._solver = Solver(name=solver)
        for fact in facts:
            literal = writer.literal(*fact[:2])
            # An impossible value is a contradiction.
            add_all(self._solver, [[1], [-1]] if literal == FALSE else [[literal]], clock)
        add_all(self._solver, writer.clauses, clock)
        for literals, bound in writer.cardinalities:
            self._solver.add_atmost(literals, bound)
        self._noted = Noted(writer)
        self._literals = [writer.literals(variable) for variable in model.shown]
        self._domains = [model.domains[variable] for variable in model.shown]

    def solve(self, clock: Clock, between: Callable[[], None] = lambda: None) -> Solution | None:
        """A solution that is not ruled out, or None; ``between`` is called after each slice of work.

        Raises OutOfTime when the clock runs out, and what ``between`` raises.
        """
        while True:
            self._solver.conf_budget(_SLICE)
            answer: bool | None = self._solver.solve_limited()
            if answer is not None and not (answer and self._cut()):
                break
            clock.check()
            between()
        if not answer:
            return None
        model = self._solver.get_model()
        return tuple(
            next(v for x, v in zip(literals, domain, strict=True) if model[x - 1] > 0)
            for literals, domain in zip(self._literals, self._domains, strict=True)
        )

    def _cut(self) -> bool:
        """Add the cuts that the model found breaks; return whether there were any."""
        clauses = self._noted.cuts(self._solver.get_model()) if self._noted else []
        for clause in clauses:
            self._solver.add_clause(clause)
        return bool(clauses)

    def rule_out(self, solution: Solution) -> None:
        """Some cell or declared unknown has to differ from this solution from now on."""
        places = zip(self._literals, self._domains, solution, strict=True)
        self._solver.add_clause(
            [-literals[domain.index(value)] for literals, domain, value in places]
        )

    def close(self) -> None:
        """Free the solver."""
        self._solver.delete()
