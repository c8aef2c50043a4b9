"""A catalogue of puzzles kept in one SQLite file, searched by canonical form and by layout.

Every entry keeps its puzzle as a text that reads back (``encodings/writing.py``), so that forms can
be made anew: a form is worth comparing only with others made by the same release of the same library
(``form_name``), and entries with forms of another are renewed when the catalogue is opened, each at
once for good, so that opening again goes on where the time ran out.
"""

from __future__ import annotations

import sqlite3
from dataclasses import dataclass
from pathlib import Path
from types import TracebackType
from typing import Any

from gridassay.encodings.files import read_text
from gridassay.encodings.lines import PuzzleError
from gridassay.encodings.puzzle import Puzzle
from gridassay.encodings.writing import written
from gridassay.verify.budget import Clock
from gridassay.verify.kin.form import canonical, form_name
from gridassay.verify.kin.groups import way_between
from gridassay.verify.kin.layout import layout
from gridassay.verify.kin.transformation import Transformation

_MARK = 0x6B696E31
"""SQLite's ``application_id`` of a catalogue, so that no other database is written to."""

MOST = 20
"""Entries of a kind that a search gives in full; the others are counted."""

_TABLES = f"""
PRAGMA application_id = {_MARK};
CREATE TABLE puzzle (
    number INTEGER PRIMARY KEY,
    source TEXT NOT NULL,
    title TEXT NOT NULL,
    text TEXT NOT NULL,
    form TEXT NOT NULL,
    canonical TEXT NOT NULL,
    layout TEXT NOT NULL
);
CREATE INDEX by_form ON puzzle (form);
CREATE INDEX by_canonical ON puzzle (canonical);
CREATE INDEX by_layout ON puzzle (layout)
"""


@dataclass(frozen=True)
class Entry:
    """A puzzle in the catalogue: its number there, where it came from, its title and its text."""

    number: int
    source: str
    title: str
    text: str

    def puzzle(self) -> Puzzle:
        """The puzzle, read back from its text."""
        found = next(read_text(self.text, self.source))
        if isinstance(found, PuzzleError):
            raise found
        return found

    def to_json(self) -> dict[str, Any]:
        """The entry for programs."""
        return {"number": self.number, "source": self.source, "title": self.title}


@dataclass(frozen=True)
class Match:
    """An entry that is a puzzle in disguise, and the way from the puzzle to the entry."""

    entry: Entry
    way: Transformation

    def to_json(self) -> dict[str, Any]:
        """The match for programs."""
        return {**self.entry.to_json(), "way": self.way.to_json()}


@dataclass(frozen=True)
class Found:
    """What a catalogue holds of a puzzle.

    ``itself`` is the entry with the very same text and source; ``kin`` are others that are the same
    puzzle, ``layout`` those with its layout and other values: the first ``MOST`` of ``kin_count`` and
    ``layout_count``.
    """

    itself: Entry | None
    kin: tuple[Match, ...]
    kin_count: int
    layout: tuple[Entry, ...]
    layout_count: int

    def to_json(self) -> dict[str, Any]:
        """The keys of the JSON output."""
        return {
            "itself": self.itself.to_json() if self.itself else None,
            "kin": [match.to_json() for match in self.kin],
            "kin_count": self.kin_count,
            "layout": [entry.to_json() for entry in self.layout],
            "layout_count": self.layout_count,
        }


class Catalogue:
    """A catalogue in a file, made if need be; a context that keeps what was added when it ends.

    ``renewed`` is how many entries had forms of another version and were given new ones. Raises
    PuzzleError where the file is no catalogue, and OutOfTime when renewing outlasts the clock.
    """

    def __init__(self, path: str, clock: Clock) -> None:
        self.path, self.renewed = path, 0
        try:
            new = not Path(path).exists() or Path(path).stat().st_size == 0
            self._store = sqlite3.connect(path)
        except (OSError, sqlite3.Error) as error:
            raise PuzzleError(f"cannot be used as a catalogue: {error}", path) from None
        try:
            if new:
                for command in _TABLES.split(";"):
                    self._ask(command)
            elif self._ask("PRAGMA application_id") != [(_MARK,)]:
                raise PuzzleError("this database is no catalogue of puzzles", path)
            self._renew(clock)
        except BaseException:
            self.close()
            raise

    def __enter__(self) -> Catalogue:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()

    def __len__(self) -> int:
        return self._count("true")

    def close(self) -> None:
        """Keep what was added and close the file."""
        self._store.commit()
        self._store.close()

    def _renew(self, clock: Clock) -> None:
        name = form_name()
        for entry in self._entries("form != ?", name):
            puzzle = entry.puzzle()
            self._ask(
                "UPDATE puzzle SET form = ?, canonical = ?, layout = ? WHERE number = ?",
                name,
                canonical(puzzle, clock).text,
                layout(puzzle, clock),
                entry.number,
            )
            self.renewed += 1

    def search(self, puzzle: Puzzle, clock: Clock, *, add: bool = False) -> Found:
        """What the catalogue holds of a puzzle, which is then kept in it where ``add`` says so.

        Raises OutOfTime, and PuzzleError where the file cannot be read or written any more.
        """
        form, shape, text = canonical(puzzle, clock).text, layout(puzzle, clock), written(puzzle)
        own = self._entries("canonical = ? AND source = ? AND text = ?", form, puzzle.source, text)
        itself = own[0] if own else None
        others = ("canonical = ? AND number != ?", form, itself.number if itself else 0)
        alike = ("layout = ? AND canonical != ?", shape, form)
        found = Found(
            itself,
            tuple(
                Match(entry, way_between(puzzle, entry.puzzle(), clock.left()))
                for entry in self._entries(*others, most=MOST)
            ),
            self._count(*others),
            tuple(self._entries(*alike, most=MOST)),
            self._count(*alike),
        )
        if add and itself is None:
            self._ask(
                "INSERT INTO puzzle (source, title, text, form, canonical, layout) "
                "VALUES (?, ?, ?, ?, ?, ?)",
                puzzle.source,
                puzzle.title,
                text,
                form_name(),
                form,
                shape,
            )
        return found

    def _entries(self, where: str, *values: str | int, most: int = -1) -> list[Entry]:
        command = f"SELECT number, source, title, text FROM puzzle WHERE {where} LIMIT {most}"
        return [Entry(*row) for row in self._ask(command, *values)]

    def _count(self, where: str, *values: str | int) -> int:
        return int(self._ask(f"SELECT count(*) FROM puzzle WHERE {where}", *values)[0][0])

    def _ask(self, command: str, *values: str | int) -> list[tuple[Any, ...]]:
        try:
            return self._store.execute(command, values).fetchall()
        except sqlite3.Error as error:
            raise PuzzleError(f"cannot be used as a catalogue: {error}", self.path) from None
