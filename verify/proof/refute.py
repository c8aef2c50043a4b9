"""Have a solver refute clauses and log a DRAT proof for the checker to judge.

CaDiCaL 1.5.3 through python-sat. Which of its solvers log a proof that the checker accepts
was tested with python-sat 1.9.dev24 on pigeonholes and on sudoku grids of side 9 and 16:

- CaDiCaL 1.0.3, 1.5.3, 1.9.5 and 3.0.0 and Lingeling do. CaDiCaL may log deletions after the empty
  clause, so the log is cut there.
- Glucose, Gluecard and MapleChrono do, but log nothing when the clauses refute themselves by
  propagation while they are added, and delete nearly every clause of the formula, which makes the
  proof of a 9×9 grid fourteen times as long. MapleCM may leave out the empty clause.
- MapleSat's literals are off by one, which the checker refuses. MiniSat, MiniCard and MergeSat log
  nothing at all.

The solver is always a fresh one and never given assumptions: under assumptions a proof shows only
that the assumptions failed, and some solvers log an empty clause although the formula has
solutions. Everything that must hold has to be among the clauses.
"""

from collections.abc import Sequence
from typing import Protocol

SOLVER = "cadical153"
CONFLICTS_A_SLICE = 1000  # costs nothing measurable, and returns within about 20 ms


class Deadline(Protocol):
    """The object that decides when time is up."""

    def check(self) -> None:
        """Raise any exception when no more time may be spent."""


def refutation(clauses: Sequence[Sequence[int]], clock: Deadline | None = None) -> list[str] | None:
    """The lines of a DRAT proof that the clauses have no solution, or None if they have one.

    The proof ends with its empty clause. The solver works in slices of conflicts, and `clock` is
    asked between them; whatever it raises is passed on. Nothing is proved until the proof is
    checked.
    """
    from pysat.solvers import Solver

    with Solver(name=SOLVER, bootstrap_with=clauses, with_proof=True) as solver:
        satisfiable = None
        while satisfiable is None:
            if clock is not None:
                clock.check()
            solver.conf_budget(CONFLICTS_A_SLICE)
            satisfiable = solver.solve_limited()
        if satisfiable:
            return None
        log: list[str] = solver.get_proof()
    return [*log[: log.index("0")], "0"] if "0" in log else [*log, "0"]
