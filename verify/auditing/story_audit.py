"""A written story checked against the board: every link on the supposed board, its ends, its branches.

A link is *sound*, *idle*, *unshown* (it does not follow from what it names) or *unreadable*. A story
is sound if all its links are sound or idle, its ends hold, its branches cover every open candidate,
and its conclusion is the opposite of what was supposed, or what every branch arrives at.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from typing import Any, Literal

from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.auditing.claims import CHAINS, Claim, Matcher, say_marks
from gridassay.verify.budget import Clock
from gridassay.verify.solving.board.ideas import word_list
from gridassay.verify.solving.board.position import Mark, Position, members
from gridassay.verify.solving.board.step_reader import (
    About,
    WrittenBranch,
    WrittenStep,
    WrittenStory,
)
from gridassay.verify.solving.board.steps import REASON
from gridassay.verify.solving.board.supposed import ruled_out
from gridassay.verify.solving.reasons.proving import cell_premises

LinkResult = Literal["sound", "idle", "unshown", "unreadable"]


@dataclass(frozen=True)
class AuditedLink:
    """One link of a story, its result, and remarks."""

    line: int
    text: str
    result: LinkResult
    detail: str = ""

    def to_json(self) -> dict[str, Any]:
        """The keys of the JSON contract."""
        return {
            "line": self.line,
            "text": self.text,
            "result": self.result,
            "detail": self.detail,
        }


@dataclass(frozen=True)
class AuditedBranch:
    """The links of one branch."""

    links: tuple[AuditedLink, ...]

    def to_json(self) -> dict[str, Any]:
        """The keys of the JSON contract."""
        return {"links": [link.to_json() for link in self.links]}


@dataclass(frozen=True)
class JudgedStory:
    """The faults of a story, line by line; empty if it is sound."""

    branches: tuple[AuditedBranch, ...]
    faults: tuple[str, ...]
    remarks: tuple[str, ...] = ()


class StoryJudge:
    """Checks stories against one position."""

    def __init__(self, puzzle: Puzzle, position: Position, clock: Clock) -> None:
        self._puzzle = puzzle
        self._position = position
        self._layout = position.layout
        self._clock = clock

    def judge(self, written: WrittenStep) -> JudgedStory:
        """The faults of a story."""
        story = written.story
        assert story is not None
        claim = Claim(self._layout.marks(written.places), self._layout.marks(written.removes), None)
        faults = self._amiss(story, claim, written.line)
        branches, remarks = [], []
        for branch in story.branches:
            links, found = self._branch(branch, claim)
            branches.append(AuditedBranch(tuple(links)))
            faults += found
            if not found:
                remarks += self._needless(branch, claim)
        return JudgedStory(tuple(branches), tuple(faults), () if faults else tuple(remarks))

    def _amiss(self, story: WrittenStory, claim: Claim, line: int) -> list[str]:
        """The faults of the head: its conclusion and its branches."""
        if story.form == "suppose":
            (branch,) = story.branches
            supposed = set(self._layout.marks(branch.supposed))
            if branch.positive:
                right = not claim.places and set(claim.removes) == supposed
            else:
                right = not claim.removes and set(claim.places) == supposed and len(supposed) == 1
            return [] if right else [f"line {line}: it is not the opposite of what is supposed"]
        about = story.about
        assert about is not None
        wanted = Counter(self._open(about))
        listed_ones: Counter[Mark] = Counter()
        for branch in story.branches:
            if not branch.positive:
                return [f"line {branch.line}: a branch says what is so"]
            listed_ones.update(self._layout.marks(branch.supposed))
        faults = []
        missing = [mark for mark in wanted if mark not in listed_ones]
        if missing:
            faults.append(f"line {line}: no branch for {say_marks(self._layout, missing)}")
        strange = [mark for mark in listed_ones if mark not in wanted]
        if strange:
            said = say_marks(self._layout, strange)
            faults.append(f"line {line}: {said} is not open in {about.text}")
        twice = [mark for mark, count in listed_ones.items() if count > 1]
        if twice:
            faults.append(f"line {line}: {say_marks(self._layout, twice)} stands in two branches")
        return faults

    def _open(self, about: About) -> list[Mark]:
        """The candidates that an *either* has to cover."""
        layout, position = self._layout, self._position
        if about.unknown is not None:
            unknown = layout.index[about.unknown]
            return [(unknown, value) for value in members(position.masks[unknown])]
        if about.digit is None:
            return []
        digit = layout.digit_index[about.digit]
        for zone in layout.full_zones:
            if zone.name == about.premise:
                return [(cell, digit) for cell in members(zone.bits & position.where[digit])]
        return []

    def _suppose(self, branch: WrittenBranch) -> Position:
        """The board with what a branch supposes."""
        board = self._position.copy()
        marks = self._layout.marks(branch.supposed)
        if branch.positive and len(marks) == 1 and board.has(marks[0]):
            board.place(*marks[0])
            return board
        for mark in ruled_out(board, marks) if branch.positive else marks:
            board.remove(*mark)
        return board

    def _branch(self, branch: WrittenBranch, claim: Claim) -> tuple[list[AuditedLink], list[str]]:
        board = self._suppose(branch)
        links, faults = [], []
        for written in branch.links:
            link = self._link(board, written)
            links.append(link)
            if link.result in ("unshown", "unreadable"):
                faults.append(f"line {link.line} is {link.result}: {link.detail}")
        if branch.end is not None:
            fault = self._end_fault(board, branch.end)
            if fault:
                faults.append(f"line {branch.end_line}: {fault}")
        elif branch.links:
            last = branch.links[-1]
            told = {*self._layout.marks(last.places), *self._layout.marks(last.removes)}
            if not set(claim.marks) <= told:
                faults.append(f"line {last.line}: this branch does not reach the conclusion")
        return links, faults

    def _link(self, board: Position, written: WrittenStep) -> AuditedLink:
        """One link, which is applied to the board."""
        if written.trouble:
            return AuditedLink(written.line, written.text, "unreadable", written.trouble)
        claim = Claim(
            self._layout.marks(written.places), self._layout.marks(written.removes), written.because
        )
        left = claim.still_open(board)
        result: LinkResult = "sound"
        detail = ""
        if not left.marks:
            result, detail = "idle", "already known"
        elif not all(board.has(mark) for mark in left.places):
            gone = [mark for mark in left.places if not board.has(mark)]
            result, detail = "unshown", f"{say_marks(self._layout, gone)} is gone by then"
        elif not self._follows(board, left):
            result, detail = "unshown", "it does not follow from what it names"
        board.conclude(filter(board.has, left.places), left.removes)
        return AuditedLink(written.line, written.text, result, detail)

    def _follows(self, board: Position, claim: Claim) -> bool:
        matcher = Matcher(self._puzzle, board, self._clock)
        if REASON in claim.names:
            return matcher.by_premises(claim)
        return bool(
            matcher.by_name(claim)
            or any(matcher.by_links(claim, name) for name in claim.names if name in CHAINS)
            or matcher.by_reading(claim)
        )

    def _end_fault(self, board: Position, end: About) -> str:
        """Why something is left for what an end names; empty if nothing is."""
        layout = self._layout
        if end.unknown is not None:
            unknown = layout.index[end.unknown]
            left = [layout.value_name((unknown, value)) for value in members(board.masks[unknown])]
            return f"{end.unknown} can still be {word_list(left, 'or')}" if left else ""
        if end.digit is not None:
            digit = layout.digit_index[end.digit]
            zones = [zone for zone in layout.full_zones if zone.name == end.premise]
            if not zones:
                return f"{end.premise} need not hold every digit"
            if all(zone.bits & board.where[digit] for zone in zones):
                place = members(zones[0].bits & board.where[digit])[0]
                return f"{layout.symbol(digit)} can still go to {layout.cells[place]}"
            return ""
        matcher = Matcher(self._puzzle, board, self._clock)
        held = list(cell_premises(board, layout.span(end.premise)))
        filling = matcher.engine.solve(held, self._clock, on=[end.premise])
        return f"{end.premise} can still be filled" if filling is not None else ""

    def _needless(self, branch: WrittenBranch, claim: Claim) -> list[str]:
        """Links without which the branch would still be sound."""
        for place, link in enumerate(branch.links):
            fewer = (*branch.links[:place], *branch.links[place + 1 :])
            if not self._branch(replace(branch, links=fewer), claim)[1] and (fewer or branch.end):
                return [f"nothing uses line {link.line}"]
        return []
