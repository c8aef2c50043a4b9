"""The audit: a written walkthrough checked against the puzzle, step by step.

Each step is asked three things. Is it true: of all solutions, of some, of none? Does it do anything?
And does it follow from what it names: is the technique the one that it says, over the cells, digits,
houses and rules that it lists? A step that names nothing is sound if some named technique gives it on
the board at that point; so a solution that was only copied does not pass.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import NamedTuple

from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.auditing.claims import (
    CHAINS,
    Claim,
    Matcher,
    say_conclusions,
    say_marks,
    simpler_idea,
)
from gridassay.verify.auditing.results import Audit, AuditedStep, Result
from gridassay.verify.auditing.story_audit import AuditedBranch, StoryJudge
from gridassay.verify.auditing.words import any_of, gives, no_technique, were_shown, with_article
from gridassay.verify.budget import DEFAULT_SECONDS, Clock, within_budget
from gridassay.verify.engines.questions import Assertion
from gridassay.verify.solving.board.ideas import word_list
from gridassay.verify.solving.board.position import Mark, Position, members
from gridassay.verify.solving.board.step_reader import WrittenStep
from gridassay.verify.solving.board.steps import REASON
from gridassay.verify.solving.board.steps_file import read_steps
from gridassay.verify.solving.stories.search import StoryTeller
from gridassay.verify.solving.techniques import (
    SINGLES,
    TECHNIQUES,
    Idea,
    inference_chain,
    naked_single,
)
from gridassay.verify.solving.truth import truth_of

_MOST_SHOWN = 3
"""Stories given in full for one step."""

_EXPLAINING = 0.4
"""The share of the budget after which failed steps get no explanation, so that all are judged."""


@within_budget
def audit(puzzle: Puzzle, steps: str, *, budget: float | Clock = DEFAULT_SECONDS) -> Audit:
    """Check the text of a steps file against a puzzle.

    A wrong step is not applied, and the audit goes on without it. An unforced step is applied, and
    later steps are checked against the solutions that agree with it. Raises OutOfTime when the
    budget runs out.
    """
    clock = Clock.of(budget)
    began = clock.time_spent()
    auditor = Auditor(puzzle, clock)
    audited = tuple(
        auditor.step(number, written)
        for number, written in enumerate(read_steps(steps, puzzle), start=1)
    )
    return Audit(puzzle, auditor.first_truth, audited, auditor.position, clock.time_spent() - began)


class Judged(NamedTuple):
    """The result of a step, remarks, and its right names if it is sound under a wrong one."""

    result: Result
    detail: str = ""
    rightly: tuple[str, ...] = ()
    branches: tuple[AuditedBranch, ...] = ()


def _names(ideas: Sequence[Idea]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(idea.technique for idea in ideas))


class Auditor:
    """Follows the steps; keeps the position, and what is true given the unforced steps."""

    def __init__(self, puzzle: Puzzle, clock: Clock) -> None:
        self.puzzle = puzzle
        self.clock = clock
        self.position = Position.start(puzzle)
        self.layout = self.position.layout
        self.truth = self.first_truth = truth_of(puzzle, clock)
        self.matcher = Matcher(puzzle, self.position, clock)
        self._explaining = Clock(_EXPLAINING * max(0.0, clock.time_left()))
        self._assumed: tuple[Assertion, ...] = ()
        self._teller: StoryTeller | None = None

    def step(self, number: int, written: WrittenStep) -> AuditedStep:
        """The result of one step; the position moves on if the step holds."""
        judged = self._judge(written)
        return AuditedStep(
            written.line,
            written.text,
            judged.result,
            judged.detail,
            number,
            judged.rightly,
            judged.branches,
        )

    def _judge(self, written: WrittenStep) -> Judged:
        if written.trouble:
            return Judged("unreadable", written.trouble)
        claim = self.claim_of(written)
        settled = self.judge_conclusion(claim)
        if settled is not None:
            return settled
        left = claim.still_open(self.position)
        judged = self._judge_story(written, left) if written.story else self._judge_pattern(left)
        self.apply(claim)
        return judged

    def claim_of(self, written: WrittenStep) -> Claim:
        """The claim of a step that could be read."""
        return Claim(
            self.layout.marks(written.places), self.layout.marks(written.removes), written.because
        )

    def judge_conclusion(self, claim: Claim) -> Judged | None:
        """The result of a claim that is wrong, idle or unforced, whatever it claims to rest on.

        None for one that is true and open: then its reasons must be checked.
        """
        possible = self.truth.possible
        false = [mark for mark in claim.places if not possible[mark[0]] >> mark[1] & 1]
        false += [mark for mark in claim.removes if not possible[mark[0]] & ~(1 << mark[1])]
        if false:
            return Judged("wrong", self._why_wrong(claim, false))
        left = claim.still_open(self.position)
        if not left.marks:
            return Judged("idle", "already known")
        loose = [mark for mark in left.places if possible[mark[0]] != 1 << mark[1]]
        loose += [mark for mark in left.removes if possible[mark[0]] >> mark[1] & 1]
        return self._assume(claim, loose) if loose else None

    def _judge_story(self, written: WrittenStep, claim: Claim) -> Judged:
        """Whether a story proves what it concludes."""
        judge = StoryJudge(self.puzzle, self.position, self.clock)
        story = judge.judge(written)
        if not story.faults:
            return Judged("sound", "; ".join(story.remarks), (), story.branches)
        said = f"the story does not show it: {'; '.join(story.faults)}; {self._reason(claim)}"
        return Judged("wider", said, (), story.branches)

    def apply(self, claim: Claim) -> None:
        """Move the position on by a claim."""
        self.position.conclude(claim.places, claim.removes)

    def _why_wrong(self, claim: Claim, false: list[Mark]) -> str:
        if self.truth.verdict == "none":
            return "the puzzle has no solution"
        said = []
        for cell in dict.fromkeys(cell for cell, _ in false):
            values = [
                self.layout.value_name((cell, value))
                for value in members(self.truth.possible[cell])
            ]
            said.append(f"{self.layout.unknowns[cell]} is {' or '.join(values)}")
        slip = self.matcher.slip(claim)
        return f"{', '.join(said)} in the solution" + (f"; {slip}" if slip else "")

    def _assume(self, claim: Claim, loose: list[Mark]) -> Judged:
        """Take an unforced step as an assumption for what comes after, if any solution has it."""
        assumed: tuple[Assertion, ...] = (
            *self._assumed,
            *map(self.layout.fact, claim.places),
            *map(self.layout.denial, claim.removes),
        )
        truth = truth_of(self.puzzle, self.clock, assumed)
        if truth.verdict == "none":
            return Judged("wrong", "no solution has all of this at once")
        self._assumed, self.truth = assumed, truth
        self.apply(claim)
        said = f"{say_marks(self.layout, loose)}: true in some solutions, not in others"
        return Judged("unforced", said)

    def _judge_pattern(self, claim: Claim) -> Judged:
        """Whether a true and open claim follows from what it names, with remarks."""
        because = claim.because
        if because is None:
            used = self._by_any_technique(claim)
            if used:
                return Judged("sound", ", ".join(map(with_article, _names(used))))
            return Judged("wider", f"no named technique gives it here; {self._reason(claim)}")
        names = claim.names
        if REASON in names:
            if self.matcher.by_premises(claim):
                return Judged("sound")
            said = f"it does not follow from what is named; {self._reason(claim)}"
            return Judged("wider", said)
        used = self.matcher.by_name(claim)
        chains = [name for name in names if name in CHAINS]
        linked = any(self.matcher.by_links(claim, chain) for chain in chains if not used)
        if used or linked or self.matcher.by_reading(claim):
            said = "; ".join(filter(None, (self._unsaid(claim, used), self._simpler(claim))))
            return Judged("sound", said)
        if not names and because.bare:
            others = self._by_any_technique(claim)
        else:
            others = self.matcher.giving(claim, TECHNIQUES)
        rightly = _names(others)
        if not others and chains and self.matcher.by_links(claim, inference_chain.NAME):
            rightly = (inference_chain.NAME,)
        if not rightly:
            return Judged("wider", self._why_wider(claim))
        is_by = word_list(map(with_article, rightly))
        if names:
            said = f"sound, but {is_by}, not {any_of(names)}"
        else:
            said = f"{no_technique(because.name)}; it is {is_by}"
        return Judged("sound", said, rightly)

    def _by_any_technique(self, claim: Claim) -> list[Idea]:
        """The ideas that give a claim, whatever it says about how."""
        known = [technique for technique in TECHNIQUES if not technique.promised]
        return self.matcher.giving(replace(claim, because=None), known)

    def _why_wider(self, claim: Claim) -> str:
        because, names = claim.because, claim.names
        assert because is not None
        said = [self._not_so(claim) if names else no_technique(because.name)]
        if self._explaining.time_left() < 0:
            return said[0]
        slip = self.matcher.slip(claim)
        if slip:
            said.append(slip)
        needed = self.matcher.missing(claim) if names else []
        for idea in needed:
            conclusion = say_conclusions(self.layout, idea)
            said.append(f"missing: {conclusion}, supplied by {with_article(idea.technique)}")
        others = self._by_any_technique(claim)
        if others:
            said += dict.fromkeys(
                f"{with_article(idea.technique)} {gives(idea.technique)} it: {idea.say()}"
                for idea in others
            )
        elif not needed:
            said.append(self._reason(claim))
        return "; ".join(said)

    def _not_so(self, claim: Claim) -> str:
        """The fault in a claim with a known name; for a single, the candidates of its cell."""
        if claim.names == (naked_single.NAME,) and len(claim.places) == 1:
            cell, digit = claim.places[0]
            if self.position.masks[cell] != 1 << digit:
                left = [
                    self.layout.value_name((cell, value))
                    for value in members(self.position.masks[cell])
                ]
                where = self.layout.unknowns[cell]
                return f"{where} is not a naked single: it can be {word_list(left, 'or')}"
        if claim.because and claim.because.bare:
            return f"it is not {any_of(claim.names)}"
        return f"what is named is not {any_of(claim.names)} that gives it"

    def _unsaid(self, claim: Claim, used: Sequence[Idea]) -> str:
        """Words for what else the pattern gives."""
        said = set(claim.marks)
        extra = [
            f"{self.layout.unknowns[mark[0]]} not {self.layout.value_name(mark)}"
            for idea in used
            for mark in idea.removes
            if mark not in said
        ]
        return f"the pattern also gives {', '.join(dict.fromkeys(extra))}" if extra else ""

    def _simpler(self, claim: Claim) -> str:
        """A step of an earlier group that was open; for a single, none is worth mentioning."""
        if not SINGLES.isdisjoint(claim.names):
            return ""
        idea = simpler_idea(self.position, max(one.group for one in claim.techniques))
        if idea is None:
            return ""
        where = self.layout.unknowns[idea.touched[0]]
        return f"{with_article(idea.technique)} stood at {where} when {were_shown(claim.names)}"

    def _reason(self, claim: Claim) -> str:
        """The evidence for each conclusion: what is left in its cell, else a story."""
        if self._explaining.time_left() < 0:
            return "no time was left to say why"
        if self._teller is None:
            self._teller = StoryTeller(self.puzzle, self.clock)
        position = self.position.copy()
        wanted = list(claim.removes)
        said: list[str] = []
        for cell, digit in claim.places:
            if position.masks[cell] == 1 << digit:
                said.append(f"{self.layout.unknowns[cell]} has no other candidate")
            wanted += [(cell, other) for other in members(position.masks[cell]) if other != digit]
        untold = []
        for mark in wanted:
            if len(said) == _MOST_SHOWN:
                break
            idea = self._teller.story(position, targets=[mark])
            if idea is None:
                untold.append(mark)
                continue
            said.append(idea.say())
            position.remove(*mark)
        if untold:
            said.append(f"no short story shows why not {say_marks(self.layout, untold)}")
        more = len(wanted) + len(claim.places) - len(said)
        rest = "; there is more to strike" if len(said) == _MOST_SHOWN and more > 0 else ""
        return f"this shows it: {'; '.join(said)}{rest}"
