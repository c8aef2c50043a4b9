"""The board that a talk has come to, with what was said of it and what a claim may rest on."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import partial

from gridassay.encodings.grid import Cell
from gridassay.encodings.puzzle import Puzzle
from gridassay.encodings.variables import Variable
from gridassay.verify.auditing.auditing import Auditor
from gridassay.verify.auditing.claims import Claim, move_on
from gridassay.verify.budget import Clock
from gridassay.verify.listening.bridges import MOST_STEPS, bridge
from gridassay.verify.listening.heard import Heard, OnlyIn, Pair
from gridassay.verify.listening.leftovers import cells_meant
from gridassay.verify.listening.line_readings import LineReader
from gridassay.verify.listening.means import because_of
from gridassay.verify.listening.missed_claims import MissedClaims
from gridassay.verify.listening.results import TalkStep
from gridassay.verify.listening.rule_names import drawn_lines
from gridassay.verify.listening.spots import SpokenBoard
from gridassay.verify.listening.told_stories import Stories
from gridassay.verify.listening.unnamed import unnamed_reasons
from gridassay.verify.solving.board.ideas import Idea
from gridassay.verify.solving.board.position import Candidate, Mark, Position
from gridassay.verify.solving.board.step_reader import WrittenStep
from gridassay.verify.solving.board.steps import step_of
from gridassay.verify.solving.reasons.proving import follows
from gridassay.verify.solving.techniques import TECHNIQUES, Technique, hidden_single

SINGLE_STEPS = [technique for technique in TECHNIQUES if technique.group <= 3]
_SHORT = [technique for technique in TECHNIQUES if technique.group <= 6 and not technique.promised]
_BRIDGES = [
    technique for technique in TECHNIQUES if technique.group <= 7 and not technique.promised
]
ALL_STEPS = [technique for technique in TECHNIQUES if not technique.promised]
FEW = 2
"""So many singles may be left out without a word; after more of them a bare claim is early."""
_ROUNDS = 3
"""Rounds of steps that are tried as left out, unless it is asked for more."""


class TalkBoard:
    """The candidates left, the marks said and bridged, and the ideas that give a claim."""

    def __init__(
        self, puzzle: Puzzle, clock: Clock, *, deep: bool = False, reasons: bool = False
    ) -> None:
        """``deep`` and ``reasons`` as for ``audit_talk``."""
        self.auditor = Auditor(puzzle, clock)
        self._bridges, self._rounds = (ALL_STEPS, MOST_STEPS) if deep else (_BRIDGES, _ROUNDS)
        self._reasons, self._deep = reasons, deep
        self._stories = Stories(puzzle, clock)
        self.clock = clock
        self._find = self.auditor.matcher.searches.find
        self.layout = self.auditor.layout
        self.puzzle = puzzle
        self.canvas = puzzle.canvas
        self._last: tuple[int, ...] = ()
        self._house = self._named = self._chain = ""
        self._rules: tuple[str, ...] = ()
        self._missed = MissedClaims()
        self._lost = False
        self._drawn_line = ""
        lines = drawn_lines(puzzle)
        index = self.layout.index
        self._line_reader = LineReader(
            {name: [index[cell] for cell in cells] for name, cells in lines.items()}, self.layout
        )
        self._bridged_marks: set[Mark] = set()
        self._before: dict[Mark, Position] = {}
        self._said: set[Mark] = set(self._placements())
        self._by_name = False
        self._struck: set[Mark] = set()

    @property
    def position(self) -> Position:
        """The current board."""
        return self.auditor.position

    def _spoken_board(self) -> SpokenBoard:
        """The board, and what was last spoken of."""
        return SpokenBoard(
            self.position,
            self.auditor.truth.possible,
            self._last,
            self._house,
            self._named,
            self._rules,
            self._only_bridged(),
            self._chain,
        )

    def _cells_of(self, heard: Heard) -> list[int]:
        return [self.layout.index[cell] for cell, _ in (*heard.places, *heard.removes)]

    def _placements(self) -> Iterator[Mark]:
        for cell in range(len(self.layout.cells)):
            if self.position.is_placed(cell):
                yield cell, self.position.masks[cell].bit_length() - 1

    def _stands(self, mark: Mark) -> bool:
        """Whether a digit is on the board in its cell."""
        return self.position.is_placed(mark[0]) and self.position.has(mark)

    def _only_bridged(self) -> frozenset[Mark]:
        """The digits on the board that were never said."""
        return frozenset(self._placements()) - self._said

    def _box_of(self, cells: Sequence[int]) -> str:
        """The box of some cells, else the house that was last spoken of."""
        for zone in self.layout.zones:
            if zone.kind == "box" and cells and set(cells) <= set(zone.cells):
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

    def _has_value(self, unknown: Variable, value: int) -> bool:
        """Whether an unknown could have a value if there were no givens and rules."""
        return self.layout.value_index(self.layout.index[unknown], value) is not None

    def holds(self, cell: Cell, value: int) -> bool:
        """Whether a cell has a value in every solution, and did not have it from the beginning."""
        mark = self.layout.mark_of(cell, value) if self._has_value(cell, value) else None
        if mark is None or self._stands(mark):
            return False
        return self.auditor.truth.possible[mark[0]] == 1 << mark[1]

    def _true(self, pairs: Sequence[Pair]) -> tuple[Pair, ...]:
        """Those of some cells with a digit that are true and were not said yet."""
        unsaid = self._only_bridged()
        marks = {pair: self.layout.mark_of(*pair) for pair in pairs if self._has_value(*pair)}
        possible = self.auditor.truth.possible
        return tuple(
            pair
            for pair, (unknown, value) in marks.items()
            if possible[unknown] == 1 << value
            and (not self.position.is_placed(unknown) or (unknown, value) in unsaid)
        )

    def _all_false(self, pairs: Sequence[Pair]) -> bool:
        """Whether no cell of some pairs has its digit in a solution."""
        marks = [self.layout.mark_of(*pair) for pair in pairs if self._has_value(*pair)]
        return not any(self.auditor.truth.possible[at] >> value & 1 for at, value in marks)

    def _meant(self, heard: Heard) -> Heard | None:
        """A claim that was only gleaned, if it is true and open, and short steps give it.

        These may come after singles that were left out.
        """
        if heard.left and not heard.removes:
            left = cells_meant(heard, self.position)
            if not left or {self.layout.mark_of(*one) for one in left} <= self._struck:
                return None
            return replace(heard, removes=left, cells=(), houses=(), digits=(), gleaned=False)
        meant = replace(self._in_range(heard), places=self._true(heard.near), near=())
        if len(meant.places) != len(heard.near[:1]) or not meant.concludes:
            return None
        claim = self._claim(meant)
        if claim.places and set(claim.marks) <= self._only_bridged():
            return replace(meant, gleaned=False)
        claim = claim.still_open(self.position)
        possible = self.auditor.truth.possible
        if heard.left and not claim.marks:
            again = set(self._claim(meant).removes) <= self._struck
            return None if again else replace(meant, gleaned=False)
        if not claim.marks or any(possible[cell] >> digit & 1 for cell, digit in claim.removes):
            return None
        techniques = SINGLE_STEPS if claim.places else _SHORT

        def gives(at: Position) -> list[Idea]:
            return self._giving(claim, techniques, at)

        if gives(self.position) or bridge(
            self.position, SINGLE_STEPS, claim.marks, self._find, gives, lambda *_: True
        ):
            return replace(meant, gleaned=False)
        return None

    def _in_range(self, heard: Heard) -> Heard:
        """The claim without the values that an unknown never has: *A and B are at most 6*."""
        removes = tuple(one for one in heard.removes if self._has_value(*one))
        return replace(heard, removes=removes)

    def _claim(self, heard: Heard) -> Claim:
        def candidates(pairs: Sequence[tuple[object, int]]) -> tuple[Candidate, ...]:
            return tuple(Candidate(cell, digit) for cell, digit in pairs)  # type: ignore[arg-type]

        because = because_of(heard)
        step = WrittenStep(
            heard.line, heard.said, candidates(heard.places), candidates(heard.removes), because
        )
        return self.auditor.claim_of(step)

    def _unnamed_reasons(self, claim: Claim) -> tuple[str, ...]:
        """The reasons of a claim that no named technique gives, if they are asked for."""
        if not self._reasons:
            return ()
        return unnamed_reasons(
            self.puzzle, self.auditor.truth.solution, self.position, claim, self.clock
        )

    def _rules_of(self, used: Sequence[Idea]) -> set[str]:
        """The rules, without houses, that some ideas use."""
        premises = (self.layout.premise_of(one) for idea in used for one in idea.all_switches)
        return {premise.name for premise in premises if premise.kind == "rule"}

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
            return self._giving(claim, SINGLE_STEPS, position)
        return self._follows(claim, position)

    def _after_few(self, claim: Claim) -> bool:
        """Whether singles give a claim after a few others that were left out."""
        singles = self._after_singles(claim)
        return singles is not None and len(singles[0]) <= FEW

    def _after_singles(self, claim: Claim) -> tuple[list[Idea], list[Idea]] | None:
        """The singles after which a claim follows, and what then gives it; None if there are none."""
        return bridge(
            self.position,
            SINGLE_STEPS,
            claim.marks,
            self._find,
            lambda at: self._after(claim, at),
            lambda *_: True,
        )

    def _by_one_idea(self, claim: Claim, position: Position) -> list[Idea]:
        """The idea of one rule or one short technique that gives all of a claim on a later board."""
        if claim.still_open(position).marks != claim.marks:
            return []
        used = self._giving(claim, _SHORT, position)
        return used if len(used) == 1 else []

    def _giving(
        self, claim: Claim, techniques: Sequence[Technique], position: Position
    ) -> list[Idea]:
        return self.auditor.matcher.giving(replace(claim, because=None), techniques, position)

    def _in_turn(self, claim: Claim) -> list[Idea]:
        """The ideas by which each cell of a strike follows from the board and the cells before it."""
        if claim.because is not None or claim.places:
            return []
        later = self.position.copy()
        used: list[Idea] = []
        for cell in dict.fromkeys(cell for cell, _ in claim.removes):
            part = replace(claim, removes=tuple(one for one in claim.removes if one[0] == cell))
            part = part.still_open(later)
            found = self._giving(part, _SHORT, later) if part.marks else []
            if part.marks and not found:
                return []
            for idea in found:
                move_on(later, idea)
            used += found
        return used

    def _open_elsewhere(self, heard: Heard) -> bool:
        """Whether a digit still has other places in the house in which it is said to have only one.

        In captions a house may be said only to point at a cell that is not named.
        """
        said = heard.loose and heard.technique == hidden_single.NAME
        said = said and (heard.time is None or self._by_name)
        if not said or len(heard.houses) != 1 or len(heard.places) != 1:
            return False
        cell, digit = self.layout.mark_of(*heard.places[0])
        scope = self.layout.scope(heard.houses[0])
        return cell in scope and any(
            other != cell and self.position.has((other, digit)) for other in scope
        )

    def _open_in(self, heard: Heard, claim: Claim, position: Position) -> str:
        """A house that was said to have no other place for a digit, but has one; empty if none was.

        If nothing else shows a placed digit yet, singles that were left out may take the others.
        """
        for said in heard.only:
            index = self.layout.digit_index.get(said.digit) if said.digit is not None else None
            if said.within:
                if index is not None and self._escapes(said, claim, index, position):
                    return said.house
                continue
            if len(claim.places) != 1 or not self.layout.is_cell(claim.places[0][0]):
                continue
            ((cell, digit),) = claim.places
            for zone in self.layout.zones if index in (None, digit) else ():
                if said.house not in (zone.name, zone.kind) or cell not in zone.cells:
                    continue
                if not any(position.has((one, digit)) for one in zone.cells if one != cell):
                    continue
                elsewhere = self._giving(claim, SINGLE_STEPS, position)
                if elsewhere or not self._soon_only(heard, claim, zone.name, position):
                    return zone.name
        return ""

    def _told_only(self, heard: Heard, claim: Claim) -> bool:
        """Whether a house of a placed cell was said to have no other place for its digit."""
        return any(
            zone.name == said.house or zone.kind == said.house
            for said in heard.only
            for cell, digit in claim.places
            for zone in self.layout.zones
            if cell in zone.cells and said.digit in (None, self.layout.digits[digit])
        )

    def _escapes(self, said: OnlyIn, claim: Claim, digit: int, position: Position) -> bool:
        """Whether a digit that is struck may lie outside the house in which it was said to be."""
        inside = {*self.layout.scope(said.within)}
        others = [one for one in self.layout.scope(said.house) if one not in inside]
        struck = {one for _, one in claim.removes} == {digit}
        return struck and any(position.has((one, digit)) for one in others)

    def _soon_only(self, heard: Heard, claim: Claim, house: str, position: Position) -> bool:
        """Whether a digit has one place in a house after singles that were left out."""
        named = replace(heard, technique=hidden_single.NAME, houses=(house,), rules=())
        claim = replace(claim, because=self._claim(named).because)
        shown = bridge(
            position,
            SINGLE_STEPS,
            claim.marks,
            self._find,
            partial(self._follows, claim),
            lambda *_: True,
        )
        return shown is not None

    def _proves(self, position: Position, idea: Idea) -> bool:
        return follows(self.auditor.matcher.engine, position, idea, self.clock)

    def _line(self, idea: Idea) -> str:
        return step_of(idea, self.position).line(self.canvas).partition("  # ")[0]

    def _whole_line(self, idea: Idea) -> str:
        return step_of(idea, self.position).line(self.canvas)

    def _story(self, claim: Claim) -> tuple[str, ...]:
        """The story of a claim that strikes one candidate."""
        if claim.places or len(claim.removes) != 1:
            return ()
        idea = self._stories.against(self.position, claim.removes)
        return (self._whole_line(idea),) if idea is not None else ()

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
