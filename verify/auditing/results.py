"""The result of an audit: every step with its own result, and where the walkthrough ends."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import Any, Literal

from gridassay.encodings.constraints import Variable
from gridassay.encodings.grid import Cell
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.auditing.story_audit import AuditedBranch
from gridassay.verify.in_short import InShort
from gridassay.verify.solving.board.ideas import word_list
from gridassay.verify.solving.board.position import Position, members
from gridassay.verify.solving.truth import Truth
from gridassay.verify.words import quantity

Result = Literal["sound", "idle", "wider", "unforced", "wrong", "unreadable"]

_MOST_CELLS = 12
"""Open cells named at the end."""


@dataclass(frozen=True)
class AuditedStep:
    """One step of the walkthrough, its result, and what there is to say about it.

    ``line`` is its line in the file, ``number`` counts steps as a route does, from 1. ``rightly`` are
    the techniques that give it, if it is sound but names another. ``branches`` hold the links of a
    story, each with its own result.
    """

    line: int
    text: str
    result: Result
    detail: str = ""
    number: int = 0
    rightly: tuple[str, ...] = ()
    branches: tuple[AuditedBranch, ...] = ()

    @property
    def misnamed(self) -> bool:
        """Whether it is sound, but not by the technique that it names."""
        return bool(self.rightly)

    def to_json(self) -> dict[str, Any]:
        """The keys of the JSON contract."""
        return {
            "step": self.number,
            "line": self.line,
            "text": self.text,
            "result": self.result,
            "detail": self.detail,
            "misnamed": self.misnamed,
            "rightly": list(self.rightly),
            **({"branches": [one.to_json() for one in self.branches]} if self.branches else {}),
        }


@dataclass(frozen=True, eq=False, repr=False)
class Audit(InShort):
    """Every step of a walkthrough with its result, and where the walkthrough ends."""

    puzzle: Puzzle
    truth: Truth
    steps: tuple[AuditedStep, ...]
    end: Position
    seconds: float

    def in_short(self) -> str:
        """The number of steps with each result, and where they end."""
        results = Counter(step.result for step in self.steps)
        told = ", ".join(f"{count} {result}" for result, count in results.items())
        return f"{told or 'no steps'}; {self.ending}"

    @property
    def ok(self) -> bool:
        """Whether every step is sound or idle."""
        return all(step.result in ("sound", "idle") for step in self.steps)

    @property
    def solved(self) -> bool:
        """Whether the end of the walkthrough is the solution."""
        return self.end.solved and self.truth.verdict == "unique"

    @property
    def ending(self) -> str:
        """Where the walkthrough ends, in words."""
        if self.truth.verdict == "none":
            return "the puzzle has no solution"
        if self.solved:
            return "the end is the solution"
        if self.end.solved:
            return "the end is one of several solutions"
        unknowns = self.open
        told = [str(one) for one in unknowns[:_MOST_CELLS]]
        if len(unknowns) > _MOST_CELLS:
            told.append(f"{len(unknowns) - _MOST_CELLS} more")
        verb = "is" if len(unknowns) == 1 else "are"
        noun = "cell" if all(isinstance(one, Cell) for one in unknowns) else "unknown"
        return f"{quantity(len(unknowns), noun)} {verb} still open at the end: {word_list(told)}"

    @property
    def open(self) -> tuple[Variable, ...]:
        """The cells that have no digit at the end, and other unknowns that are not decided."""
        return tuple(self.end.layout.unknowns[one] for one in members(self.end.open_unknowns))

    def to_json(self) -> dict[str, Any]:
        """The keys of the JSON contract."""
        return {
            "title": self.puzzle.title,
            "source": self.puzzle.source,
            "ok": self.ok,
            "steps": [step.to_json() for step in self.steps],
            "results": dict(Counter(step.result for step in self.steps)),
            "misnamed": sum(step.misnamed for step in self.steps),
            "solved": self.solved,
            "ending": self.ending,
            "open": [str(cell) for cell in self.open],
            "seconds": round(self.seconds, 6),
        }
