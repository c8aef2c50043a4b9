"""The meaning of a claim on the current board, and whether it holds there."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from gridassay.verify.auditing.claims import Claim, move_on, say_conclusions
from gridassay.verify.listening.bridges import bridge
from gridassay.verify.listening.heard import Heard, OnLine, Pair
from gridassay.verify.listening.means import ONE_CELL, steps_line
from gridassay.verify.listening.outcomes import Outcomes
from gridassay.verify.listening.pointing import (
    LAST,
    is_last,
    no_last_cell,
    one_rule,
    only_confines,
    pointed_at,
)
from gridassay.verify.listening.readings import already_so, left_over, nearest, outside, readings_of
from gridassay.verify.listening.results import TalkStep
from gridassay.verify.listening.talk_board import ALL_STEPS, FEW, SINGLE_STEPS
from gridassay.verify.solving.board.ideas import Idea
from gridassay.verify.solving.board.position import members
from gridassay.verify.solving.board.steps import claim_text
from gridassay.verify.solving.techniques import hidden_single
from gridassay.verify.solving.techniques.names import techniques_meant

_MOST_READINGS = 6


class TalkListener(Outcomes):
    """Follows the claims; a true claim is applied, whatever its reason."""

    def judge(self, heard: Heard) -> list[TalkStep]:
        """The meaning of a claim, and its result; nothing if it turns out to claim nothing.

        Of an unclear claim what was gleaned from its words, if there is something; of a wrong one each
        of its parts.
        """
        step = self._judge_one(heard)
        if step is None:
            return []
        others = {"unclear": heard.instead, "wrong": heard.parts}.get(step.result, ())
        instead = [
            self._judge_one(replace(one, line=heard.line, time=heard.time, until=heard.until))
            for one in others
        ]
        return [one for one in instead if one is not None] or [step]

    def _judge_one(self, heard: Heard) -> TalkStep | None:
        self.clock.check()
        self._missed.next_claim(heard.missed, counts=not heard.gleaned)
        self._lost = self._lost or bool(heard.missed)
        step = self._judge(heard)
        unclear = step is not None and step.result == "unclear"
        self._lost = unclear and not (heard.concludes or heard.cells)
        may_be_step = heard.denies or heard.rules or heard.technique or heard.time is not None
        if unclear and heard.digits and may_be_step:
            self._missed.add(heard.digits)
        return step

    def _judge(self, heard: Heard) -> TalkStep | None:
        if heard.gleaned:
            meant = self._meant(heard)
            return self._hear_conclusion(meant) if meant else None
        if heard.on_line is not None:
            return self._on_line(heard, heard.on_line)
        if heard.here and self._drawn_line:
            goes_on = OnLine(at=("next",) if heard.here == "goes on" else ())
            if len(self._line_readings(heard, goes_on)) == 1:
                return self._on_line(heard, goes_on)
        self._drawn_line = ""
        self._by_name = heard.concludes
        if not heard.concludes and self._points(heard):
            return self._hear_pointing(heard)
        if not heard.concludes:
            return self._left_open(heard)
        return self._hear_conclusion(heard)

    def _on_line(self, heard: Heard, said: OnLine) -> TalkStep | None:
        """A claim about cells of a line."""
        readings = self._line_readings(heard, said)
        if len(readings) == 1:
            self._drawn_line = readings[0].rules[0]
            return self._hear_conclusion(readings[0])
        meant = self._line_reader.lines_meant(said, self.position, self._drawn_line)
        self._drawn_line = meant[0] if len(meant) == 1 else self._drawn_line
        told = tuple(steps_line(self.canvas, one) for one in readings[:_MOST_READINGS])
        what = "may mean several things" if readings else "nothing on this board matches it"
        return self._step(heard, None, "unclear", what, readings=told)

    def _line_readings(self, heard: Heard, said: OnLine) -> list[Heard]:
        return self._line_reader.claims(heard, said, self.position, self._last, self._drawn_line)

    @staticmethod
    def _points(heard: Heard) -> bool:
        single = not heard.technique or {*techniques_meant(heard.technique)} <= ONE_CELL
        where = heard.houses or heard.rules or heard.spots or heard.beside or heard.here
        pointed = where or heard.technique in (LAST, hidden_single.NAME)
        named = not heard.loose and len(heard.houses) < 2
        if heard.denies:
            return bool(where)
        return len(heard.digits) == 1 and not heard.cells and bool(pointed) and (single or named)

    def _hear_pointing(self, heard: Heard) -> TalkStep | None:
        """A claim about a cell that was only pointed at."""
        board = self._spoken_board()
        if heard.rules:
            self._rules = one_rule(heard, board).rules
        elif heard.houses:
            self._rules = ()
        if heard.houses:
            self._named = self._chain = heard.houses[0]
        if only_confines(heard, board):
            return None
        if self._lost and heard.here == "this":
            readings: tuple[Heard, ...] = ()
        else:
            readings = pointed_at(heard, board).readings
        readings = tuple(nearest(readings, self._cells_of, self._last, self.layout))
        if len(readings) == 1 and (
            heard.houses or not self._false(readings[0]) or self._last_of_all(heard, readings[0])
        ):
            return self._hear_conclusion(readings[0])
        told = tuple(steps_line(self.canvas, one) for one in readings[:_MOST_READINGS])
        what = "may mean several things" if readings else "nothing on this board matches it"
        return self._step(heard, None, "unclear", what, readings=told)

    def _last_of_all(self, heard: Heard, reading: Heard) -> bool:
        """Whether a last cell was meant, of the house or rule spoken of, since no other has the digit.

        After words that were not understood there may be more last cells than the board shows.
        """
        if heard.technique != LAST or len(reading.places) != 1 or self._missed.any:
            return False
        board = self._spoken_board()
        cell, digit = self.layout.mark_of(*reading.places[0])
        return no_last_cell(digit, board) and (len(heard.rules) == 1 or is_last(cell, board))

    def _false(self, heard: Heard) -> bool:
        """Whether it would be wrong; if the cell was not clearly pointed at, it may be another one."""
        settled = self.auditor.judge_conclusion(self._claim(heard))
        return settled is not None and settled.result == "wrong"

    def _hear_conclusion(self, heard: Heard) -> TalkStep | None:
        """A claim that says which digits are placed or struck."""
        in_range = self._in_range(heard)
        if not in_range.concludes:
            return self._step(heard, steps_line(self.canvas, heard), "idle", "already known")
        heard = left_over(self._with_its_rule(in_range), self.position)
        means = steps_line(self.canvas, heard)
        never = [one for one in heard.places if not self._has_value(*one)]
        if never:
            said = ", ".join(f"{unknown} is never {value}" for unknown, value in never)
            return self._step(heard, means, "wrong", said)
        claim = self._claim(heard)
        self._last = tuple(cell for cell, _ in claim.marks if self.layout.is_cell(cell))
        self._house = self._box_of(self._last)
        if self._chain and not set(self._last) <= set(self.layout.scope(self._chain)):
            self._chain = ""
        settled = self.auditor.judge_conclusion(claim)
        self._struck |= set(claim.removes)
        if settled is None:
            self._said |= set(claim.places)
        if settled is not None:
            unsaid = self._bridged_marks | self._only_bridged()
            bridged = set(claim.marks) <= unsaid or (not claim.places and set(claim.marks) & unsaid)
            if settled.result == "idle" and bridged:
                self._bridged_marks -= set(claim.marks)
                self._said |= set(claim.places)
                step = self._step(heard, means, "sound", "already left out before")
                before = next(
                    (self._before[one] for one in claim.places if one in self._before), None
                )
                house = self._open_in(heard, claim, before) if before is not None else ""
                return self._not_only_there(step, house) if house else step
            if heard.points and all(map(self._stands, claim.removes)):
                return None
            if settled.result == "wrong":
                if heard.removes and heard.near and self._all_false(heard.near):
                    return self._hear_conclusion(replace(heard, removes=heard.near, near=()))
                instead = self._true(heard.near)
                if len(instead) == 1:
                    other = replace(heard, places=instead, houses=(), near=(), far=())
                    return self._hear_conclusion(other)
                far = self._true(heard.far)
                if not heard.sure or heard.doubtful or instead or far:
                    return self._other_digit(heard, far) or self._not_understood(heard)
            clean = () if settled.result in ("wrong", "idle") else (f"# unforced: {means}",)
            return self._step(heard, means, settled.result, settled.detail, clean=clean)
        still = claim.still_open(self.position)
        left = self._with_values_left(still)
        step = self._open_claim(heard, left, means)
        if left is still:
            return step
        candidates = map(self.layout.candidate, left.removes)
        struck = claim_text(self.canvas, [], candidates)
        lines = tuple(struck if line == means else line for line in step.clean)
        return replace(step, clean=lines)

    def _other_digit(self, heard: Heard, true: Sequence[Pair]) -> TalkStep | None:
        """Its cell with another digit of the same words: *r2c3 makes ten with the 4, so 6*."""
        cells = {cell for cell, _ in heard.places}
        same = tuple(pair for pair in true if pair[0] in cells)
        if heard.time is None or heard.sure or heard.removes or len(same) != 1:
            return None
        bare = replace(heard, places=same, near=(), far=(), technique="", houses=(), rules=())
        if self._follows(self._claim(bare), self.position):
            return self._hear_conclusion(bare)
        meant = self._meant(replace(bare, places=(), near=same))
        return self._hear_conclusion(meant) if meant else None

    def _with_values_left(self, claim: Claim) -> Claim:
        """A claim in which the values that a letter does not have stand for the one that it has."""
        places = tuple(mark for mark in claim.places if self.layout.is_cell(mark[0]))
        if places == claim.places:
            return claim
        struck = tuple(
            (unknown, other)
            for unknown, value in claim.places
            if not self.layout.is_cell(unknown)
            for other in members(self.position.masks[unknown])
            if other != value
        )
        return replace(claim, places=places, removes=(*claim.removes, *struck))

    def _open_claim(self, heard: Heard, claim: Claim, means: str) -> TalkStep:
        """The result of a claim that is true and not yet known, by the reasons said for it."""
        house = self._open_in(heard, claim, self.position)
        used = self._giving(claim, SINGLE_STEPS, self.position) if house else []
        rightly = tuple(self._line(idea) for idea in used)
        step = self._result_of(heard, claim, means)
        if not house or step.result != "sound":
            return step
        return self._not_only_there(step, house, rightly)

    def _result_of(self, heard: Heard, claim: Claim, means: str) -> TalkStep:
        elsewhere = outside(heard, self.layout)
        if elsewhere:
            return self._elsewhere(heard, claim, means, elsewhere)
        told = self._story_aloud(heard, claim, means)
        if told is not None:
            return told
        used = self._follows(claim, self.position) or self._in_turn(claim)
        if used:
            return self._holds(heard, claim, means, "sound", used)
        if heard.rules and not heard.technique:
            plain, said = replace(claim, because=None), means.partition(" because ")[0]
            used = self._follows(plain, self.position)
            if used and (heard.places or self._rest_on(used, heard.rules)):
                return self._holds(heard, plain, said, "sound", used)
            if used:
                return self._for_another_reason(heard, claim, means, used)
            claim, means = plain, said
        singly: list[Idea] = []
        if claim.because is not None:
            singly = self._giving(claim, SINGLE_STEPS, self.position)
            if singly and heard.technique != LAST and not self._open_elsewhere(heard):
                if not heard.loose:
                    return self._for_another_reason(heard, claim, means, singly)
                said = means.partition(" because ")[0]
                return self._holds(heard, replace(claim, because=None), said, "sound", singly)
        singles = self._after_singles(claim)
        few = singles is not None and len(singles[0]) <= FEW and heard.technique == LAST
        if singles is not None and (few or not singly):
            return self._bridge(heard, claim, means, *singles)
        if singly:
            return self._for_another_reason(heard, claim, means, singly)
        if claim.because is None:
            used = self._giving(claim, ALL_STEPS, self.position)
            if used:
                return self._holds(heard, claim, means, "sound", used)
        if claim.because is None and claim.places:
            singles = bridge(
                self.position,
                SINGLE_STEPS,
                claim.marks,
                self._find,
                lambda at: self._by_one_idea(claim, at),
                lambda *_: True,
            )
            if singles is not None:
                return self._bridge(heard, claim, means, *singles)
        bridged = bridge(
            self.position,
            self._bridges,
            claim.marks,
            self._find,
            lambda at: self._after(claim, at),
            self._proves,
            self._rounds,
        )
        if bridged is not None:
            return self._bridge(heard, claim, means, *bridged)
        if claim.because is not None:
            used = self._giving(claim, ALL_STEPS, self.position)
            if used:
                return self._for_another_reason(heard, claim, means, used)
        return self._by_no_name(heard, claim, means)

    def _left_open(self, heard: Heard) -> TalkStep:
        """A claim without a conclusion: its meaning on this board, if there is only one."""
        readings = readings_of(heard, self.position, self._proves)
        skipped: list[Idea] = []
        if not readings:
            bridged = bridge(
                self.position,
                SINGLE_STEPS,
                (),
                self._find,
                lambda at: [
                    idea for one in readings_of(heard, at, self._proves)[:1] for idea in one
                ],
                lambda *_: True,
                3,
            )
            if bridged is not None:
                later = self.position.copy()
                for idea in bridged[0]:
                    move_on(later, idea)
                readings, skipped = readings_of(heard, later, self._proves), bridged[0]
        if not heard.technique:
            near = nearest(readings, lambda one: one[0].touched, self._last, self.layout)
            readings = list(near)
        if not readings and already_so(heard, self.position):
            return self._step(heard, None, "idle", "already known")
        if len(readings) != 1:
            what = "may mean several things" if readings else "nothing on this board matches it"
            told = tuple(say_conclusions(self.layout, one[0]) for one in readings[:_MOST_READINGS])
            return self._step(heard, None, "unclear", what, readings=told)
        lines = []
        self._last = readings[0][0].touched
        for idea in skipped:
            lines.append(self._line(idea))
            move_on(self.position, idea)
        idea = readings[0][0]
        means = self._line(idea)
        move_on(self.position, idea)
        return self._step(heard, means, "sound", skipped=tuple(lines), clean=(*lines, means))
