"""The meaning of a claim on the current board, and whether it holds there."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from gridassay.encodings.grid import Canvas
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.auditing.auditing import Auditor
from gridassay.verify.auditing.claims import Claim, say_conclusions
from gridassay.verify.auditing.words import any_of, named
from gridassay.verify.budget import Clock
from gridassay.verify.listening.bridges import apply, bridge
from gridassay.verify.listening.hearing import Heard
from gridassay.verify.listening.results import TalkStep
from gridassay.verify.solving.board.ideas import Idea
from gridassay.verify.solving.board.position import Candidate, Position
from gridassay.verify.solving.board.step_reader import Because, WrittenStep
from gridassay.verify.solving.board.steps import claim_text, step_of
from gridassay.verify.solving.reasons.proving import proved
from gridassay.verify.solving.techniques import SINGLES, TECHNIQUES, Technique
from gridassay.verify.solving.techniques.names import understood

_SINGLES = [technique for technique in TECHNIQUES if technique.group <= 3]
_SHORT = [technique for technique in TECHNIQUES if technique.group <= 6 and not technique.promised]
_BRIDGES = [
    technique for technique in TECHNIQUES if technique.group <= 6 and not technique.promised
]
_ALL = [technique for technique in TECHNIQUES if not technique.promised]
_MOST_READINGS = 6

_NEAR, _CLEARLY = 2, 2
"""The greatest distance in cells from what was last said, and how much nearer than any other reading."""


class Listener:
    """Follows the claims; a true one is applied, whatever reason is given."""

    def __init__(self, puzzle: Puzzle, clock: Clock) -> None:
        self.auditor = Auditor(puzzle, clock)
        self.clock = clock
        self.layout = self.auditor.layout
        self.canvas = puzzle.canvas
        self._last: tuple[int, ...] = ()

    @property
    def position(self) -> Position:
        """The current board."""
        return self.auditor.position

    def judge(self, heard: Heard) -> TalkStep:
        """The meaning of a claim, and its result."""
        self.clock.check()
        if not heard.concludes:
            return self._left_open(heard)
        claim = self._claim(heard)
        self._last = tuple(cell for cell, _ in claim.marks if self.layout.is_cell(cell))
        settled = self.auditor.settled(claim)
        means = written(self.canvas, heard)
        if settled is not None:
            if settled.result == "wrong" and not heard.sure:
                return self._not_understood(heard)
            clean = () if settled.result in ("wrong", "idle") else (f"# unforced: {means}",)
            return self._step(heard, means, settled.result, settled.detail, clean=clean)
        return self._open_claim(heard, claim.still_open(self.position), means)

    def _claim(self, heard: Heard) -> Claim:
        def candidates(pairs: Sequence[tuple[object, int]]) -> tuple[Candidate, ...]:
            return tuple(Candidate(cell, digit) for cell, digit in pairs)  # type: ignore[arg-type]

        because = _because(heard)
        step = WrittenStep(
            heard.line, heard.said, candidates(heard.places), candidates(heard.removes), because
        )
        return self.auditor.claim_of(step)

    def _open_claim(self, heard: Heard, claim: Claim, means: str) -> TalkStep:
        """The result of a claim that is true and not yet known."""
        used = self._follows(claim, self.position)
        if used:
            return self._holds(heard, claim, means, "sound", used)
        if claim.because is not None:
            singly = self._giving(claim, _SINGLES, self.position)
            if singly:
                return self._for_another_reason(heard, claim, means, singly)
        marks = claim.marks
        singles = bridge(
            self.position, _SINGLES, marks, lambda at: self._after(claim, at), lambda *_: True
        )
        if singles is not None:
            return self._bridged(heard, claim, means, *singles)
        if claim.because is None:
            used = self._giving(claim, _ALL, self.position)
            if used:
                return self._holds(heard, claim, means, "sound", used)
        bridged = bridge(
            self.position, _BRIDGES, marks, lambda at: self._after(claim, at), self._proved, 3
        )
        if bridged is not None:
            return self._bridged(heard, claim, means, *bridged)
        if claim.because is not None:
            used = self._giving(claim, _ALL, self.position)
            if used:
                return self._for_another_reason(heard, claim, means, used)
        self.auditor.apply(claim)
        why = (
            f"it is not {any_of(claim.names)} here"
            if claim.names
            else "no named technique gives it"
        )
        return self._step(heard, means, "wider", f"true, but {why}", clean=(f"# wider: {means}",))

    def _follows(self, claim: Claim, position: Position) -> list[Idea]:
        """The ideas that give a claim as it was said."""
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

    def _proved(self, position: Position, idea: Idea) -> bool:
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
            detail = f"true, but not from what was named; {is_by} gives it otherwise"
        self.auditor.apply(claim)
        clean = (means.partition(" because ")[0],)
        return self._step(heard, means, "wider", detail, rightly=rightly, clean=clean)

    def _bridged(
        self, heard: Heard, claim: Claim, means: str, steps: list[Idea], used: list[Idea]
    ) -> TalkStep:
        skipped = []
        for idea in steps:
            skipped.append(self._line(idea))
            apply(self.position, idea)
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
        readings = self._readings(heard, self.position)
        skipped: list[Idea] = []
        if not readings:
            bridged = bridge(
                self.position,
                _SINGLES,
                (),
                lambda at: [idea for one in self._readings(heard, at)[:1] for idea in one],
                lambda *_: True,
                3,
            )
            if bridged is not None:
                later = self.position.copy()
                for idea in bridged[0]:
                    apply(later, idea)
                readings, skipped = self._readings(heard, later), bridged[0]
        if not heard.technique:
            readings = self._nearest(readings)
        if not readings and self._already(heard):
            return self._step(heard, None, "idle", "already so")
        if len(readings) != 1:
            what = "may mean several things" if readings else "nothing on this board fits it"
            told = tuple(say_conclusions(self.layout, one[0]) for one in readings[:_MOST_READINGS])
            return self._step(heard, None, "unclear", what, readings=told)
        lines = []
        self._last = readings[0][0].touched
        for idea in skipped:
            lines.append(self._line(idea))
            apply(self.position, idea)
        idea = readings[0][0]
        means = self._line(idea)
        apply(self.position, idea)
        return self._step(heard, means, "sound", skipped=tuple(lines), clean=(*lines, means))

    def _nearest(self, readings: list[list[Idea]]) -> list[list[Idea]]:
        """The reading whose cells are clearly nearest to what was last said; else all."""
        if len(readings) < 2 or not self._last:
            return readings

        def far(ideas: list[Idea]) -> int:
            pairs = ((one, other) for one in ideas[0].touched for other in self._last)
            return min(self._apart(one, other) for one, other in pairs)

        ranked = sorted(readings, key=far)
        clear = far(ranked[0]) <= _NEAR and far(ranked[1]) - far(ranked[0]) >= _CLEARLY
        return ranked[:1] if clear else readings

    def _apart(self, one: int, other: int) -> int:
        here, there = self.layout.cells[one], self.layout.cells[other]
        return max(abs(here.row - there.row), abs(here.column - there.column))

    def _already(self, heard: Heard) -> bool:
        """Whether the one digit mentioned has its place in the one house mentioned."""
        if len(heard.digits) != 1 or len(heard.houses) != 1:
            return False
        digit = self.layout.digit_index[heard.digits[0]]
        cells = self.layout.scope(heard.houses[0])
        return any(
            self.position.is_placed(cell) and self.position.has((cell, digit)) for cell in cells
        )

    def _readings(self, heard: Heard, position: Position) -> list[list[Idea]]:
        """The ideas that agree with what was said, those of one conclusion together."""
        names = understood(heard.technique) if heard.technique else tuple(SINGLES)
        together: dict[frozenset[tuple[int, int]], list[Idea]] = {}
        for technique in TECHNIQUES:
            if not {*technique.names} & {*names}:
                continue
            for idea in technique.find(position):
                self.clock.check()
                if idea.technique not in names or not self._agrees(heard, idea, position):
                    continue
                open_marks = frozenset(
                    mark
                    for mark in idea.marks
                    if (position.has(mark) if mark in idea.removes else True)
                )
                if open_marks in together:
                    together[open_marks].append(idea)
                elif self._proved(position, idea):
                    together[open_marks] = [idea]
        return list(together.values())

    def _agrees(self, heard: Heard, idea: Idea, position: Position) -> bool:
        cells = {self.layout.index[cell] for cell in heard.cells}
        if not cells <= {*idea.shown, *idea.touched}:
            return False
        digits = {self.layout.digit_index[digit] for digit in heard.digits}
        if not digits <= {*idea.digits, *(digit for _, digit in idea.marks)}:
            return False
        premises = {self.layout.premise_of(switch).name for switch in idea.all_switches}
        if not premises.issuperset(heard.rules):
            return False
        return all(house in premises or self._within(house, idea) for house in heard.houses)

    def _within(self, house: str, idea: Idea) -> bool:
        """Whether the cells of a pattern lie in a house; if it has none, those of its conclusions."""
        cells = set(idea.shown) or set(idea.touched)
        return cells <= set(self.layout.scope(house))

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


def written(canvas: Canvas, heard: Heard) -> str:
    """The claim in the form of a steps file."""
    said = claim_text(
        canvas,
        [Candidate(*one) for one in heard.places],
        [Candidate(*one) for one in heard.removes],
    )
    because = _because(heard)
    if because is None:
        return said
    names = understood(because.name)
    premises = [
        " ".join(map(str, because.cells)),
        *(f"digit {canvas.symbols[digit]}" for digit in because.digits),
        *because.houses,
        *because.rules,
    ]
    told = ", ".join(filter(None, premises))
    name = names[0] if len(names) == 1 else because.name
    return f"{said} because {name}" + (f": {told}" if told else "")


def _because(heard: Heard) -> Because | None:
    """The reason of a claim, in the form of a step."""
    name = heard.technique or ("rule alone" if heard.rules else "")
    if not name:
        return None
    return Because(name, heard.cells, heard.digits, heard.houses, heard.rules[:1])


def _names(ideas: Sequence[Idea]) -> Iterator[str]:
    return iter(dict.fromkeys(idea.technique for idea in ideas))
