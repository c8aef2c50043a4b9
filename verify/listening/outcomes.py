"""How a claim turned out: the step that tells its result; a true claim then stands on the board."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from gridassay.verify.auditing.claims import Claim, move_on
from gridassay.verify.auditing.words import any_of, with_article
from gridassay.verify.listening.heard import Heard
from gridassay.verify.listening.results import TalkStep
from gridassay.verify.listening.talk_board import ALL_STEPS, FEW, SINGLE_STEPS, TalkBoard
from gridassay.verify.solving.board.ideas import Idea
from gridassay.verify.solving.board.position import members
from gridassay.verify.solving.techniques import SINGLES, last_cell, rule_alone


class Outcomes(TalkBoard):
    """A board that tells the result of each claim and takes over those that are true."""

    def _elsewhere(self, heard: Heard, claim: Claim, means: str, house: str) -> TalkStep:
        """A true placement that was said to be in a house without its cell."""
        cell = self.layout.cells[claim.places[0][0]]
        used = self._giving(claim, ALL_STEPS, self.position)
        rightly = tuple(self._line(idea) for idea in used)
        said = means.partition(" because ")[0]
        clean = (said,) if used else self._unnamed_reasons(claim) or (f"# wider: {said}",)
        self.auditor.apply(claim)
        detail = f"true, but {cell} does not lie in {house}"
        return self._step(heard, means, "wider", detail, rightly=rightly, clean=clean)

    def _not_only_there(
        self, step: TalkStep, house: str, rightly: tuple[str, ...] = ()
    ) -> TalkStep:
        """A true claim for which a house was named that has other places for the digit."""
        said = (step.means or "").partition(" because ")[0]
        detail = f"true, but {house} has another place for the digit"
        clean = (*step.skipped, said)
        return replace(step, result="wider", detail=detail, rightly=rightly, clean=clean)

    def _story_aloud(self, heard: Heard, claim: Claim, means: str) -> TalkStep | None:
        """A claim to which a supposition led: sound if a story does strike what was supposed."""
        if heard.supposed is None or claim.because is not None:
            return None
        cell, digit = heard.supposed
        mark = (self.layout.index[cell], self.layout.digit_index[digit])
        idea = self._stories.against(self.position, [mark])
        if idea is None:
            return None
        lines = (self._whole_line(idea),)
        later = self.position.copy()
        move_on(later, idea)
        left = claim.still_open(later)
        if left.marks and not self._giving(left, SINGLE_STEPS, later):
            return None
        self.auditor.apply(claim)
        clean = lines if not left.marks else (*lines, means)
        return self._step(heard, means, "sound", f"a story: {idea.say()}", clean=clean)

    def _holds(
        self, heard: Heard, claim: Claim, means: str, result: str, used: Sequence[Idea]
    ) -> TalkStep:
        self.auditor.apply(claim)
        detail = "" if claim.because else ", ".join(map(with_article, _names(used)))
        return self._step(heard, means, result, detail, clean=(means,))

    def _for_another_reason(
        self, heard: Heard, claim: Claim, means: str, used: Sequence[Idea]
    ) -> TalkStep:
        rightly = tuple(self._line(idea) for idea in used)
        said = any_of(claim.names) or (claim.because and claim.because.name)
        is_by = ", ".join(map(with_article, _names(used)))
        detail = f"true, but not by {said} as stated; it is {is_by}"
        if {*_names(used)} <= {*claim.names}:
            if heard.technique == last_cell.NAME and heard.implied:
                bare = replace(claim, because=None)
                return self._holds(heard, bare, means.partition(" because ")[0], "sound", used)
            detail = f"true, but not from what was named; {is_by} gives it"
        self.auditor.apply(claim)
        clean = (means.partition(" because ")[0],)
        return self._step(heard, means, "wider", detail, rightly=rightly, clean=clean)

    def _bridge(
        self, heard: Heard, claim: Claim, means: str, steps: list[Idea], used: list[Idea]
    ) -> TalkStep:
        skipped = []
        before = self.position.copy()
        for idea in steps:
            skipped.append(self._line(idea))
            self._before |= dict.fromkeys(idea.places, before)
            move_on(self.position, idea)
            self._bridged_marks |= {*idea.places}
        self._bridged_marks |= {
            (cell, digit)
            for cell, mask in enumerate(before.masks)
            for digit in members(mask & ~self.position.masks[cell])
        }
        self.auditor.apply(claim)
        more = [idea for idea in steps if idea.technique not in SINGLES]
        rules = self._rules_of(more)
        one_rule = bool(rules) and rules == self._rules_of(used) and len(rules) == 1
        early = bool(more) and not (one_rule and all(map(self._rules_of, [[one] for one in more])))
        alone = all(idea.technique == rule_alone.NAME for idea in more)
        early = early and not (alone and not claim.places and len(more) <= FEW)
        digits = [[self.layout.candidate(mark).value for mark in idea.marks] for idea in more]
        missed = early and self._missed.cover(digits, spoken=heard.time is not None)
        early = early and not missed
        explained = missed and heard.mention is None
        bare = claim.because is None and not (explained or self._told_only(heard, claim))
        unsaid = [
            idea
            for idea in steps
            if heard.mention is None
            or not self._missed.may_hold(self.layout.candidate(mark).value for mark in idea.marks)
        ]
        early = early or (bare and len(unsaid) > FEW)
        detail = "after what was left out" if early else ""
        if missed:
            detail = "after what was left out or not understood"
        return self._step(
            heard,
            means,
            "early" if early else "sound",
            detail,
            skipped=tuple(skipped),
            clean=(*skipped, means),
        )

    def _by_no_name(self, heard: Heard, claim: Claim, means: str) -> TalkStep:
        """A true claim that no named technique gives: early if no reason was said for it."""
        rightly = self._story(claim) if self._deep else ()
        struck_for = heard.removes and (heard.houses or heard.technique)
        explained = claim.names or heard.rules or heard.supposed or struck_for
        result = "wider" if explained else "early"
        clean = rightly or self._unnamed_reasons(claim) or (f"# {result}: {means}",)
        self.auditor.apply(claim)
        why = "no named technique gives it"
        if claim.names:
            why = f"it is not {any_of(claim.names)} here"
        return self._step(heard, means, result, f"true, but {why}", rightly=rightly, clean=clean)

    def _not_understood(self, heard: Heard) -> TalkStep:
        return self._step(heard, None, "unclear", "not understood")


def _names(ideas: Sequence[Idea]) -> Iterator[str]:
    return iter(dict.fromkeys(idea.technique for idea in ideas))
