"""The audit: a written walkthrough held against the puzzle, step by step.

Each step is asked three things. Is it true: of all solutions, of some, of none? Does it do anything?
And does it follow from what it names: is the technique the one it says, over the cells, digits,
houses and rules that it lists? A step that names nothing is sound when some named technique gives it
on the board as it then stands; so a solution merely copied out does not pass.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Literal

from gridassay.encodings.puzzle import Fact, Puzzle
from gridassay.verify.budget import DEFAULT_SECONDS, Clock
from gridassay.verify.claims import (
    Claim,
    Matcher,
    group_of,
    known_name,
    named,
    say_conclusions,
    say_marks,
    simpler_idea,
)
from gridassay.verify.engines.questions import Assertion, Denial
from gridassay.verify.position import Candidate, Mark, Position, members
from gridassay.verify.reason_book import ReasonBook
from gridassay.verify.smallest_reason import reason_idea
from gridassay.verify.steps import REASON, WrittenStep, read_steps
from gridassay.verify.techniques import SINGLES, TECHNIQUES, Idea
from gridassay.verify.truth import Truth, truth_of

Result = Literal["sound", "idle", "wider", "unforced", "wrong", "unreadable"]

CHAINS = frozenset({"X-chain", "XY-chain", "alternating inference chain", "remote pairs"})
"""Techniques written as a list of cells, of which there are too many to look through."""

_MOST_REASONS = 3
"""Reasons given in full for one step."""

_CHOICES = 60
"""Effort for one of them: a walkthrough may have many steps to explain."""

_EXPLAINING = 0.4
"""The share of the budget after which failed steps get no explanation, so that all are judged."""


@dataclass(frozen=True)
class AuditedStep:
    """One line of the walkthrough, its result, and what there is to say about it."""

    line: int
    text: str
    result: Result
    detail: str = ""

    def to_json(self) -> dict[str, Any]:
        """The keys of the JSON contract."""
        return {
            "line": self.line,
            "text": self.text,
            "result": self.result,
            "detail": self.detail,
        }


@dataclass(frozen=True, eq=False)
class Audit:
    """Every step of a walkthrough with its result, and where the walkthrough ends."""

    puzzle: Puzzle
    truth: Truth
    steps: tuple[AuditedStep, ...]
    end: Position
    seconds: float

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
        count = self.end.open_bits.bit_count()
        return f"{count} cell{' is' if count == 1 else 's are'} still open at the end"

    def to_json(self) -> dict[str, Any]:
        """The keys of the JSON contract."""
        return {
            "title": self.puzzle.title,
            "source": self.puzzle.source,
            "ok": self.ok,
            "steps": [step.to_json() for step in self.steps],
            "results": dict(Counter(step.result for step in self.steps)),
            "solved": self.solved,
            "ending": self.ending,
            "seconds": round(self.seconds, 6),
        }


def audit(puzzle: Puzzle, steps: str, *, budget: float | Clock = DEFAULT_SECONDS) -> Audit:
    """Hold the text of a steps file against a puzzle.

    A wrong step is not applied, and the audit goes on without it; an unforced one is, and what comes
    after is held against the solutions that agree with it. Raises OutOfTime when the budget runs out.
    """
    clock = budget if isinstance(budget, Clock) else Clock(budget)
    began = clock.spent()
    auditor = _Auditor(puzzle, clock)
    audited = tuple(auditor.step(written) for written in read_steps(steps, puzzle))
    return Audit(puzzle, auditor.first_truth, audited, auditor.position, clock.spent() - began)


class _Auditor:
    """Walks along with the steps; keeps the position and what is true given the unforced ones."""

    def __init__(self, puzzle: Puzzle, clock: Clock) -> None:
        self.puzzle = puzzle
        self.clock = clock
        self.position = Position.start(puzzle)
        self.layout = self.position.layout
        self.truth = self.first_truth = truth_of(puzzle, clock)
        self.matcher = Matcher(puzzle, self.position, clock)
        self._explaining = Clock(_EXPLAINING * max(0.0, clock.left()))
        self._assumed: tuple[Assertion, ...] = ()
        self._book: ReasonBook | None = None

    def step(self, written: WrittenStep) -> AuditedStep:
        """The result of one step; the position moves on where the step holds."""
        result, detail = self._judge(written)
        return AuditedStep(written.line, written.text, result, detail)

    def _judge(self, written: WrittenStep) -> tuple[Result, str]:
        if written.trouble:
            return "unreadable", written.trouble
        claim = Claim(self._marks(written.places), self._marks(written.removes), written.because)
        possible = self.truth.possible
        false = [mark for mark in claim.places if not possible[mark[0]] >> mark[1] & 1]
        false += [mark for mark in claim.removes if not possible[mark[0]] & ~(1 << mark[1])]
        if false:
            return "wrong", self._why_wrong(claim, false)
        left = claim.still_open(self.position)
        if not left.marks:
            return "idle", "already so"
        loose = [mark for mark in left.places if possible[mark[0]] != 1 << mark[1]]
        loose += [mark for mark in left.removes if possible[mark[0]] >> mark[1] & 1]
        if loose:
            return self._unforced(claim, loose)
        result, detail = self._followed(left)
        self._apply(claim)
        return result, detail

    def _marks(self, candidates: Sequence[Candidate]) -> tuple[Mark, ...]:
        layout = self.layout
        return tuple((layout.index[cell], layout.digit_index[digit]) for cell, digit in candidates)

    def _apply(self, claim: Claim) -> None:
        for cell, digit in claim.places:
            self.position.place(cell, digit)
        for cell, digit in claim.removes:
            self.position.remove(cell, digit)

    def _why_wrong(self, claim: Claim, false: list[Mark]) -> str:
        if self.truth.verdict == "none":
            return "the puzzle has no solution"
        said = []
        for cell in dict.fromkeys(cell for cell, _ in false):
            digits = [self.layout.symbol(digit) for digit in members(self.truth.possible[cell])]
            said.append(f"{self.layout.cells[cell]} is {' or '.join(digits)}")
        slip = self.matcher.slip(claim)
        return f"{', '.join(said)} in the solution" + (f"; {slip}" if slip else "")

    def _unforced(self, claim: Claim, loose: list[Mark]) -> tuple[Result, str]:
        """Take an unforced step as an assumption for what comes after, if any solution has it."""
        cells, digits = self.layout.cells, self.layout.digits
        assumed: tuple[Assertion, ...] = (
            *self._assumed,
            *(Fact(cells[cell], digits[digit]) for cell, digit in claim.places),
            *(Denial(cells[cell], digits[digit]) for cell, digit in claim.removes),
        )
        truth = truth_of(self.puzzle, self.clock, assumed)
        if truth.verdict == "none":
            return "wrong", "no solution has all of this at once"
        self._assumed, self.truth = assumed, truth
        self._apply(claim)
        return "unforced", f"{say_marks(self.layout, loose)}: so in some solutions, not in others"

    def _followed(self, claim: Claim) -> tuple[Result, str]:
        """Whether a true and open claim follows from what it names, and what there is to say."""
        because = claim.because
        if because is None:
            used = self.matcher.giving(claim, [t for t in TECHNIQUES if not t.promised])
            if used:
                return "sound", ", ".join(dict.fromkeys(named(idea.technique) for idea in used))
            return "wider", f"no named technique gives it here; {self._reason(claim)}"
        name = known_name(because.name)
        if name == REASON:
            if self.matcher.by_premises(claim):
                return "sound", ""
            return "wider", f"it does not follow from what is named; {self._reason(claim)}"
        used = self.matcher.by_name(claim)
        if used or (name in CHAINS and self.matcher.by_links(claim)):
            return "sound", "; ".join(
                filter(None, (self._unsaid(claim, used), self._simpler(name)))
            )
        others = self.matcher.giving(claim, TECHNIQUES)
        if others:
            right = " and ".join(dict.fromkeys(named(idea.technique) for idea in others))
            wrong = f"not {named(name)}" if name else f"there is no technique {because.name!r}"
            return "sound", f"sound, but {right}, {wrong}" if name else f"{right}; {wrong}"
        return "wider", self._why_wider(claim, name)

    def _why_wider(self, claim: Claim, name: str | None) -> str:
        because = claim.because
        said = []
        if because and name is None:
            said.append(f"there is no technique {because.name!r}")
        else:
            said.append(f"what is named is not {named(str(name))} that gives it")
        if self._explaining.left() < 0:
            return said[0]
        slip = self.matcher.slip(claim)
        if slip:
            said.append(slip)
        needed = self.matcher.missing(claim) if name else []
        for idea in needed:
            conclusion = say_conclusions(self.layout, idea)
            said.append(f"missing: {conclusion}, which {named(idea.technique)} supplies")
        if not needed:
            said.append(self._reason(claim))
        return "; ".join(said)

    def _unsaid(self, claim: Claim, used: Sequence[Idea]) -> str:
        """What else the pattern gives."""
        said = set(claim.marks)
        extra = [
            f"{self.layout.cells[cell]} not {self.layout.symbol(digit)}"
            for idea in used
            for cell, digit in idea.removes
            if (cell, digit) not in said
        ]
        return f"the pattern also gives {', '.join(dict.fromkeys(extra))}" if extra else ""

    def _simpler(self, name: str | None) -> str:
        """A step of an earlier group that stood open; beside a single none is worth a word."""
        if name is None or name in SINGLES:
            return ""
        idea = simpler_idea(self.position, group_of(name))
        if idea is None:
            return ""
        where = self.layout.cells[idea.touched[0]]
        return f"{named(idea.technique)} stood at {where} when the {name} was shown"

    def _reason(self, claim: Claim) -> str:
        """The smallest reason of each conclusion that needs one."""
        if self._explaining.left() < 0:
            return "no time was left to say why"
        if self._book is None:
            self._book = ReasonBook(self.puzzle, self.clock)
        position = self.position.copy()
        wanted = list(claim.removes)
        said: list[str] = []
        for cell, digit in claim.places:
            if position.masks[cell] == 1 << digit:
                said.append(f"{self.layout.cells[cell]} has no other candidate")
            wanted += [(cell, other) for other in members(position.masks[cell]) if other != digit]
        while wanted and len(said) < _MOST_REASONS:
            idea = reason_idea(
                self._book, position, wanted, self.truth.solution, self.clock, _CHOICES
            )
            if idea is None:
                break
            said.append(idea.say())
            struck = {*idea.removes}
            for cell, digit in idea.places:
                struck |= {(cell, other) for other in members(position.masks[cell])} - {
                    (cell, digit)
                }
            for cell, digit in struck:
                position.remove(cell, digit)
            wanted = [mark for mark in wanted if mark not in struck]
        more = f", and {len(wanted)} more to strike" if wanted else ""
        return f"its smallest reason: {'; '.join(said)}{more}"
