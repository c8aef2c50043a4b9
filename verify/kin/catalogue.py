"""A catalogue of puzzles kept in one SQLite file, searched by canonical form and by layout.

Every entry keeps its puzzle as a text that reads back (``encodings/writing.py``), so that forms can
be remade. A form can be compared only with others made by the same release of the same library
(``form_name``); entries with older forms are renewed when the catalogue is opened, each saved at
once, so that the next opening continues where the time ran out.
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
from gridassay.encodings.writing import puzzle_text
from gridassay.verify.budget import DEFAULT_SECONDS, Clock
from gridassay.verify.kin.form import canonical, form_name
from gridassay.verify.kin.groups import way_between
from gridassay.verify.kin.layout import layout
from gridassay.verify.kin.transformation import Transformation

_MARK = 0x6B696E31
"""SQLite's ``application_id`` of a catalogue, so that no other database is written to."""

_LONGEST_WAIT = 5.0

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
class CatalogueEntry:
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

    entry: CatalogueEntry
    way: Transformation

    def to_json(self) -> dict[str, Any]:
        """The match for programs."""
        return {**self.entry.to_json(), "way": self.way.to_json()}


@dataclass(frozen=True)
class Found:
    """The entries of a catalogue that match a puzzle.

    ``itself`` is the entry with exactly the same text and source; ``kin`` are others that are the
    same puzzle in disguise, ``layout`` those with the same layout and other values: the first
    ``MOST`` of ``kin_count`` and ``layout_count``.
    """

    itself: CatalogueEntry | None
    kin: tuple[Match, ...]
    kin_count: int
    layout: tuple[CatalogueEntry, ...]
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
    """A catalogue in a file, made if necessary; a context that saves what was added when it ends.

    With ``looking`` the file must exist and is not written to. ``renewed`` counts the entries that
    had older forms and were given new ones. Raises PuzzleError if the file is not a catalogue
    or another program keeps it locked, and OutOfTime when renewing outlasts the clock.
    """

    def __init__(
        self,
        path: str | Path,
        *,
        looking: bool = False,
        budget: float | Clock = DEFAULT_SECONDS,
    ) -> None:
        if not isinstance(path, str | Path):
            raise TypeError(f"a catalogue is in a file: the path is wanted, not {path!r}")
        path, clock = str(path), Clock.of(budget)
        self.path, self.renewed = path, 0
        new = not _is_there(path)
        if looking:
            check_catalogue(path)
        try:
            name = f"{Path(path).absolute().as_uri()}?mode=ro" if looking else path
            self._store = sqlite3.connect(name, uri=looking, timeout=_patience(clock))
        except (sqlite3.Error, ValueError) as error:
            raise self._trouble(error) from None
        made = False
        try:
            if new and not looking:
                # Of two that begin one file at once, the second waits and finds it made.
                self._ask("BEGIN IMMEDIATE")
                made = self._ask("PRAGMA application_id") == [(0,)]
                for command in _TABLES.split(";") if made else ():
                    self._ask(command)
                self._ask("COMMIT")
                made = False
            if self._ask("PRAGMA application_id") != [(_MARK,)]:
                raise PuzzleError("this database is not a catalogue of puzzles", path)
            if looking:
                self._keep_renewed_in_memory()
            self._renew(clock)
        except PuzzleError:
            self._store.close()
            if made:  # as on a full disk: nothing is left of a file that could not be made
                Path(path).unlink(missing_ok=True)
            raise
        except BaseException:
            self.close()
            raise

    def __repr__(self) -> str:
        return f"<Catalogue: {self.path}>"

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
        """Save what was added and close the file. Raises PuzzleError if it cannot be written."""
        try:
            self._store.commit()
        except sqlite3.Error as error:
            raise self._trouble(error) from None
        finally:
            self._store.close()

    def _keep_renewed_in_memory(self) -> None:
        if self._count("form != ?", form_name()):
            copy = sqlite3.connect(":memory:")
            self._store.backup(copy)
            self._store.close()
            self._store = copy

    def _renew(self, clock: Clock) -> None:
        name = form_name()
        for entry in self._entries("form != ?", name):
            puzzle = self._puzzle(entry)
            self._ask(
                "UPDATE puzzle SET form = ?, canonical = ?, layout = ? WHERE number = ?",
                name,
                canonical(puzzle, budget=clock).text,
                layout(puzzle, budget=clock),
                entry.number,
            )
            self.renewed += 1

    def search(
        self, puzzle: Puzzle, *, add: bool = False, budget: float | Clock = DEFAULT_SECONDS
    ) -> Found:
        """The entries that match a puzzle, which is then added to the catalogue if ``add`` is set.

        Raises OutOfTime, and PuzzleError if the file cannot be read or written any more.
        """
        clock = Clock.of(budget)
        self._ask(f"PRAGMA busy_timeout = {int(1000 * _patience(clock))}")
        form, shape, text = (
            canonical(puzzle, budget=clock).text,
            layout(puzzle, budget=clock),
            puzzle_text(puzzle),
        )
        own = self._entries("canonical = ? AND source = ? AND text = ?", form, puzzle.source, text)
        itself = own[0] if own else None
        others = ("canonical = ? AND number != ?", form, itself.number if itself else 0)
        alike = ("layout = ? AND canonical != ?", shape, form)
        found = Found(
            itself,
            tuple(
                Match(entry, self._way(puzzle, entry, clock))
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

    def _entries(self, where: str, *values: str | int, most: int = -1) -> list[CatalogueEntry]:
        command = f"SELECT number, source, title, text FROM puzzle WHERE {where} LIMIT {most}"
        rows = self._ask(command, *values)
        for number, *texts in rows:
            if not all(isinstance(text, str) for text in texts):
                raise self._damage(number, "its columns are not texts")
        return [CatalogueEntry(*row) for row in rows]

    def _puzzle(self, entry: CatalogueEntry) -> Puzzle:
        try:
            return entry.puzzle()
        except PuzzleError as error:
            raise self._damage(entry.number, error.message) from None

    def _way(self, puzzle: Puzzle, entry: CatalogueEntry, clock: Clock) -> Transformation:
        try:
            return way_between(puzzle, self._puzzle(entry), budget=clock.time_left())
        except ValueError:
            raise self._damage(entry.number, "its form is not that of its puzzle") from None

    def _damage(self, number: int, why: str) -> PuzzleError:
        return PuzzleError(f"the catalogue is damaged: entry {number}: {why}", self.path)

    def _trouble(self, error: sqlite3.Error | ValueError) -> PuzzleError:
        if getattr(error, "sqlite_errorcode", 0) & 0xFF in (
            sqlite3.SQLITE_BUSY,
            sqlite3.SQLITE_LOCKED,
        ):
            return PuzzleError("another program keeps this catalogue locked", self.path)
        return PuzzleError(f"cannot be used as a catalogue: {error}", self.path)

    def _count(self, where: str, *values: str | int) -> int:
        return int(self._ask(f"SELECT count(*) FROM puzzle WHERE {where}", *values)[0][0])

    def _ask(self, command: str, *values: str | int) -> list[tuple[Any, ...]]:
        try:
            return self._store.execute(command, values).fetchall()
        except (sqlite3.Error, ValueError) as error:  # the latter: a text that is not UTF-8
            raise self._trouble(error) from None


def check_catalogue(path: str) -> None:
    """Raise PuzzleError if there is no file to look into."""
    if not _is_there(path):
        raise PuzzleError(
            "there is no such catalogue; gridassay kin FILE… --catalogue … --add makes one", path
        )


def _is_there(path: str) -> bool:
    try:
        return Path(path).exists() and Path(path).stat().st_size > 0
    except (OSError, ValueError) as error:
        reason = (getattr(error, "strerror", None) or str(error)).lower()
        raise PuzzleError(f"cannot be used as a catalogue: {reason}", path[:80]) from None


def _patience(clock: Clock) -> float:
    """The seconds to wait for another program that writes to the file."""
    return max(0.0, min(_LONGEST_WAIT, clock.time_left()))
