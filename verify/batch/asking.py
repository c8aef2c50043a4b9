"""The questions put to each puzzle of a batch, and the answers as one JSON object.

The same puzzle gets the same answers on any process or machine, whatever was asked there before:
seconds are left out of the answers, and engines, which remember, start afresh for each puzzle
that is asked more than its verdict. Only a budget that runs out can make a difference, and
the result says so.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from importlib import import_module
from pathlib import PurePath
from types import MappingProxyType
from typing import Any, Literal, NamedTuple

from gridassay.encodings.lines import PuzzleError
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.budget import DEFAULT_SECONDS, Clock, OutOfTime
from gridassay.verify.counting.verdict import Verdict, check
from gridassay.verify.engines import forget_engines

Result = dict[str, Any]
Otherwise = Literal["singles"]


@dataclass(frozen=True)
class Questions:
    """The questions put to each puzzle besides its verdict, and its budget in seconds.

    With ``warn`` likely slips are looked for. ``parts`` are names in ``PARTS``. ``needs`` is the name
    of a technique; a puzzle that calls for it is *wanted*, with ``otherwise`` only if it
    calls for nothing else but singles (see ``detours.calls_for``).
    """

    budget: float = DEFAULT_SECONDS
    parts: tuple[str, ...] = ()
    needs: str | None = None
    otherwise: Otherwise | None = None
    warn: bool = True

    @property
    def more(self) -> bool:
        """Whether more than the verdict is asked."""
        return bool(self.parts or self.needs)

    @property
    def key(self) -> str:
        """A text that differs if the answers could differ; empty if only the verdict is asked."""
        parts = sorted(self.parts)
        if self.needs:
            parts += ["needs", self.needs, self.otherwise or ""]
        return "\n".join(parts)


class Answered(NamedTuple):
    """The result of one puzzle and, if it was asked for, the bytes of its certificate."""

    result: Result
    certificate: bytes = b""


class _Part(NamedTuple):
    """One part of the answer; ``complete`` unless the budget ran out during it."""

    answer: Result
    complete: bool = True
    certificate: bytes = b""


def ask(puzzle: Puzzle, text: str, known: Verdict | None, questions: Questions) -> Answered:
    """Answer everything that is asked of one puzzle. ``text`` is its source text; ``known`` its verdict.

    Each part may take an even share of what is left of the budget. A part that ran out of time is
    named under ``ran_out``, with what it has, if anything, under its own name; a part that this puzzle
    cannot be asked holds ``error``.
    """
    clock = Clock(questions.budget)
    if questions.more:
        forget_engines()
    verdict = known or check(puzzle, engine="sat", budget=clock)
    result = _of_verdict(verdict)
    if questions.warn and puzzle.rules:
        from gridassay.verify.mending.cautions import warnings

        result["warnings"] = list(warnings(puzzle, clock.share(0.2)))
    certificate = b""
    ran_out = []
    left = len(questions.parts) + bool(questions.needs)
    for name in questions.parts:
        try:
            part = PARTS[name](verdict, text, clock.share(1 / left))
            result[name] = _without_seconds(part.answer)
            certificate = certificate or part.certificate
            complete = part.complete
        except PuzzleError as error:
            result[name], complete = {"error": error.message}, True
        except OutOfTime:
            complete = False
        if not complete:
            ran_out.append(name)
        left -= 1
    if questions.needs:
        try:
            result["wanted"] = _is_met(verdict, questions, clock)
        except OutOfTime:
            ran_out.append("needs")
    if ran_out:
        result["ran_out"] = ran_out
    # Its own time: for its verdict, found in a batch or here, and for everything else that was asked.
    result["seconds"] = round((known.seconds if known else 0.0) + clock.time_spent(), 6)
    return Answered(result, certificate)


def _of_verdict(verdict: Verdict) -> Result:
    result = verdict.to_json() | {"met": verdict.met}
    if verdict.puzzle.expect:
        result["expect"] = verdict.puzzle.expect
    if verdict.status == "multiple":
        # Which two a solver finds first depends on earlier questions; results must not.
        result["solutions"] = []
        result.pop("differs", None)
    return result


def _without_seconds(answer: Any) -> Any:
    if isinstance(answer, Mapping):
        return {key: _without_seconds(of) for key, of in answer.items() if key != "seconds"}
    if isinstance(answer, list | tuple):
        return [_without_seconds(one) for one in answer]
    return answer


# Imported only if it is asked: most batches ask for verdicts alone.


def _is_met(verdict: Verdict, questions: Questions, clock: Clock) -> bool:
    from gridassay.verify.solving.route_questions import calls_for

    if verdict.status == "undecided":
        raise OutOfTime
    return verdict.status == "unique" and calls_for(
        verdict.puzzle,
        questions.needs or "",
        only_singles=questions.otherwise == "singles",
        budget=clock,
    )


def _clues(verdict: Verdict, text: str, clock: Clock) -> _Part:
    from gridassay.verify.clue_worth.effects import clues

    found = clues(verdict.puzzle, budget=clock)
    return _Part(found.to_json(), found.verdict.status != "undecided" and found.complete)


def _route(verdict: Verdict, text: str, clock: Clock) -> _Part:
    from gridassay.verify.solving.routes import route

    found = route(verdict.puzzle, budget=clock)
    return _Part(found.to_json(), not found.timed_out)


def _count_wasted(verdict: Verdict, text: str, clock: Clock) -> _Part:
    from gridassay.verify.clue_worth.effects import clues

    found = clues(verdict.puzzle, budget=clock, deep=False)
    wasted = [str(effect.clue) for effect in found.givens if effect.wasted]
    open_ones = sum(effect.wasted is None for effect in found.givens)
    settled = verdict.status in ("none", "multiple")
    complete = settled or (found.verdict.status == "unique" and not open_ones)
    return _Part({"givens": wasted, "undecided": open_ones}, complete)


def _form(verdict: Verdict, text: str, clock: Clock) -> _Part:
    from gridassay.verify.kin.form import canonical, form_name
    from gridassay.verify.kin.patterns import patterns

    puzzle = verdict.puzzle
    seen = [turn.name for turn in patterns(puzzle)]
    form = hashlib.sha256(canonical(puzzle, budget=clock).text.encode()).hexdigest()
    return _Part({"form": f"{form_name()} {form}", "patterns": seen})


def _kin(verdict: Verdict, text: str, clock: Clock) -> _Part:
    from gridassay.verify.kin import symmetries

    found = symmetries(verdict.puzzle, budget=clock)
    settled = verdict.status in ("none", "multiple")
    return _Part(found.to_json(), settled or found.solution_automorphisms is not None)


def _certify(verdict: Verdict, text: str, clock: Clock) -> _Part:
    from gridassay.verify.proof.certificate import certify

    puzzle = verdict.puzzle
    made = certify(text.encode(), puzzle.source, budget=clock)
    data = made.to_bytes()
    named = {
        "source": puzzle.source,
        "out": certificate_name(puzzle.source),
        "bytes": len(data),
        "sha256": hashlib.sha256(data).hexdigest(),
    }
    return _Part(made.to_json() | named, certificate=data)


PARTS: Mapping[str, Callable[[Verdict, str, Clock], _Part]] = MappingProxyType(
    {
        "clues": _clues,
        "route": _route,
        "kin": _kin,
        "certify": _certify,
        "wasted": _count_wasted,
        "form": _form,
    }
)
"""The questions besides the verdict, by the names of the commands that ask them of one puzzle.

``wasted`` and ``form`` are the quick halves of ``clues`` and ``kin``: the wasted givens, and the
form that identifies the puzzle.
"""


_LIBRARIES: Mapping[str, str] = MappingProxyType({"kin": "igraph", "form": "igraph"})


def load(questions: Questions) -> None:
    """Import the slow library that a part needs, so that the first puzzle's clock does not pay for it."""
    for name in questions.parts:
        if name in _LIBRARIES:
            import_module(_LIBRARIES[name])


def certificate_name(source: str) -> str:
    """A file name for the certificate of a puzzle: safe on any system, and different for each source."""
    path, _, line = source.rpartition(":")
    name = f"{PurePath(path).name}-{line}" if line.isdigit() else PurePath(source).name
    safe = re.sub(r"[^A-Za-z0-9.-]+", "-", name).strip(".-")[:60] or "puzzle"
    return f"{safe}-{hashlib.sha256(source.encode()).hexdigest()[:8]}.zip"
