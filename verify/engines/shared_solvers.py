"""Solvers with the houses of a canvas loaded, lent to one engine after another.

Most puzzles with rules are on a canvas that has been seen before. Writing and loading the houses'
clauses takes longer than most verdicts, so a solver that has them is kept when an engine is done
with it. Every clause that an engine adds carries the engine's own literal, its *pass*, which the
engine assumes in every question; when the solver is given back the pass becomes false for good, so
that everything the engine added, and everything learned from it, is true whatever else happens. The
engine's variables then occur in no clause that matters, and the next engine reuses their numbers.

Measured on the corpus of variants (``benchmarks/corpora/variants``), puzzle after puzzle: with a fresh
solver each a verdict takes 2.9 times as long on marks between cells, 2.0 on lines of sets, 1.5 on
arrows, 1.3 on lines of totals, and the same on cages, whose own search outweighs it. Leftover clauses
wear a solver out only slowly: 10, 30 and 100 lendings, and a ROOM of 1, 4, 12 and 1000, were
within the noise of one another (a tenth to a fifth).
"""

from __future__ import annotations

import atexit
import weakref
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple
from weakref import WeakSet

from gridassay.encodings.cnf.compile import Compiled, compile_model
from gridassay.encodings.constraints import Variable
from gridassay.encodings.model import Model
from gridassay.encodings.pace import pace
from gridassay.verify.budget import Clock
from gridassay.verify.engines.by_thread import kept_by_thread

if TYPE_CHECKING:
    from pysat.solvers import Solver

LENDINGS = 30
"""How often a solver is lent before it is dropped: what was added stays in it as dead clauses."""

DEFAULT_SOLVER = "cadical153"
"""Quickest once loaded on hard grids, and it stops soonest at a conflict budget. Relatives of MiniSat
load faster (docs/benchmarks.md), which decides on easy grids that are asked about once."""

ROOM = 4
"""How many times the houses' clauses may be added before a solver is dropped."""

_CHUNK = 20_000


class Meanings(NamedTuple):
    """The meaning of literals: the one for each fact, those of each shown variable, the value of each.

    The direct literals of shown variables are the first ones, numbered from 1.
    """

    literals: dict[tuple[Variable, int], int]
    by_value: list[dict[int, int]]
    value_of: list[int]


def meanings_of(model: Model, compiled: Compiled) -> Meanings:
    """The meanings of a compiled model's direct literals."""
    domains = model.domains
    literals = {
        (variable, value): literal
        for variable, domain in domains.items()
        for value, literal in zip(domain, compiled.writer.literals(variable), strict=True)
    }
    by_value = [{value: literals[var, value] for value in domains[var]} for var in model.shown]
    return Meanings(literals, by_value, [0, *(v for var in model.shown for v in domains[var])])


@dataclass(eq=False)
class Lent:
    """A solver on loan, with the houses compiled (their clauses are in the solver only).

    A borrower may use the variables above ``top``. It takes the clauses it adds off ``room``, and
    sets ``spent`` if it has worn the solver out in another way.
    """

    ground: Model
    compiled: Compiled
    meanings: Meanings
    solver: Solver
    room: int
    times: int = 0
    spent: bool = False

    @property
    def passage(self) -> int:
        """The borrower's pass: each has its own, all above the houses' variables."""
        return self.compiled.variables + 1 + self.times

    @property
    def top(self) -> int:
        """The last number taken by houses and passes."""
        return self.compiled.variables + LENDINGS


MOST_WAITING = 8
"""Solvers that wait for their next borrower, in each thread."""


class Pool:
    """The solvers of one thread that are not on loan, in the order in which they were returned."""

    def __init__(self) -> None:
        self.waiting: list[Lent] = []
        _pools.add(self)

    def take(self, ground: Model) -> Lent | None:
        """Take out a solver with the houses of this model, if there is one."""
        for lent in tuple(self.waiting):
            if lent.ground is ground:
                try:
                    self.waiting.remove(lent)
                except ValueError:  # crowded out by one that was just returned
                    continue
                return lent
        return None

    def give_back(self, lent: Lent) -> None:
        """Keep it for the next borrower in this thread, unless it is worn out."""
        if lent.spent:
            return
        lent.solver.add_clause([-lent.passage])
        lent.times += 1
        if lent.times < LENDINGS and lent.room > 0:
            self.waiting.append(lent)
            del self.waiting[:-MOST_WAITING]


_pools: WeakSet[Pool] = WeakSet()


@kept_by_thread(1)
def pool() -> Pool:
    """The solvers that this thread has to lend."""
    return Pool()


def forget_lent() -> None:
    """Free every solver of this thread that is not on loan; the next borrower gets a new one."""
    pool().waiting.clear()


@atexit.register
def _forget_all() -> None:
    """A solver cannot be deleted once its library is gone."""
    for one in tuple(_pools):
        one.waiting.clear()


def lend(ground: Model, borrower: object, clock: Clock) -> Lent:
    """A solver with the houses loaded, until the borrower is gone. Raises OutOfTime."""
    own = pool()
    lent = own.take(ground)
    if lent is None:
        # Imported here: a certificate is rechecked without any solver at hand.
        from pysat.solvers import Solver

        compiled = compile_model(ground, tick=clock.check)
        solver = Solver(name=DEFAULT_SOLVER)
        add_all(solver, compiled.clauses, clock)
        room = ROOM * len(compiled.clauses)
        compiled.clauses.clear()
        compiled.writer.reserve()
        lent = Lent(ground, compiled, meanings_of(ground, compiled), solver, room)
    weakref.finalize(borrower, own.give_back, lent).atexit = False
    return lent


def add_all(solver: Solver, clauses: Sequence[Iterable[int]], clock: Clock) -> None:
    """Load clauses, with a look at the clock now and then. Raises OutOfTime."""
    for start in range(0, len(clauses), _CHUNK):
        clock.check()
        pace()
        solver.append_formula(clauses[start : start + _CHUNK])
