"""Steps of a solution, and the files they are written in.

``steps_file.py`` reads those files and says how they are written.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from gridassay.encodings.constraints import Doubler, Letter, Unknown, Variable
from gridassay.encodings.grid import Canvas, Cell
from gridassay.encodings.puzzle import Puzzle
from gridassay.encodings.variables import Layered
from gridassay.verify.budget import looking_at_arguments
from gridassay.verify.in_short import InShort
from gridassay.verify.safe_text import printable
from gridassay.verify.solving.board.ideas import Ending, Group, Idea, Story
from gridassay.verify.solving.board.position import (
    Candidate,
    Layout,
    Mark,
    Position,
    bits_of,
    value_text,
)
from gridassay.verify.solving.board.premise_words import left_said

REASON = "reason"
"""The name of a step that no named technique gives; its premises are its smallest reason."""

STORY = "story"
"""The name of a step that is told as a story."""

_SHORT = 16
"""What is left to a letter is always told if it takes no more characters."""


@dataclass(frozen=True)
class ToldBranch:
    """A branch of a story: its supposition, its links, and the thing for which nothing is then left.

    ``ends`` is empty if the branch ends in the conclusion.
    """

    supposed: tuple[Candidate, ...]
    links: tuple[Step, ...]
    ends: str = ""

    def to_json(self) -> dict[str, Any]:
        """The keys of the JSON contract."""
        return {
            "suppose": list(map(_candidate_json, self.supposed)),
            "links": [link.to_json() for link in self.links],
            "ends": self.ends or None,
        }


@dataclass(frozen=True)
class ToldStory:
    """A story as a step tells it; ``about`` is the subject of an *either*."""

    form: Literal["suppose", "either"]
    branches: tuple[ToldBranch, ...]
    about: str = ""

    @property
    def length(self) -> int:
        """The number of its links."""
        return sum(len(branch.links) for branch in self.branches)

    def to_json(self) -> dict[str, Any]:
        """The keys of the JSON contract."""
        about = {"about": self.about} if self.about else {}
        branches = [branch.to_json() for branch in self.branches]
        return {"form": self.form, **about, "branches": branches}


@dataclass(frozen=True, repr=False)
class Step(InShort):
    """One step: its placements and removals, the technique's name and the premises that it names.

    ``cells`` and ``unknowns`` are those whose candidates it names: cells, and letters and doublers.
    ``size`` is the size of its reason: houses and rule parts, then premises about candidates.
    ``text`` is the step as a sentence. ``promised`` says that it also assumes that there is only
    one solution. ``group`` names the group in which several such steps in a row are told. ``letters``
    are those of which its heading says what is left.
    """

    technique: str
    places: tuple[Candidate, ...]
    removes: tuple[Candidate, ...]
    cells: tuple[Cell, ...]
    unknowns: tuple[Unknown, ...]
    digits: tuple[int, ...]
    houses: tuple[str, ...]
    rules: tuple[str, ...]
    size: tuple[int, int]
    text: str
    promised: bool = False
    proved: bool = True
    group: Group = ""
    story: ToldStory | None = None
    letters: tuple[tuple[Variable, str], ...] = ()

    def in_short(self) -> str:
        """The technique and its sentence."""
        return f"{self.technique}: {self.text}"

    def to_json(self) -> dict[str, Any]:
        """The keys of the JSON contract."""
        grouped = {"group": self.group} if self.group else {}
        told = {"story": self.story.to_json()} if self.story else {}
        return (
            grouped
            | told
            | {
                "technique": self.technique,
                "place": list(map(_candidate_json, self.places)),
                "remove": list(map(_candidate_json, self.removes)),
                "cells": [str(cell) for cell in self.cells],
                "unknowns": [str(unknown) for unknown in self.unknowns],
                "digits": list(self.digits),
                "houses": list(self.houses),
                "rules": list(self.rules),
                "size": list(self.size),
                "promised": self.promised,
                "proved": self.proved,
                "text": self.text,
            }
        )

    def line(self, canvas: Canvas) -> str:
        """The step as a line of a steps file, its sentence as the comment."""
        premises = [
            " ".join(map(str, self.cells)),
            *(f"letter {one}" if isinstance(one, Letter) else str(one) for one in self.unknowns),
            *(f"digit {canvas.symbols[digit]}" for digit in self.digits),
            *self.houses,
            *self.rules,
        ]
        if self.story:
            return "\n".join(self._story_lines(self.story, canvas))
        said = ", ".join(filter(None, premises))
        return f"{self.claim(canvas)} because {self.technique}: {said}  # {self.text}"

    def _story_lines(self, story: ToldStory, canvas: Canvas) -> Iterator[str]:
        """The story as lines of a steps file."""
        first = story.branches[0]
        about = story.about if story.form == "either" else _supposition(canvas, first)
        yield f"{self.claim(canvas)} because {story.form} {about}:  # {self.text}"
        for branch in story.branches:
            indent = "    "
            if story.form == "either":
                yield f"{indent}if {_supposition(canvas, branch)}:"
                indent *= 2
            for link in branch.links:
                yield indent + link.line(canvas)
            if branch.ends:
                yield f"{indent}nothing for {branch.ends}"

    def claim(self, canvas: Canvas) -> str:
        """The placements and removals of the step, as in a steps file."""
        return claim_text(canvas, self.places, self.removes)

    def heading(self, canvas: Canvas) -> str:
        """Its conclusions as a heading: ``r3c2 = 4; r5c5 not 2 6; A is 12, 13 or 15``."""
        told = dict(self.letters)
        doublers: dict[int, list[str]] = {}
        others = []
        for one in self.removes:
            if isinstance(one.unknown, Doubler):
                doublers.setdefault(one.value, []).append(str(one.unknown.cell))
            elif one.unknown not in told:
                others.append(one)
        rest = claim_text(canvas, self.places, others)
        return "; ".join(
            [
                *filter(None, [rest]),
                *(f"{one} is {left}" for one, left in told.items()),
                *(_doublers_said(cells, bool(gone)) for gone, cells in doublers.items()),
            ]
        )

    def apply(self, position: Position) -> None:
        """Apply the step to a position."""
        marks = position.layout.marks
        position.conclude(marks(self.places), marks(self.removes))


def _doublers_said(cells: Sequence[str], out: bool) -> str:
    """``r1c3 r1c6 not doublers``, ``r3c7 a doubler``."""
    what = "doublers" if len(cells) > 1 else "a doubler"
    return f"{' '.join(cells)} {'not ' if out else ''}{what}"


def claim_text(canvas: Canvas, places: Iterable[Candidate], removes: Iterable[Candidate]) -> str:
    """Conclusions as written in a steps file: ``r3c2 = 4; r5c5 not 2 6; A not 3, 5``."""

    def value(one: Candidate) -> str:
        if isinstance(one.unknown, Cell):
            return canvas.symbols[one.value]
        return value_text(one.unknown, one.value)

    struck: dict[Variable, list[str]] = {}
    for one in removes:
        struck.setdefault(one.unknown, []).append(value(one))
    return "; ".join(
        [
            *(f"{one.unknown} = {value(one)}" for one in places),
            *(
                f"{unknown} not {(' ' if isinstance(unknown, Cell) else ', ').join(values)}"
                for unknown, values in struck.items()
            ),
        ]
    )


def _supposition(canvas: Canvas, branch: ToldBranch) -> str:
    """The supposition of a branch, as in a steps file: ``r4c7 = 3 5``, ``r4c7 r5c7 = 3``."""
    unknown = branch.supposed[0].unknown
    if isinstance(unknown, Cell):
        cells = dict.fromkeys(str(one.unknown) for one in branch.supposed)
        digits = dict.fromkeys(canvas.symbols[one.value] for one in branch.supposed)
        return f"{' '.join(cells)} = {' '.join(digits)}"
    return f"{unknown} = {', '.join(value_text(unknown, one.value) for one in branch.supposed)}"


def digits_of(candidates: Iterable[Candidate]) -> dict[Cell, int]:
    """The digits among some candidates, by their cells."""
    return {one.unknown: one.value for one in candidates if isinstance(one.unknown, Cell)}


def _candidate_json(one: Candidate) -> dict[str, Any]:
    if isinstance(one.unknown, Cell):
        return {"cell": str(one.unknown), "digit": one.value}
    in_words = isinstance(one.unknown, Doubler | Layered)
    value = value_text(one.unknown, one.value) if in_words else one.value
    return {"unknown": str(one.unknown), "value": value}


def step_of(idea: Idea, position: Position) -> Step:
    """A proved idea as a step, in words that fit the position in which it was found."""
    layout = position.layout
    premises = [layout.premise_of(switch) for switch in idea.all_switches]

    def candidates(marks: Iterable[Mark]) -> tuple[Candidate, ...]:
        return tuple(map(layout.candidate, marks))

    return Step(
        technique=idea.technique,
        places=candidates(idea.places),
        removes=candidates(sorted(idea.removes)),
        cells=tuple(layout.cells[cell] for cell in idea.shown if layout.is_cell(cell)),
        unknowns=tuple(
            unknown
            for place in idea.shown
            if not isinstance(unknown := layout.unknowns[place], Cell)
        ),
        digits=tuple(layout.digits[digit] for digit in idea.digits),
        houses=tuple(dict.fromkeys(p.name for p in premises if p.kind == "house")),
        rules=tuple(dict.fromkeys(p.name for p in premises if p.kind == "rule")),
        size=idea.size,
        text=idea.say(),
        promised=bool(idea.deadly),
        group=idea.group,
        story=_told_story(idea.story, position) if idea.story else None,
        letters=tuple(_letters_left(idea, position)),
    )


def _letters_left(idea: Idea, position: Position) -> Iterator[tuple[Variable, str]]:
    """The letters that it strikes, with what is left, unless that is long and longer than what goes."""
    layout = position.layout
    for place in dict.fromkeys(place for place, _ in idea.removes):
        letter = layout.unknowns[place]
        if isinstance(letter, Letter):
            gone = [layout.value_name(mark) for mark in idea.removes if mark[0] == place]
            mask = position.masks[place] & ~bits_of(v for one, v in idea.removes if one == place)
            left = left_said(layout, place, mask)
            if len(left) <= max(_SHORT, len(", ".join(gone)) + 1):
                yield letter, left


def _told_story(story: Story, position: Position) -> ToldStory:
    """A story as a step tells it; the words of each link were made with the link."""
    layout = position.layout
    branches = tuple(
        ToldBranch(
            tuple(map(layout.candidate, branch.supposed)),
            tuple(step_of(link, position) for link in branch.links),
            ending_written(layout, branch.end) if branch.end else "",
        )
        for branch in story.branches
    )
    about = ending_written(layout, story.about) if story.about else ""
    return ToldStory(story.form, branches, about)


def ending_written(layout: Layout, end: Ending) -> str:
    """The subject of an end or of an *either*, as in a steps file."""
    if end.unknown is not None:
        unknown = layout.unknowns[end.unknown]
        return f"letter {unknown}" if isinstance(unknown, Letter) else str(unknown)
    if end.digit is not None and end.zone is not None:
        return f"digit {layout.symbol(end.digit)}, {layout.premise_of(end.zone.switch).name}"
    assert end.switch is not None
    return layout.premise_of(end.switch).name


@looking_at_arguments
def write_steps(steps: Sequence[Step], puzzle: Puzzle) -> str:
    """A steps file."""
    head = f"# {printable(puzzle.title) or 'Steps'}\n"
    return head + "".join(f"{step.line(puzzle.canvas)}\n" for step in steps)
