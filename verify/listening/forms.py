"""The forms of a talk, how to recognise them, and its sentences with their lines and times."""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import groupby, pairwise
from typing import Literal, NamedTuple

from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.solving.board.steps_file import read_steps

Form = Literal["steps", "notes", "prose", "captions"]

_CUE = re.compile(r"^\s*(?:\d+:)?\d\d:\d\d[.,]\d{3}\s+-->", re.MULTILINE)
_END = re.compile(
    r"(?<=[.!?])(?<!\be\.g\.)(?<!\bi\.e\.)[)\]]?\s+|(?<=;)\s+(?=[rR]\d)|\s{3,}(?=\d\s*:|[rR]\d)"
)
_SMALL = re.compile(r"[a-z]")
_CELL = re.compile(r"[rcb]\d")
_STEP = re.compile(r"\S+\s*(?:=|\bnot\b)\s*\w+(?:\s+because .*)?", re.IGNORECASE)
_FULL, _NEARLY, _MOSTLY = 40, 0.85, 0.6
"""A line with at least this many letters may have been broken because it was full, to nearly the length
of the longest one; all lines of a paragraph that was broken so, but the last, are mostly full."""
_SEVERAL = 6
"""So many lines, nearly all of them, are not full by chance; the next may then begin with anything."""
_BRACKETED = 60
"""So many letters further on a bracket may still be closed, so that a sentence does not end in it."""


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

    def with_next(self, other: Sentence) -> Sentence:
        """These words and those of another sentence as one."""
        shift = len(self.text) + 1
        moved = (one._replace(start=max(0, one.start) + shift) for one in other.places)
        return Sentence(f"{self.text} {other.text}", (*self.places, *moved))

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
    """The sentences of notes or prose; a line that was broken where it was full continues in the next."""
    paragraph, starts, last = "", [Place(0, 1)], ""
    lines = [
        re.sub(r"^\s*(?:#.*|[-*•]\s+|\d{1,3}[.)]\s+)", "", line).strip()
        for line in text.splitlines()
    ]
    widths, wrapped = list(_widths(lines)), _is_wrapped(lines)
    for number, said in enumerate(lines, start=1):
        if said and _goes_on(last, said, widths[number - 1], wrapped=wrapped):
            starts.append(Place(len(paragraph) + 1, number))
            paragraph += " " + said
        else:
            yield from split(paragraph, starts)
            paragraph, starts = said, [Place(0, number)]
        last = said
    yield from split(paragraph, starts)


def _widths(lines: list[str]) -> Iterator[int]:
    """Of each line, the width to which its paragraph was broken; 0 if it was not."""
    for _, group in groupby(lines, key=bool):
        several = [len(line) for line in group]
        width = max(several)
        broken = all(length > _MOSTLY * width for length in several[:-1])
        yield from [width if broken else 0] * len(several)


def _is_wrapped(lines: list[str]) -> bool:
    """Whether nearly all lines of a text were broken because they were full."""
    pairs = [(one, following) for one, following in pairwise(lines) if one and following]
    width = max(map(len, lines), default=0)
    full = sum(_reaches(*pair) > _NEARLY * width for pair in pairs)
    return len(pairs) >= _SEVERAL and full > _NEARLY * len(pairs)


def _goes_on(last: str, line: str, width: int, *, wrapped: bool) -> bool:
    """Whether a line of prose was broken before another because its next word found no room."""
    if len(last) <= _FULL or last[-1] in ".!?;:":
        return False
    whole_word = bool(_SMALL.match(line)) and not _CELL.match(line)
    return bool(width) and _reaches(last, line) > _NEARLY * width and (wrapped or whole_word)


def _reaches(line: str, following: str) -> int:
    """The length of a line with the first word of the next one."""
    return len(line) + 1 + len(following.split()[0])


def split(paragraph: str, places: list[Place]) -> Iterator[Sentence]:
    """The sentences of words that were put together from several places."""
    begin = 0
    for end in [*(match.end() for match in _END.finditer(paragraph)), len(paragraph)]:
        part = paragraph[begin:end]
        inside = part.count("(") > part.count(")")
        if inside and ")" in paragraph[end : end + _BRACKETED]:
            continue
        if part.strip():
            first = begin + len(part) - len(part.lstrip())
            moved = (one._replace(start=one.start - first) for one in places)
            yield Sentence(part.strip(), tuple(moved))
        begin = end
