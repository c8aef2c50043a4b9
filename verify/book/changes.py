"""Two versions of a book: puzzles added, removed, moved and changed, and the pages that are affected."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from gridassay.verify.auditing.versions import Comparison, compare
from gridassay.verify.book.contents import Book, Entry
from gridassay.verify.book.making import book_style
from gridassay.verify.book.volume import Volume, typeset
from gridassay.verify.budget import DEFAULT_SECONDS
from gridassay.verify.in_short import InShort
from gridassay.verify.words import quantity


@dataclass(frozen=True)
class BookChanges(InShort):
    """The changes from one version of a book to the next.

    ``moved`` and ``changed`` pair the old puzzle with the new; a puzzle may be in both. ``pages``
    are the pages of the new book whose puzzles or numbers differ from those on the same page of the
    old one.
    """

    old: Book
    new: Book
    added: tuple[Entry, ...]
    removed: tuple[Entry, ...]
    moved: tuple[tuple[Entry, Entry], ...]
    changed: tuple[tuple[Entry, Entry, Comparison], ...]
    pages: tuple[int, ...]
    page_counts: tuple[int, int]

    @property
    def same(self) -> bool:
        """Whether nothing changed in the puzzles and their order."""
        return not (self.added or self.removed or self.moved or self.changed)

    def in_short(self) -> str:
        """How many puzzles were added, removed, moved and changed."""
        parts = {"added": self.added, "removed": self.removed, "moved": self.moved}
        told = [f"{len(some)} {what}" for what, some in parts.items() if some]
        told += [f"{len(self.changed)} changed"] if self.changed else []
        return ", ".join(told) or "nothing changed"

    def to_json(self) -> dict[str, Any]:
        """Everything, for programs."""
        return {
            "added": [_name(entry) for entry in self.added],
            "removed": [_name(entry) for entry in self.removed],
            "moved": [_name(new) | {"was": old.number} for old, new in self.moved],
            "changed": [
                _name(new) | {"was": old.number, **found.to_json()}
                for old, new, found in self.changed
            ],
            "pages": {
                "old": self.page_counts[0],
                "new": self.page_counts[1],
                "affected": list(self.pages),
            },
        }

    def lines(self) -> list[str]:
        """Everything, in lines to print."""
        said = [f"added {entry.number_and_title}" for entry in self.added]
        said += [f"removed {entry.number_and_title}" for entry in self.removed]
        said += [
            f"moved {new.number_and_title}, was number {old.number}" for old, new in self.moved
        ]
        for _, new, found in self.changed:
            told = [str(change) for change in found.changes] or ["only how it is written"]
            before, after = found.old.status, found.new.status
            if before != after:
                told.append(f"verdict {after}, was {before}")
            if found.moved:
                told.append(f"the solution differs in {' '.join(map(str, found.moved))}")
            elif found.moved is not None:
                told.append("the solution is the same")
            said.append(f"changed {new.number_and_title}: {'; '.join(told)}")
        if self.pages:
            listed = _ranges(self.pages)
            said.append(f"pages affected: {listed} of {self.page_counts[1]}")
        if self.page_counts[0] != self.page_counts[1]:
            said.append(f"{quantity(self.page_counts[1], 'page')}, was {self.page_counts[0]}")
        return said or ["nothing changed"]


def _name(entry: Entry) -> dict[str, Any]:
    return {"number": entry.number, "source": entry.source, "title": entry.title}


def _ranges(numbers: tuple[int, ...]) -> str:
    """``3, 5–8``."""
    runs: list[list[int]] = []
    for number in numbers:
        if runs and number == runs[-1][1] + 1:
            runs[-1][1] = number
        else:
            runs.append([number, number])
    return ", ".join(str(a) if a == b else f"{a}–{b}" for a, b in runs)


def book_changes(old: Book, new: Book, *, budget: float = DEFAULT_SECONDS) -> BookChanges:
    """Compare two versions of a book; ``budget`` is for each puzzle that changed.

    Raises OutOfTime if it runs out.
    """
    pairs = _pair(old, new)
    matched = {id(one) for one in pairs.values()}
    olds = {id(entry): entry for entry in old.entries}
    changed = []
    moved = []
    for entry in new.entries:
        before = pairs.get(id(entry))
        if before is None:
            continue
        if before.number != entry.number:
            moved.append((before, entry))
        if before.digest != entry.digest:
            found = compare(before.original(), entry.original(), budget=budget)
            changed.append((before, entry, found))
    volumes = [typeset(book, book_style(book), lambda entry, part: None) for book in (old, new)]
    return BookChanges(
        old,
        new,
        tuple(entry for entry in new.entries if id(entry) not in pairs),
        tuple(entry for key, entry in olds.items() if key not in matched),
        tuple(moved),
        tuple(changed),
        _pages_affected(*volumes),
        (len(volumes[0]), len(volumes[1])),
    )


def _pair(old: Book, new: Book) -> Mapping[int, Entry]:
    """The old puzzle for each new one, found by its text, else by its file, else by its title."""
    left = {id(entry): entry for entry in old.entries}
    pairs: dict[int, Entry] = {}
    for same in (_same_text, _same_file, _same_title):
        for entry in new.entries:
            if id(entry) in pairs:
                continue
            found = next((one for one in left.values() if same(one, entry)), None)
            if found is not None:
                pairs[id(entry)] = left.pop(id(found))
    return pairs


def _same_text(one: Entry, other: Entry) -> bool:
    return one.digest == other.digest


def _same_file(one: Entry, other: Entry) -> bool:
    return one.source == other.source


def _same_title(one: Entry, other: Entry) -> bool:
    return bool(one.title) and one.title == other.title


def _pages_affected(old: Volume, new: Volume) -> tuple[int, ...]:
    """The pages of the new book on which different puzzles begin than on the same page of the old one."""

    def by_page(volume: Volume) -> dict[int, list[tuple[int, str]]]:
        found: dict[int, list[tuple[int, str]]] = {}
        for entry in volume.book.entries:
            found.setdefault(volume.starts[entry.number], []).append((entry.number, entry.digest))
        return found

    before, after = by_page(old), by_page(new)
    return tuple(sorted(page for page in after if before.get(page) != after[page]))
