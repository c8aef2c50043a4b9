"""Certificates: evidence for a verdict that others can check without trusting whoever made it.

A certificate is a zip of plain text files. It holds the puzzle as it was given, and the solutions
behind the verdict: one, two or none. If the verdict denies further solutions, it also holds the
puzzle as clauses, with its one solution forbidden (``formula.cnf``), and a refutation of these
clauses: the steps that the solver logged, as far as they are needed (``proof.drat``), and the same with
hints (``proof.lrat``), so that checking is one linear pass. Two solutions need no proof: anyone can
read them.

The same puzzle gives the same bytes, as long as the versions in the manifest (and zlib) stay the same.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from gridassay.encodings.files import decode, is_document, read
from gridassay.encodings.lines import PuzzleError
from gridassay.verify.budget import DEFAULT_SECONDS, Clock, OutOfTime, Watched, within_budget
from gridassay.verify.counting.verdict import Verdict, check
from gridassay.verify.faults import Disagreement
from gridassay.verify.in_short import InShort
from gridassay.verify.proof.checker import LratStep, check_lrat, parse_drat
from gridassay.verify.proof.container import ContainerRefused, pack
from gridassay.verify.proof.formula import CnfFormula, formula_of
from gridassay.verify.proof.lrat import to_drat, to_text, with_hints
from gridassay.verify.proof.manifest import (
    DOCUMENT,
    DRAT,
    FORMULA,
    LINES,
    LRAT,
    MANIFEST,
    MOST_PUZZLE,
    NOTE,
    SOLUTIONS,
    Manifest,
    manifest_of,
    note,
)
from gridassay.verify.proof.refute import SOLVER, refutation
from gridassay.verify.proof.solutions import write_solution

TRIMMED = f"{DRAT} as logged by {SOLVER}, without deletions and steps that nothing needs"
"""How the DRAT proof was made. Measured: with the deletions of the log that spare a checker work, it is
larger and checked no faster; of the log of a 25×25 grid, 17 MB, 97 % of the lines are deletions."""


@dataclass(frozen=True, repr=False)
class Certificate(InShort):
    """A verdict with its evidence: the manifest, and each part's bytes by its file name."""

    verdict: Verdict
    manifest: Manifest
    parts: Mapping[str, bytes]
    seconds: float

    def in_short(self) -> str:
        """The verdict and the parts."""
        return ", ".join([self.verdict.status, *self.parts])

    def to_bytes(self) -> bytes:
        """The certificate as a zip. Raises PuzzleError if it is too large to be read back."""
        try:
            return pack({MANIFEST: self.manifest.to_bytes(), **self.parts})
        except ContainerRefused as error:
            raise PuzzleError(
                f"too large to certify: {error}", self.verdict.puzzle.source
            ) from None

    def to_json(self) -> dict[str, Any]:
        """The manifest with title, source and the seconds taken."""
        puzzle = self.verdict.puzzle
        taken = {"seconds": round(self.seconds, 6)}
        return {"title": puzzle.title, "source": puzzle.source} | self.manifest.to_json() | taken


@within_budget
def certify(
    document: bytes, source: str = "", *, budget: float | Clock = DEFAULT_SECONDS
) -> Certificate:
    """Make the certificate of a puzzle, given as the bytes of its file.

    ``budget`` is in seconds, or a clock already running. Raises PuzzleError if the file does
    not hold exactly one puzzle, and OutOfTime if the verdict stays undecided or its proof unfinished.
    """
    clock = Clock.of(budget)
    started = clock.time_spent()
    if len(document) > MOST_PUZZLE:
        raise PuzzleError(f"a puzzle to certify has at most {MOST_PUZZLE:,} bytes", source)
    text = decode(document, source)
    puzzle = read(text, source)
    verdict = check(puzzle, budget=clock)
    if verdict.status == "undecided":
        raise OutOfTime
    solutions = "".join(f"{write_solution(puzzle, found)}\n" for found in verdict.solutions)
    parts = {DOCUMENT if is_document(text, source) else LINES: document}
    parts[SOLUTIONS] = solutions.encode()
    parts[NOTE] = note(verdict.status).encode()
    proof = ""
    if verdict.status != "multiple":
        only = verdict.solutions[0] if verdict.solutions else None
        formula = formula_of(puzzle, only, clock)
        hinted, proof = _refute(formula, verdict, clock), TRIMMED
        parts[FORMULA] = formula.dimacs().encode()
        parts[DRAT], parts[LRAT] = to_drat(hinted).encode(), to_text(hinted).encode()
    manifest = manifest_of(puzzle, verdict.status, parts, proof)
    return Certificate(verdict, manifest, parts, clock.time_spent() - started)


def _refute(formula: CnfFormula, verdict: Verdict, clock: Clock) -> list[LratStep]:
    """A proof that the formula has no solution, with hints."""
    log = refutation(formula.clauses, clock)
    if log is None:
        raise Disagreement(
            f"{verdict.puzzle.source}: the verdict is {verdict.status}, "
            "but its formula has a solution that should not be"
        )
    steps = list(parse_drat("\n".join(log), clock.check))
    clauses = Watched(formula.clauses, clock)
    hinted = with_hints(clauses, Watched(steps, clock), clock.check)
    check_lrat(clauses, hinted, clock.check)
    return hinted
