"""The claims that were heard, and their results: one line per claim."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Literal

from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.in_short import InShort
from gridassay.verify.listening.forms import Form

TalkResult = Literal["sound", "idle", "wider", "early", "unforced", "wrong", "unclear"]


@dataclass(frozen=True)
class TalkStep:
    """One claim: its words, what they mean in the form of a steps file, and its result.

    ``skipped`` are the steps that were left out before it, ``rightly`` the right reason if a wrong one
    was given, ``readings`` the possible meanings if there are several. ``clean`` are its lines of a steps
    file, ``until`` is the end of the cue of ``time``.
    """

    line: int
    time: str | None
    said: str
    means: str | None
    result: TalkResult
    detail: str = ""
    skipped: tuple[str, ...] = ()
    rightly: tuple[str, ...] = ()
    readings: tuple[str, ...] = ()
    clean: tuple[str, ...] = ()
    until: str | None = None

    def to_json(self) -> dict[str, Any]:
        """The keys of the JSON contract."""
        return {
            "line": self.line,
            "time": self.time,
            "said": self.said,
            "means": self.means,
            "result": self.result,
            "skipped": list(self.skipped),
            "rightly": list(self.rightly),
            "readings": list(self.readings),
            "detail": self.detail,
        }


def told_of(step: TalkStep) -> Iterator[str]:
    """The remarks on a claim: its meaning, what was left out, valid reasons, readings."""
    if step.means:
        yield f"means: {step.means}"
    for line in step.skipped:
        yield f"left out: {line}"
    for line in step.rightly:
        yield f"valid reason: {line}"
    for line in step.readings:
        yield f"perhaps: {line}"
    if step.detail:
        yield step.detail


@dataclass(frozen=True, eq=False, repr=False)
class TalkAudit(InShort):
    """Every claim of a talk with its result, and where the talk ends."""

    puzzle: Puzzle
    form: Form
    steps: tuple[TalkStep, ...]
    solved: bool
    ending: str
    seconds: float

    def in_short(self) -> str:
        """The number of claims with each result, and where they end."""
        return f"{self.tally}; {self.ending}"

    @property
    def tally(self) -> str:
        """``12 sound; 1 wrong``."""
        results = Counter(step.result for step in self.steps)
        return "; ".join(f"{count} {result}" for result, count in results.items()) or "no claims"

    @property
    def ok(self) -> bool:
        """Whether every claim is sound or idle."""
        return all(step.result in ("sound", "idle") for step in self.steps)

    def to_json(self) -> dict[str, Any]:
        """The keys of the JSON contract."""
        return {
            "title": self.puzzle.title,
            "source": self.puzzle.source,
            "form": self.form,
            "ok": self.ok,
            "steps": [step.to_json() for step in self.steps],
            "results": dict(Counter(step.result for step in self.steps)),
            "solved": self.solved,
            "ending": self.ending,
            "seconds": round(self.seconds, 6),
        }

    def clean(self) -> str:
        """The claims understood, as a steps file with the skipped steps; the rest as comments."""
        lines = [f"# {self.puzzle.title or 'Steps'}"]
        for step in self.steps:
            lines += step.clean or (f"# {step.result}: {' '.join(step.said.split())}",)
        return "\n".join(lines) + "\n"
