"""The record of a book: answers about its puzzles, kept in one SQLite file beside it.

An answer is kept by the text of the puzzle, the question, and its maker (the release of gridassay
and a hash over its source), so that only what changed is asked again. A question whose answer was
cut short is asked again if there is more time. The file also keeps in which order the puzzles stood
when they were last checked. It can be deleted at any time: the answers are then found again.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Mapping
from contextlib import suppress
from functools import cache
from hashlib import sha256
from importlib.metadata import version
from pathlib import Path
from types import TracebackType
from typing import Any

from gridassay import encodings
from gridassay.encodings.lines import PuzzleError

_MARK = 0x626F6F6B
"""SQLite's ``application_id`` of a record, so that no other database is written to."""

_TABLES = f"""
PRAGMA application_id = {_MARK};
CREATE TABLE answer (
    digest TEXT NOT NULL,
    part TEXT NOT NULL,
    made_by TEXT NOT NULL,
    budget REAL,
    answer TEXT NOT NULL,
    PRIMARY KEY (digest, part)
) WITHOUT ROWID;
CREATE TABLE stood (
    source TEXT PRIMARY KEY,
    number INTEGER NOT NULL,
    digest TEXT NOT NULL,
    title TEXT NOT NULL
)
"""
_LONGEST_WAIT = 5.0


@cache
def made_by() -> str:
    """The release, and a hash over everything that an answer may depend on."""
    # Named by their releases, not loaded: canonical forms depend on one of them, routes on both.
    libraries = [version(name) for name in ("igraph", "python-sat")]
    digest = sha256(" ".join(libraries).encode())
    for package in (Path(next(iter(encodings.__path__))), Path(__file__).parents[1]):
        for file in sorted(package.rglob("*.py")):
            digest.update(file.name.encode() + file.read_bytes())
    return f"{version('gridassay')} {digest.hexdigest()[:16]}"


def record_path(book: str) -> str:
    """The path of a book's record."""
    return f"{book}.record.sqlite"


class Record:
    """A context for the record of a book; the file is made when there is something to keep.

    Raises PuzzleError if the file is something else, is locked, or cannot be written.
    """

    def __init__(self, path: str) -> None:
        self.path = path
        self._store: sqlite3.Connection | None = None
        self._at_hand: tuple[str, dict[str, tuple[float | None, str]]] | None = None
        self._order: dict[str, tuple[int, str, str]] | None = None
        if Path(path).exists():
            self._store = self._open()

    def __enter__(self) -> Record:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        if self._store is not None:
            with suppress(sqlite3.Error):
                self._store.close()

    def answer_to(self, digest: str, part: str) -> Any:
        """The answer to a question about a text, as far as it was found.

        None if there is no answer, or if the question cannot be asked of the puzzle.
        """
        had = self._answers(digest).get(part)
        if had is not None:
            with suppress(ValueError):
                found = json.loads(had[1])
                return None if isinstance(found, dict) and "error" in found else found
        return None

    def is_settled(self, digest: str, part: str, budget: float) -> bool:
        """Whether a question is settled, or was given at least as much time before."""
        had = self._answers(digest).get(part)
        return had is not None and (had[0] is None or budget <= had[0])

    def _answers(self, digest: str) -> Mapping[str, tuple[float | None, str]]:
        """Each answer about a text and the budget it had, by its part.

        A book asks several questions about one text before it comes to the next, so that the answers
        about one text are read together, and kept until another's are.
        """
        if self._store is None:
            return {}
        if self._at_hand is None or self._at_hand[0] != digest:
            command = "SELECT part, budget, answer FROM answer WHERE digest = ? AND made_by = ?"
            rows = self._ask(command, digest, made_by())
            self._at_hand = digest, {part: (budget, answer) for part, budget, answer in rows}
        return self._at_hand[1]

    def ever(self, digest: str, part: str) -> bool:
        """Whether a question was answered, by any release."""
        where = "digest = ? AND part = ? AND answer != 'null'"
        command = f"SELECT 1 FROM answer WHERE {where}"
        return self._store is not None and bool(self._ask(command, digest, part))

    def facts(self, digest: str) -> Any:
        """The facts that were read from a text; None if it was not read."""
        return self.answer_to(digest, "facts")

    def keep_facts(self, facts: Mapping[str, Any]) -> None:
        """Keep the facts that were read from texts, by text."""
        fresh = {digest: said for digest, said in facts.items() if self.facts(digest) is None}
        for digest, said in fresh.items():
            self._put(digest, "facts", None, said)
        self._commit()

    def _put(self, digest: str, part: str, budget: float | None, answer: Any) -> None:
        said = json.dumps(answer, ensure_ascii=False)
        command = "INSERT OR REPLACE INTO answer VALUES (?, ?, ?, ?, ?)"
        self._at_hand = None
        self._ask(command, digest, part, made_by(), budget, said)

    def keep(self, digest: str, answers: Mapping[str, Any], cut_short: Mapping[str, float]) -> None:
        """Keep answers by their part; ``cut_short`` names those that ran out of time."""
        for part, answer in answers.items():
            self._put(digest, part, cut_short.get(part), answer)
        self._commit()

    def last_order(self) -> dict[str, tuple[int, str, str]]:
        """Each puzzle's number, text and title at the last check, by its source."""
        if self._store is None:
            return {}
        if self._order is None:
            rows = self._ask("SELECT source, number, digest, title FROM stood")
            self._order = {source: (number, text, title) for source, number, text, title in rows}
        return dict(self._order)

    def keep_order(self, order: Mapping[str, tuple[int, str, str]]) -> None:
        """Keep the present order of the puzzles."""
        if self.last_order() != dict(order):
            self._order = None
            self._ask("DELETE FROM stood")
            for source, (number, digest, title) in order.items():
                self._ask("INSERT INTO stood VALUES (?, ?, ?, ?)", source, number, digest, title)
            self._commit()

    def _open(self) -> sqlite3.Connection:
        new = not Path(self.path).exists()
        store = None
        try:
            store = sqlite3.connect(self.path, timeout=_LONGEST_WAIT)
            if new:
                store.executescript(_TABLES)
            if store.execute("PRAGMA application_id").fetchall() != [(_MARK,)]:
                raise PuzzleError("this file is not the record of a book", self.path)
        except sqlite3.Error as error:
            if store is not None:
                store.close()
            raise self._trouble(error) from None
        except PuzzleError:
            if store is not None:
                store.close()
            raise
        return store

    def _ask(self, command: str, *values: str | float | None) -> list[tuple[Any, ...]]:
        if self._store is None:
            self._store = self._open()
        try:
            return self._store.execute(command, values).fetchall()
        except sqlite3.Error as error:
            raise self._trouble(error) from None

    def _commit(self) -> None:
        try:
            if self._store is not None:
                self._store.commit()
        except sqlite3.Error as error:
            raise self._trouble(error) from None

    def _trouble(self, error: sqlite3.Error) -> PuzzleError:
        if getattr(error, "sqlite_errorcode", 0) & 0xFF in (5, 6):  # busy, locked
            return PuzzleError("another program keeps this record locked", self.path)
        return PuzzleError(f"cannot be used as the record of a book: {error}", self.path)
