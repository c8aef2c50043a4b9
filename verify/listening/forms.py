"""The forms of a talk, how one is told from another, and its sentences with their lines and times."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Literal, NamedTuple

from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.solving.board.steps_file import read_steps

Form = Literal["steps", "notes", "prose", "captions"]

_CUE = re.compile(r"^\s*(?:\d+:)?\d\d:\d\d[.,]\d{3}\s+-->", re.MULTILINE)
_END = re.compile(r"(?<=[.!?])(?<!\be\.g\.)(?<!\bi\.e\.)\s+|(?<=;)\s+(?=[rR]\d)")
_SMALL = re.compile(r"[a-z]")
_CELL = re.compile(r"[rc]\d")
_FULL = 40
"""Letters from which on a line may have been broken because it was full."""


class Sentence(NamedTuple):
    """Words that stand together, the line they begin at, and in captions the time of their cue."""

    text: str
    line: int
    time: str | None = None


def form_of(text: str, puzzle: Puzzle) -> Form:
    """Captions, steps, or prose, which notes are heard like; told by what stands in the file.

    A file with slips in it is still a steps file where it says ``because`` or ``not`` as those do.
    """
    if text.lstrip("\ufeff \n").startswith("WEBVTT") or _CUE.search(text):
        return "captions"
    steps = list(read_steps(text, puzzle))
    read = [step for step in steps if not step.trouble]
    if len(read) == len(steps) or any(step.because for step in read):
        return "steps"
    return "prose"


def sentences(text: str) -> Iterator[Sentence]:
    """The sentences of notes or prose; a line that begins in small letters goes on with the last."""
    paragraph, starts = "", [(0, 1)]
    for number, line in enumerate(text.splitlines(), start=1):
        said = re.sub(r"^\s*(?:#.*|[-*•]\s+|\d{1,3}[.)]\s+)", "", line).strip()
        if said and _goes_on(paragraph, said):
            starts.append((len(paragraph) + 1, number))
            paragraph += " " + said
            continue
        yield from _split(paragraph, starts)
        paragraph, starts = said, [(0, number)]
    yield from _split(paragraph, starts)


def _goes_on(paragraph: str, line: str) -> bool:
    """Whether a line of prose was broken before it."""
    if len(paragraph) <= _FULL or paragraph[-1] in ".!?;:":
        return False
    return bool(_SMALL.match(line)) and not _CELL.match(line)


def _split(paragraph: str, starts: list[tuple[int, int]]) -> Iterator[Sentence]:
    place = 0
    for end in [*(match.end() for match in _END.finditer(paragraph)), len(paragraph)]:
        said = paragraph[place:end].strip()
        if said:
            yield Sentence(said, max(line for start, line in starts if start <= place))
        place = end
