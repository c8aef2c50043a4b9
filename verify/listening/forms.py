"""The forms of a talk, how to recognise them, and its sentences with their lines and times."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Literal, NamedTuple

from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.solving.board.steps_file import read_steps

Form = Literal["steps", "notes", "prose", "captions"]

_CUE = re.compile(r"^\s*(?:\d+:)?\d\d:\d\d[.,]\d{3}\s+-->", re.MULTILINE)
_END = re.compile(r"(?<=[.!?])(?<!\be\.g\.)(?<!\bi\.e\.)[)\]]?\s+|(?<=;)\s+(?=[rR]\d)")
_SMALL = re.compile(r"[a-z]")
_CELL = re.compile(r"[rc]\d")
_STEP = re.compile(r"\S+\s*(?:=|\bnot\b)\s*\w+(?:\s+because .*)?", re.IGNORECASE)
_FULL = 40
"""A line of at least this many letters may have been broken because it was full."""


class Place(NamedTuple):
    """The first letter of a line, or of a cue with its times."""

    start: int
    line: int
    time: str | None = None
    until: str | None = None


class Sentence(NamedTuple):
    """Words that belong together, and the places in the text from which they come."""

    text: str
    places: tuple[Place, ...]

    def place(self, letter: int) -> Place:
        """The place of one of its letters."""
        return max((one for one in self.places if one.start <= letter), default=self.places[0])


def form_of(text: str, puzzle: Puzzle) -> Form:
    """Captions, steps, or prose (which includes notes), recognised from the text.

    A file with slips is still a steps file if it uses ``because`` or ``not`` as steps do.
    """
    if text.lstrip("\ufeff \n").startswith("WEBVTT") or _CUE.search(text):
        return "captions"
    steps = list(read_steps(text, puzzle))
    read = [step for step in steps if not step.trouble]
    if len(read) == len(steps) or any(step.because or step.story for step in read):
        return "steps"
    slips = [step for step in steps if step.trouble]
    if read and all(_STEP.fullmatch(step.text) for step in slips):
        return "steps"
    return "prose"


def sentences(text: str) -> Iterator[Sentence]:
    """The sentences of notes or prose; a line that begins with a small letter continues the last one."""
    paragraph, starts = "", [Place(0, 1)]
    for number, line in enumerate(text.splitlines(), start=1):
        said = re.sub(r"^\s*(?:#.*|[-*•]\s+|\d{1,3}[.)]\s+)", "", line).strip()
        if said and _goes_on(paragraph, said):
            starts.append(Place(len(paragraph) + 1, number))
            paragraph += " " + said
            continue
        yield from split(paragraph, starts)
        paragraph, starts = said, [Place(0, number)]
    yield from split(paragraph, starts)


def _goes_on(paragraph: str, line: str) -> bool:
    """Whether the line of prose before this one was broken."""
    if len(paragraph) <= _FULL or paragraph[-1] in ".!?;:":
        return False
    return bool(_SMALL.match(line)) and not _CELL.match(line)


def split(paragraph: str, places: list[Place]) -> Iterator[Sentence]:
    """The sentences of words that were put together from several places."""
    begin = 0
    for end in [*(match.end() for match in _END.finditer(paragraph)), len(paragraph)]:
        part = paragraph[begin:end]
        if part.strip():
            first = begin + len(part) - len(part.lstrip())
            moved = (one._replace(start=one.start - first) for one in places)
            yield Sentence(part.strip(), tuple(moved))
        begin = end
