"""Helpers to look into pictures."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from xml.etree import ElementTree

from gridassay.encodings.files import read_puzzles
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.draw.marks import Group, Mark, Picture
from gridassay.verify.draw.svg import svg

ROOT = Path(__file__).parents[3]
EXAMPLES = ROOT / "examples"
WORKED = ROOT / "docs" / "rules"


def puzzle_of(path: Path) -> Puzzle:
    (found,) = read_puzzles(str(path))
    assert isinstance(found, Puzzle), found
    return found


def marks_in(marks: tuple[Mark, ...]) -> Iterator[Mark]:
    """All marks, those in groups too, groups left out."""
    for mark in marks:
        if isinstance(mark, Group):
            yield from marks_in(mark.marks)
        else:
            yield mark


def with_role(picture: Picture, role: str) -> list[Mark]:
    return [mark for mark in marks_in(picture.marks) if mark.role == role]


def parsed(picture: Picture) -> ElementTree.Element:
    return ElementTree.fromstring(svg(picture))


SVG = "{http://www.w3.org/2000/svg}"
