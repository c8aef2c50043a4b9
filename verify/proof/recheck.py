"""Certificates checked again, with no solver.

Four checks, each on its own: (0) every part is as the manifest says; (1) the clauses, built again
from the puzzle, are the ones in the formula; (2) the solutions keep every given, house and rule,
read in plain Python; (3) the proofs refute the formula, step by step, by the checker.

A formula that another encoder wrote, and that differs from the one built here, is *not compared*. That is
not an accusation: the version named in the manifest can compare it. The same encoder, however, must write
the same clauses; if not, the certificate is false.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any, Literal

from gridassay.encodings.files import decode, read
from gridassay.encodings.lines import PuzzleError
from gridassay.encodings.puzzle import Puzzle, Solution
from gridassay.verify.budget import DEFAULT_SECONDS, Clock, OutOfTime, within_budget
from gridassay.verify.in_short import InShort
from gridassay.verify.proof.checker import (
    ProofRefused,
    check_drat_text,
    check_lrat_text,
    parse_dimacs,
)
from gridassay.verify.proof.container import ContainerRefused, unpack
from gridassay.verify.proof.formula import formula_of
from gridassay.verify.proof.manifest import (
    CLAIMS,
    DOCUMENT,
    DRAT,
    FORMULA,
    KNOWN_PARTS,
    LINES,
    LRAT,
    MANIFEST,
    MOST_PUZZLE,
    MOST_SOLUTIONS,
    NOTE,
    SOLUTIONS,
    Manifest,
    ManifestRefused,
    describe,
    encoder,
    note,
    plug_ins_of,
    read_manifest,
)
from gridassay.verify.proof.solutions import read_solution, write_solution

Check = Literal["puzzle", "parts", "clauses", "solutions", "proof"]
Result = Literal["passed", "failed", "not needed", "not compared", "out of time"]


class Refused(ValueError):
    """A check fails; the message names the part and the place."""


class NotCompared(Exception):
    """Only another encoder can compare the clauses."""


@dataclass(frozen=True)
class Finding:
    """The result of one check, and what it looked at or what is wrong."""

    check: Check
    result: Result
    detail: str


@dataclass(frozen=True, repr=False)
class Recheck(InShort):
    """The result of checking a certificate. ``claim`` is what it says, empty if that cannot be told.

    ``puzzle`` is the puzzle of the claim, with its ``solutions``; None and empty if they were not
    read. Whoever relies on a certificate must make sure that this is the right puzzle.
    """

    source: str
    claim: str
    findings: tuple[Finding, ...]
    seconds: float
    puzzle: Puzzle | None = None
    solutions: tuple[Solution, ...] = ()

    def in_short(self) -> str:
        """The result, and what was claimed."""
        return f"{self.result}, {self.claim}" if self.claim else self.result

    @property
    def result(self) -> Literal["passed", "failed", "incomplete"]:
        """Failed if a check failed; incomplete if one could not be carried out."""
        results = {finding.result for finding in self.findings}
        if "failed" in results:
            return "failed"
        return "passed" if results <= {"passed", "not needed"} else "incomplete"

    def to_json(self) -> dict[str, Any]:
        """The result, and every check in order."""
        return {
            "source": self.source,
            "ok": self.result == "passed",
            "result": self.result,
            "claim": self.claim,
            **self._puzzle_lines(),
            "checks": [
                {"check": finding.check, "result": finding.result, "detail": finding.detail}
                for finding in self.findings
            ],
            "seconds": round(self.seconds, 6),
        }

    def _puzzle_lines(self) -> dict[str, Any]:
        """The puzzle that the claim is about, if it was read."""
        puzzle = self.puzzle
        if puzzle is None:
            return {}
        return {
            "title": puzzle.title,
            "givens": puzzle.given_line(),
            "rules": list(puzzle.rule_names),
            "solutions": [puzzle.line(solution) for solution in self.solutions],
        }


@within_budget
def recheck(
    data: bytes,
    source: str = "",
    *,
    meant: Puzzle | None = None,
    proof_only: bool = False,
    budget: float | Clock = DEFAULT_SECONDS,
) -> Recheck:
    """Check a certificate, given as the bytes of its zip, whatever they are.

    With ``meant`` it must be about that puzzle: the same canvas, givens and rules in
    any order. With ``proof_only`` only the formula and its proofs are checked. ``budget`` is in
    seconds, or a clock already running; whatever it leaves undone is reported as out of time.
    """
    clock = Clock.of(budget)
    started = clock.time_spent()
    claim = ""
    findings: list[Finding] = []
    bench: _Bench | None = None
    try:
        files = unpack(data, KNOWN_PARTS)
        if proof_only:
            claim = f"{FORMULA} has no solution"
            findings.append(_finding("proof", lambda: _check_proofs(files, clock)))
        else:
            bench = _Bench(files, read_manifest(_part(files, MANIFEST)), clock)
            claim = CLAIMS[bench.manifest.verdict][0]
            findings += bench.findings(meant)
    except ContainerRefused as refused:
        findings.append(Finding("parts", "failed", str(refused)))
    except (ManifestRefused, Refused) as refused:
        findings.append(Finding("parts", "failed", f"{MANIFEST}: {refused}"))
    told = bench.puzzle_and_solutions() if bench else (None, ())
    return Recheck(source, claim, tuple(findings), clock.time_spent() - started, *told)


def _finding(check: Check, look: Callable[[], str | None]) -> Finding:
    """Carry out one check; an answer of None means that there is nothing to check."""
    try:
        detail = look()
    except (Refused, ProofRefused) as refused:
        return Finding(check, "failed", str(refused))
    except NotCompared as reason:
        return Finding(check, "not compared", str(reason))
    except OutOfTime:
        return Finding(check, "out of time", "a larger --budget lets it finish")
    if detail is None:
        return Finding(check, "not needed", "two solutions are their own evidence")
    return Finding(check, "passed", detail)


def _part(files: Mapping[str, bytes], name: str) -> bytes:
    if name not in files:
        raise Refused(f"{name} is missing")
    return files[name]


def _text(files: Mapping[str, bytes], name: str) -> str:
    try:
        return _part(files, name).decode()
    except UnicodeDecodeError as error:
        raise Refused(f"{name}: byte {error.start + 1} is not UTF-8 text") from None


def _check_proofs(files: Mapping[str, bytes], clock: Clock) -> str:
    """Check both proofs against the formula."""
    look = clock.check
    _, clauses = _in_part(FORMULA, lambda: parse_dimacs(_text(files, FORMULA), look))
    lrat, drat = _text(files, LRAT), _text(files, DRAT)
    hinted = _in_part(LRAT, lambda: check_lrat_text(clauses, lrat, look))
    logged = _in_part(DRAT, lambda: check_drat_text(clauses, drat, look))
    return (
        f"{len(clauses):,} clauses are refuted by the {hinted:,} steps of {LRAT} "
        f"and by the {logged:,} of {DRAT}"
    )


def _in_part(name: str, work: Callable[[], Any]) -> Any:
    """Do part of the checker's work; refusals name the part."""
    try:
        return work()
    except ProofRefused as refused:
        raise Refused(f"{name}: {refused}") from None


@dataclass(frozen=True)
class _Bench:
    """A certificate that is being checked."""

    files: Mapping[str, bytes]
    manifest: Manifest
    clock: Clock

    def findings(self, meant: Puzzle | None) -> Iterator[Finding]:
        """All four checks in order, and before them whether it is about the puzzle meant."""
        if meant is not None:
            yield _finding("puzzle", lambda: self._check_puzzle(meant))
        yield _finding("parts", self._check_parts)
        yield _finding("clauses", self._check_clauses)
        yield _finding("solutions", self._check_solutions)
        if self.manifest.verdict == "multiple":
            yield _finding("proof", lambda: None)
        else:
            yield _finding("proof", lambda: _check_proofs(self.files, self.clock))

    def puzzle_and_solutions(self) -> tuple[Puzzle | None, tuple[Solution, ...]]:
        """The puzzle and its solutions, as far as they can be read."""
        try:
            puzzle = self._puzzle
        except (Refused, NotCompared, OutOfTime):
            return None, ()
        try:
            return puzzle, tuple(self._solutions)
        except (Refused, OutOfTime):
            return puzzle, ()

    def _check_puzzle(self, meant: Puzzle) -> str:
        if _content(self._puzzle) != _content(meant):
            raise Refused(f"it is about another puzzle than {meant.source}")
        return f"it is about the puzzle of {meant.source}"

    def _check_parts(self) -> str:
        wanted = {DOCUMENT if DOCUMENT in self.files else LINES, SOLUTIONS}
        if self.manifest.verdict != "multiple":
            wanted |= {FORMULA, DRAT, LRAT}
        if NOTE in self.files:  # those of before there was one have none
            wanted.add(NOTE)
        listed = {*self.manifest.parts}
        for name in sorted(wanted | listed):
            _part(self.files, name)
        for name in sorted(self.files.keys() - {MANIFEST}):
            if name not in wanted:
                raise Refused(f"{name} does not belong in a certificate of {self._claim()}")
            if name not in listed:
                raise Refused(f"{name} is not in the manifest")
            if describe(self.files[name]) != self.manifest.parts[name]:
                raise Refused(f"{name} is not the file that the manifest describes")
        if NOTE in self.files and self.files[NOTE] != note(self.manifest.verdict).encode():
            raise Refused(f"{NOTE} does not say what the note of a certificate says")
        return f"{len(listed)} files are as the manifest describes them"

    def _claim(self) -> str:
        return CLAIMS[self.manifest.verdict][0]

    @cached_property
    def _puzzle(self) -> Puzzle:
        name = DOCUMENT if DOCUMENT in self.files else LINES
        if len(_part(self.files, name)) > MOST_PUZZLE:
            raise Refused(f"{name} has more than {MOST_PUZZLE:,} bytes")
        try:
            return read(decode(_part(self.files, name), name), name)
        except PuzzleError as error:
            # A newer gridassay, or a plug-in that is missing here, may know how to read it.
            if self.manifest.plug_ins or self.manifest.encoder != encoder():
                raise self._not_compared(f"the puzzle cannot be read here ({error})") from None
            raise Refused(str(error)) from None

    def _not_compared(self, why: str) -> NotCompared:
        made_by = f"gridassay {self.manifest.versions['gridassay']!a}"
        plug_ins = [f"{kind} of {package}" for kind, package in self.manifest.plug_ins.items()]
        shipped = f" with {', '.join(plug_ins)!a}" if plug_ins else ""
        return NotCompared(f"{why}; {made_by}{shipped} wrote the clauses and can compare them")

    @cached_property
    def _solutions(self) -> list[Solution]:
        text = _text(self.files, SOLUTIONS)
        wanted = CLAIMS[self.manifest.verdict][1]
        if len(text) > MOST_SOLUTIONS:
            raise Refused(f"{SOLUTIONS} has more than {MOST_SOLUTIONS:,} bytes")
        if text.count("\n") > wanted:
            raise Refused(
                f"{SOLUTIONS}: {text.count(chr(10)):,} solutions, but {wanted} for {self._claim()}"
            )
        lines = text.split("\n")
        found = []
        for number, line in enumerate(lines[:-1], start=1):
            try:
                found.append(read_solution(self._puzzle, line))
            except PuzzleError as error:
                raise Refused(f"{SOLUTIONS}:{number}: {error}") from None
            if write_solution(self._puzzle, found[-1]) != line:
                raise Refused(f"{SOLUTIONS}:{number}: it does not have the form of a solution")
        if lines[-1]:
            raise Refused(f"{SOLUTIONS}: the last line is not closed")
        if len(found) != wanted:
            raise Refused(f"{SOLUTIONS}: {len(found)} solutions, but {wanted} for {self._claim()}")
        return found

    def _check_clauses(self) -> str | None:
        if self.manifest.verdict == "multiple":
            return None
        given = _text(self.files, FORMULA)
        forbidden = next(iter(self._solutions), None)
        formula = formula_of(self._puzzle, forbidden, self.clock)
        own = formula.dimacs()
        if given != own:
            place = _first_difference(given, own)
            if self.manifest.encoder != encoder(plug_ins_of(self._puzzle)):
                raise self._not_compared(f"{place} differs from what the encoder here writes")
            raise Refused(
                f"{place} is not what the puzzle gives: the clauses are not this puzzle's"
            )
        return f"{len(formula.clauses):,} clauses are the ones that the puzzle gives"

    def _check_solutions(self) -> str:
        solutions = self._solutions
        for number, solution in enumerate(solutions, start=1):
            broken = next(self._puzzle.violations(solution), None)
            if broken is not None:
                raise Refused(f"{SOLUTIONS}:{number}: by plain reading it breaks {broken}")
        if len(set(solutions)) != len(solutions):
            raise Refused(f"{SOLUTIONS}: both solutions are the same")
        if not solutions:
            return "none is claimed"
        return "by plain reading no given, house or rule is broken"


def _content(puzzle: Puzzle) -> tuple[object, ...]:
    """The content of a puzzle, without its titles and the order of its clues."""
    rules = sorted(repr(rule.model_dump(exclude={"id", "text"})) for rule in puzzle.rules)
    return (
        puzzle.canvas,
        frozenset(puzzle.givens),
        [(puzzle.doublers, puzzle.letters_differ), *rules],
    )


def _first_difference(given: str, own: str) -> str:
    """The first line in which two texts differ; there is one."""
    same, differs = 0, max(len(given), len(own))
    while differs - same > 1:  # the texts agree up to one place, and not up to the other
        middle = (same + differs) // 2
        same, differs = (middle, differs) if given[:middle] == own[:middle] else (same, middle)
    return f"{FORMULA}:{own.count(chr(10), 0, same) + 1}"
