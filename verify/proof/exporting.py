"""A whole puzzle in open formats, for any solver that reads them.

DIMACS is the text format of SAT solvers: clauses of literals. OPB is the text format of
pseudo-Boolean solvers (Roussel and Manquinho, "Input/Output Format and Solver Requirements for the
Competitions of Pseudo-Boolean Solvers"): sums of 0-1 variables against a bound. Both say the same,
clause by clause: one of the literals a, b and ¬c is true exactly if a + b − c ≥ 0.
Comments say what each variable means (x7 in OPB is variable 7) and where each clause comes from.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Literal, get_args

from gridassay.encodings.cnf.writer import Clause
from gridassay.encodings.pace import pacing
from gridassay.encodings.puzzle import Puzzle, Solution
from gridassay.verify.budget import DEFAULT_SECONDS, Clock, within_budget
from gridassay.verify.in_short import InShort
from gridassay.verify.proof.formula import CnfFormula, formula_of

Format = Literal["dimacs", "opb"]


@dataclass(frozen=True, repr=False)
class Export(InShort):
    """A puzzle as clauses, to be written in a format."""

    puzzle: Puzzle
    format: Format
    formula: CnfFormula

    def in_short(self) -> str:
        """The format and the size."""
        formula = self.formula
        return f"{self.format}, {formula.variables} variables, {len(formula.clauses)} clauses"

    def text(self) -> str:
        """The file."""
        if self.format == "dimacs":
            return self.formula.dimacs()
        return "\n".join(_opb(self.formula)) + "\n"

    def to_json(self) -> dict[str, Any]:
        """A summary of the file, and the file itself as text."""
        return {
            "title": self.puzzle.title,
            "source": self.puzzle.source,
            "format": self.format,
            "variables": self.formula.variables,
            "clauses": len(self.formula.clauses),
            "text": self.text(),
        }


@within_budget
def export(
    puzzle: Puzzle,
    format: Format = "dimacs",
    *,
    blocked: Solution | None = None,
    budget: float | Clock = DEFAULT_SECONDS,
) -> Export:
    """State a puzzle in an open format, without the rules that are optional.

    With ``blocked`` a last clause forbids that solution: the rest has a solution exactly if the
    puzzle has another one. ``budget`` is in seconds, or a clock already running; raises
    OutOfTime. Raises ValueError if there is no such format.
    """
    if format not in get_args(Format):
        raise ValueError(f"there is no format {format!r}: dimacs or opb")
    clock = Clock.of(budget)
    return Export(puzzle, format, formula_of(puzzle, blocked, clock))


def _opb(formula: CnfFormula) -> Iterator[str]:
    yield f"* #variable= {formula.variables} #constraint= {len(formula.clauses)}"
    for comment in formula.comments():
        yield f"* {comment}"
    yield from map(_at_least_one, pacing(formula.clauses))


def _at_least_one(clause: Clause) -> str:
    """A clause as a sum: a negated literal ¬x counts as 1 − x."""
    if not clause:
        return "+1 x1 >= 2 ;"  # no format has a sum without terms
    terms = " ".join(f"+1 x{literal}" if literal > 0 else f"-1 x{-literal}" for literal in clause)
    return f"{terms} >= {1 - sum(literal < 0 for literal in clause)} ;"
