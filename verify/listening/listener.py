"""The meaning of a claim on the current board, and whether it holds there."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.auditing.auditing import Auditor
from gridassay.verify.auditing.claims import Claim, move_on, say_conclusions
from gridassay.verify.auditing.words import any_of, named
from gridassay.verify.budget import Clock
from gridassay.verify.listening.bridges import MOST_STEPS, bridge
from gridassay.verify.listening.heard import Heard
from gridassay.verify.listening.means import ONE_CELL, because_of, written
from gridassay.verify.listening.pointing import LAST, Board, one_rule, pointed_at
from gridassay.verify.listening.readings import already_so, left_over, nearest, outside, readings_of
from gridassay.verify.listening.results import TalkStep
from gridassay.verify.listening.unnamed import unnamed
from gridassay.verify.solving.board.ideas import Idea
from gridassay.verify.solving.board.position import Candidate, Mark, Position
from gridassay.verify.solving.board.step_reader import WrittenStep
from gridassay.verify.solving.board.steps import step_of
from gridassay.verify.solving.reasons.proving import proved
from gridassay.verify.solving.techniques import SINGLES, TECHNIQUES, Technique, hidden_single
from gridassay.verify.solving.techniques.names import understood

_SINGLES = [technique for technique in TECHNIQUES if technique.group <= 3]
_SHORT = [technique for technique in TECHNIQUES if technique.group <= 6 and not technique.promised]
_BRIDGES = [
    technique for technique in TECHNIQUES if technique.group <= 7 and not technique.promised
]
_ALL = [technique for technique in TECHNIQUES if not technique.promised]
_MOST_READINGS = 6
_ROUNDS = 3
"""Rounds of steps that are tried as left out, unless it is asked for more."""
_FEW = 2
"""The most singles left out before the last cell of a house, if that is a single anyway."""


class Listener:
    """Follows the claims; a true claim is applied, whatever its reason."""

    def __init__(
        self, puzzle: Puzzle, clock: Clock, *, deep: bool = False, reasons: bool = False
    ) -> None:
        """``deep`` and ``reasons`` as for ``audit_talk``."""
        self.auditor = Auditor(puzzle, clock)
        self._bridges, self._rounds = (_ALL, MOST_STEPS) if deep else (_BRIDGES, _ROUNDS)
        self._reasons = reasons
        self.clock = clock
        self._find = self.auditor.matcher.searches.find
        self.layout = self.auditor.layout
        self.puzzle = puzzle
        self.canvas = puzzle.canvas
        self._last: tuple[int, ...] = ()
        self._house = self._named = ""
        self._rules: tuple[str, ...] = ()
        self._bridged_marks: set[Mark] = set()
        self._said: set[Mark] = set(self._placements())

    @property
    def position(self) -> Position:
        """The current board."""
        return self.auditor.position

    def judge(self, heard: Heard) -> TalkStep:
        """The meaning of a claim, and its result."""
        self.clock.check()
        if not heard.concludes and self._points(heard):
            return self._hear_pointing(heard)
        if not heard.concludes:
            return self._left_open(heard)
        return self._hear_conclusion(heard)

    @staticmethod
    def _points(heard: Heard) -> bool:
        single = not heard.technique or {*understood(heard.technique)} <= ONE_CELL
        where = heard.houses or heard.rules or heard.spots or heard.beside
        pointed = where or heard.technique in (LAST, hidden_single.NAME)
        named = not heard.loose and len(heard.houses) < 2
        if heard.denies:
            return bool(where)
        return len(heard.digits) == 1 and not heard.cells and bool(pointed) and (single or named)

    def _hear_pointing(self, heard: Heard) -> TalkStep:
        """A claim about a cell that was only pointed at."""
        board = Board(
            self.position,
            self.auditor.truth.possible,
            self._last,
            self._house,
            self._named,
            self._rules,
            self._only_bridged(),
        )
        if heard.rules:
            self._rules = one_rule(heard, board).rules
        elif heard.houses:
            self._rules = ()
        if heard.houses:
            self._named = heard.houses[0]
        readings = pointed_at(heard, board).readings
        readings = tuple(nearest(readings, self._cells_of, self._last, self.layout))
        if len(readings) == 1 and (heard.houses or heard.technique or not self._false(readings[0])):
            return self._hear_conclusion(readings[0])
        told = tuple(written(self.canvas, one) for one in readings[:_MOST_READINGS])
        what = "may mean several things" if readings else "nothing on this board matches it"
        return self._step(heard, None, "unclear", what, readings=told)

    def _false(self, heard: Heard) -> bool:
        """Whether it would be wrong; if the cell was not clearly pointed at, it may be another one."""
        settled = self.auditor.settled(self._claim(heard))
        return settled is not None and settled.result == "wrong"

    def _cells_of(self, heard: Heard) -> list[int]:
        return [self.layout.index[cell] for cell, _ in (*heard.places, *heard.removes)]

    def _hear_conclusion(self, heard: Heard) -> TalkStep:
        """A claim that says which digits are placed or struck."""
        heard = left_over(self._with_its_rule(heard), self.position)
        claim = self._claim(heard)
        self._last = tuple(cell for cell, _ in claim.marks if self.layout.is_cell(cell))
        self._house = self._box_of(self._last)
        settled = self.auditor.settled(claim)
        if settled is None:
            self._said |= set(claim.places)
        means = written(self.canvas, heard)
        if settled is not None:
            unsaid = self._bridged_marks | self._only_bridged()
            if settled.result == "idle" and set(claim.marks) <= unsaid:
                self._bridged_marks -= set(claim.marks)
                self._said |= set(claim.places)
                return self._step(heard, means, "sound", "already left out before")
            if settled.result == "wrong" and not heard.sure:
                return self._not_understood(heard)
            clean = () if settled.result in ("wrong", "idle") else (f"# unforced: {means}",)
            return self._step(heard, means, settled.result, settled.detail, clean=clean)
        return self._open_claim(heard, claim.still_open(self.position), means)

    def _placements(self) -> Iterator[Mark]:
        for cell in range(len(self.layout.cells)):
            if self.position.is_placed(cell):
                yield cell, self.position.masks[cell].bit_length() - 1

    def _only_bridged(self) -> frozenset[Mark]:
        """The digits on the board that were never said."""
        return frozenset(self._placements()) - self._said

    def _box_of(self, cells: Sequence[int]) -> str:
        """The box of some cells, else the house that was last spoken of."""
        for zone in self.layout.zones:
            if zone.name.startswith("box ") and cells and set(cells) <= set(zone.cells):
                return zone.name
        return self._house

    def _with_its_rule(self, heard: Heard) -> Heard:
        """The claim with the one rule, of those pointed at, that has the cells of its conclusion."""
        if len(heard.rules) < 2:
            return heard
        cells = {self.layout.index[cell] for cell, _ in (*heard.places, *heard.removes)}
        having = [rule for rule in heard.rules if cells & set(self.layout.span(rule))]
        if heard.places:
            having = having or list(heard.rules)
        return replace(heard, rules=tuple(having[:1]))

    def _claim(self, heard: Heard) -> Claim:
        def candidates(pairs: Sequence[tuple[object, int]]) -> tuple[Candidate, ...]:
            return tuple(Candidate(cell, digit) for cell, digit in pairs)  # type: ignore[arg-type]

        because = because_of(heard)
        step = WrittenStep(
            heard.line, heard.said, candidates(heard.places), candidates(heard.removes), because
        )
        return self.auditor.claim_of(step)

    def _open_claim(self, heard: Heard, claim: Claim, means: str) -> TalkStep:
        """The result of a claim that is true and not yet known."""
        elsewhere = outside(heard, self.layout)
        if elsewhere:
            return self._elsewhere(heard, claim, means, elsewhere)
        used = self._follows(claim, self.position)
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
            singly = self._giving(claim, _SINGLES, self.position)
            if singly and heard.loose and heard.technique != LAST:
                said = means.partition(" because ")[0]
                return self._holds(heard, replace(claim, because=None), said, "sound", singly)
            if singly and heard.technique != LAST:
                return self._for_another_reason(heard, claim, means, singly)
        marks = claim.marks
        singles = bridge(
            self.position,
            _SINGLES,
            marks,
            self._find,
            lambda at: self._after(claim, at),
            lambda *_: True,
        )
        if singles is not None and (not singly or len(singles[0]) <= _FEW):
            return self._bridge(heard, claim, means, *singles)
        if singly:
            return self._for_another_reason(heard, claim, means, singly)
        if claim.because is None:
            used = self._giving(claim, _ALL, self.position)
            if used:
                return self._holds(heard, claim, means, "sound", used)
        bridged = bridge(
            self.position,
            self._bridges,
            marks,
            self._find,
            lambda at: self._after(claim, at),
            self._proves,
            self._rounds,
        )
        if bridged is not None:
            return self._bridge(heard, claim, means, *bridged)
        if claim.because is not None:
            used = self._giving(claim, _ALL, self.position)
            if used:
                return self._for_another_reason(heard, claim, means, used)
        clean = self._unnamed(claim) or (f"# wider: {means}",)
        self.auditor.apply(claim)
        why = (
            f"it is not {any_of(claim.names)} here"
            if claim.names
            else "no named technique gives it"
        )
        return self._step(heard, means, "wider", f"true, but {why}", clean=clean)

    def _elsewhere(self, heard: Heard, claim: Claim, means: str, house: str) -> TalkStep:
        """A true placement that was said to be in a house without its cell."""
        cell = self.layout.cells[claim.places[0][0]]
        used = self._giving(claim, _ALL, self.position)
        rightly = tuple(self._line(idea) for idea in used)
        said = means.partition(" because ")[0]
        clean = (said,) if used else self._unnamed(claim) or (f"# wider: {said}",)
        self.auditor.apply(claim)
        detail = f"true, but {cell} does not lie in {house}"
        return self._step(heard, means, "wider", detail, rightly=rightly, clean=clean)

    def _unnamed(self, claim: Claim) -> tuple[str, ...]:
        """The reasons of a claim that no named technique gives, if they are asked for."""
        if not self._reasons:
            return ()
        return unnamed(self.puzzle, self.auditor.truth.solution, self.position, claim, self.clock)

    def _rest_on(self, used: Sequence[Idea], rules: Sequence[str]) -> bool:
        """Whether some ideas use a rule."""
        switches = {switch for idea in used for switch in idea.all_switches}
        return not {self.layout.premise_of(switch).name for switch in switches}.isdisjoint(rules)

    def _follows(self, claim: Claim, position: Position) -> list[Idea]:
        """The ideas that lead to a claim as it was said."""
        if claim.because is None:
            return self._giving(claim, _SHORT, position)
        return self.auditor.matcher.by_name(claim, position)

    def _after(self, claim: Claim, position: Position) -> list[Idea]:
        left = claim.still_open(position)
        if left.marks != claim.marks:
            return []
        if claim.because is None and claim.places:
            return self._giving(claim, _SINGLES, position)
        return self._follows(claim, position)

    def _giving(
        self, claim: Claim, techniques: Sequence[Technique], position: Position
    ) -> list[Idea]:
        return self.auditor.matcher.giving(replace(claim, because=None), techniques, position)

    def _proves(self, position: Position, idea: Idea) -> bool:
        return proved(self.auditor.matcher.engine, position, idea, self.clock)

    def _holds(
        self, heard: Heard, claim: Claim, means: str, result: str, used: Sequence[Idea]
    ) -> TalkStep:
        self.auditor.apply(claim)
        detail = "" if claim.because else ", ".join(map(named, _names(used)))
        return self._step(heard, means, result, detail, clean=(means,))

    def _for_another_reason(
        self, heard: Heard, claim: Claim, means: str, used: Sequence[Idea]
    ) -> TalkStep:
        rightly = tuple(self._line(idea) for idea in used)
        said = any_of(claim.names) or (claim.because and claim.because.name)
        is_by = ", ".join(map(named, _names(used)))
        detail = f"true, but not by {said} as stated; it is {is_by}"
        if {*_names(used)} <= {*claim.names}:
            detail = f"true, but not from what was named; {is_by} gives it"
        self.auditor.apply(claim)
        clean = (means.partition(" because ")[0],)
        return self._step(heard, means, "wider", detail, rightly=rightly, clean=clean)

    def _bridge(
        self, heard: Heard, claim: Claim, means: str, steps: list[Idea], used: list[Idea]
    ) -> TalkStep:
        skipped = []
        for idea in steps:
            skipped.append(self._line(idea))
            self._bridged_marks |= {*idea.places, *idea.removes}
            move_on(self.position, idea)
        self.auditor.apply(claim)
        early = any(idea.technique not in SINGLES for idea in steps)
        detail = "after what was left out" if early else ""
        return self._step(
            heard,
            means,
            "early" if early else "sound",
            detail,
            skipped=tuple(skipped),
            clean=(*skipped, means),
        )

    def _left_open(self, heard: Heard) -> TalkStep:
        """A claim without a conclusion: its meaning on this board, if there is only one."""
        readings = readings_of(heard, self.position, self._proves)
        skipped: list[Idea] = []
        if not readings:
            bridged = bridge(
                self.position,
                _SINGLES,
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

    def _not_understood(self, heard: Heard) -> TalkStep:
        return self._step(heard, None, "unclear", "not understood")

    def _line(self, idea: Idea) -> str:
        return step_of(idea, self.position).line(self.canvas).partition("  # ")[0]

    @staticmethod
    def _step(
        heard: Heard,
        means: str | None,
        result: str,
        detail: str = "",
        *,
        skipped: tuple[str, ...] = (),
        rightly: tuple[str, ...] = (),
        readings: tuple[str, ...] = (),
        clean: tuple[str, ...] = (),
    ) -> TalkStep:
        return TalkStep(
            heard.line,
            heard.time,
            heard.said,
            means,
            result,  # type: ignore[arg-type]
            detail,
            skipped,
            rightly,
            readings,
            clean,
            heard.until,
        )


def _names(ideas: Sequence[Idea]) -> Iterator[str]:
    return iter(dict.fromkeys(idea.technique for idea in ideas))
