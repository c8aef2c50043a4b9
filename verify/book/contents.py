"""The contents of a book: its chapters, and its puzzles with their numbers and requirements.

A puzzle is kept as the text it is read from and read again whenever it is needed, so that a book of
hundreds takes no more memory than its texts. What the book often needs (titles, rules) is kept
beside it as plain data.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from hashlib import sha256
from typing import Any

from gridassay.encodings.files import FilePart
from gridassay.encodings.lines import PuzzleError
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.book.wants import Wants
from gridassay.verify.draw.scene import spread

Facts = Mapping[str, Any]
"""Plain data on a puzzle: ``title``, ``credit``, ``rules`` and so on (see ``facts_of``)."""


@dataclass(frozen=True)
class Entry:
    """One puzzle of a book. ``source`` is its file as the book names it, with ``:LINE`` for lines.

    ``own_title`` and ``own_credit`` are what the book itself calls it; empty if the puzzle's own stand.
    """

    number: int
    source: str
    piece: FilePart
    text: str
    facts: Facts
    wants: Wants
    chapter: int
    wording: Mapping[str, str]
    own_title: str = ""
    own_credit: str = ""

    @property
    def title(self) -> str:
        """The title of the puzzle, or nothing."""
        return self.own_title or str(self.facts["title"])

    @property
    def credit(self) -> str:
        """Who made it, or nothing."""
        return self.own_credit or str(self.facts["credit"])

    @property
    def number_and_title(self) -> str:
        """Its number and what it is called: ``7 Ropewalk``."""
        return f"{self.number} {self.title or self.source}"

    @property
    def printed(self) -> str:
        """Its heading in print: ``7 Ropewalk``, or only ``Puzzle 7``."""
        return f"{self.number} {self.title}" if self.title else f"Puzzle {self.number}"

    @cached_property
    def digest(self) -> str:
        """A hash that identifies its text."""
        return digest_of(self.text)

    def puzzle(self) -> Puzzle:
        """The puzzle, with the book's own wording of its rules, and under the title it has there."""
        named = replace(self.original(), title=self.title, credit=self.credit)
        return with_wording(named, self.wording)

    def original(self) -> Puzzle:
        """The puzzle as its file states it."""
        found = next(self.piece.read())
        if isinstance(found, PuzzleError):  # it could be read when the book was read
            raise found
        return found


@dataclass(frozen=True)
class Chapter:
    """A chapter, with the kinds of rules that it should explain."""

    title: str
    entries: tuple[Entry, ...]
    explains: tuple[str, ...] = ()


@dataclass(frozen=True)
class Book:
    """A book as its file describes it; ``size`` (of a page), ``margin`` and ``cell`` are in mm."""

    path: str
    title: str
    credit: str
    style: str | None
    size: tuple[float, float]
    margin: float
    cell: float
    answers: bool
    hints: bool
    walkthroughs: bool
    wording: Mapping[str, str]
    chapters: tuple[Chapter, ...]

    @property
    def entries(self) -> Iterator[Entry]:
        """Every puzzle in order."""
        return (entry for chapter in self.chapters for entry in chapter.entries)


def digest_of(text: str) -> str:
    """A hash that identifies a text."""
    return sha256(text.encode()).hexdigest()[:24]


def with_wording(puzzle: Puzzle, wording: Mapping[str, str]) -> Puzzle:
    """The puzzle with the book's one sentence for each kind."""
    if not any(rule.kind in wording for rule in puzzle.rules):
        return puzzle
    rules = tuple(
        rule.model_copy(update={"text": wording[rule.kind]}) if rule.kind in wording else rule
        for rule in puzzle.rules
    )
    return replace(puzzle, rules=rules)


def facts_of(puzzle: Puzzle) -> dict[str, Any]:
    """The facts that a book needs of each puzzle, as plain data.

    ``spread`` is the width and height of the drawn grid, in cells. ``rules`` has, for each kind of
    rule that is on, the sentences to print in order: ours, and the setter's if there is one.
    """
    rules: dict[str, list[list[str]]] = {}
    for rule in puzzle.rules:
        if not rule.optional:
            said = [rule.wording(), rule.printed]
            told = rules.setdefault(rule.kind, [])
            if said not in told:
                told.append(said)
    canvas = puzzle.canvas
    return {
        "title": puzzle.title,
        "credit": puzzle.credit,
        "expect": puzzle.expect,
        "rows": canvas.rows,
        "columns": canvas.columns,
        "spread": list(spread(puzzle)),
        "rules": rules,
    }
