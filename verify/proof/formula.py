"""A puzzle as a formula that others can read: clauses without switches, each with its origin.

Houses, givens and rules that are not optional are asserted outright, without switches. If
a solution is forbidden, the last clause forbids it, over the cells and the declared
unknowns alone; the formula then has no solution exactly when the puzzle has no other one.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from gridassay.encodings.cnf.compile import compile_plainly
from gridassay.encodings.cnf.writer import Clause
from gridassay.encodings.pace import pacing
from gridassay.encodings.puzzle import Puzzle, Solution
from gridassay.verify.budget import Clock, building

FORBIDDING = "the solution is forbidden"


@dataclass(frozen=True)
class CnfFormula:
    """Clauses of DIMACS literals over the variables 1 to ``variables``.

    ``meanings`` says what each of the first variables stands for; the others are helpers.
    ``origins`` says at which clause, counted from 0, each given, house or part of a
    rule begins.
    """

    variables: int
    clauses: list[Clause]
    meanings: tuple[str, ...]
    origins: tuple[tuple[int, str], ...]

    def comments(self) -> Iterator[str]:
        """The comments, line by line: the meaning of each variable, the origin of each clause."""
        forbids = self.origins[-1][1] == FORBIDDING
        other = " other than the one that the last clause forbids" if forbids else ""
        yield f"A puzzle as clauses: they have a solution exactly when it has one{other}."
        for number, meaning in enumerate(self.meanings, start=1):
            yield f"variable {number}: {meaning}"
        first_helper = len(self.meanings) + 1
        if first_helper <= self.variables:
            yield f"{_span('variable', first_helper, self.variables)}: helpers"
        for (first, label), (end, _) in pairwise([*self.origins, (len(self.clauses), "")]):
            if first < end:
                yield f"{_span('clause', first + 1, end)}: {_printable(label)}"

    def dimacs(self) -> str:
        """The formula in DIMACS, with all comments before the header, where every reader takes them."""
        lines = [f"c {comment}" for comment in self.comments()]
        lines.append(f"p cnf {self.variables} {len(self.clauses)}")
        lines += [" ".join(map(str, (*clause, 0))) for clause in pacing(self.clauses)]
        return "\n".join(lines) + "\n"


def formula_of(puzzle: Puzzle, forbidden: Solution | None, clock: Clock) -> CnfFormula:
    """The formula of a puzzle, with one solution forbidden or none.

    Raises OutOfTime, and PuzzleError if it is larger than there is room for.
    """
    with building(puzzle, clock):
        plain = compile_plainly(puzzle.model, clock.check)
    clauses, literal = plain.writer.clauses, plain.writer.literal
    origins = list(plain.origins)
    for given in puzzle.givens:
        origins.append((len(clauses), f"given {given}"))
        clauses.append((literal(given.variable, given.value),))
    if forbidden is not None:
        origins.append((len(clauses), FORBIDDING))
        shown = zip(puzzle.board.shown, forbidden, strict=True)
        clauses.append([-literal(variable, value) for variable, value in shown])
    meanings = [
        f"{_printable(str(variable))} is {value}"
        for variable, domain in puzzle.model.domains.items()
        for value in domain
    ]
    return CnfFormula(plain.writer.top, clauses, tuple(meanings), tuple(origins))


def _span(what: str, first: int, last: int) -> str:
    return f"{what} {first}" if first == last else f"{what}s {first} to {last}"


def _printable(label: str) -> str:
    """A label that stays within its comment: ids of rules may hold anything, even line ends."""
    return "".join(mark if mark.isprintable() else " " for mark in label)
