"""Remarks on a book as a whole: puzzles that repeat, puzzles that moved, rules that are not explained."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from gridassay.encodings.notation import listing
from gridassay.verify.book.checking import Row
from gridassay.verify.book.contents import Book, Entry
from gridassay.verify.book.wants import Held
from gridassay.verify.budget import OutOfTime
from gridassay.verify.kin.groups import way_between

Weight = Literal["wrong", "open", "note"]
LEAST_CELL = 5.5
"""The least size of a cell to pencil in, in millimetres: common practice, no published source."""
_DENSE = "too dense for its size"


@dataclass(frozen=True)
class Problem:
    """A thing that an editor should know: where, what, and whether it is wrong, open or a note."""

    where: str
    what: str
    weight: Weight = "note"
    entry: Entry | None = None

    def to_json(self) -> dict[str, object]:
        """The keys of the JSON contract, and the place for programs."""
        found: dict[str, object] = {"where": self.where, "what": self.what, "weight": self.weight}
        if self.entry is not None:
            found |= {"number": self.entry.number, "source": self.entry.source}
        return found


def problems_of(
    book: Book,
    rows: Sequence[Row],
    groups: Sequence[Sequence[Entry]],
    stood: Mapping[str, tuple[int, str, str]],
    budget: float,
) -> Iterator[Problem]:
    """Every problem of a book: what is wrong first, then what is undecided, then notes."""
    found = [
        *_unmet(rows),
        *_disguises(groups, budget),
        *_moves(book, stood),
        *_kinds_before_explanation(book),
        *_doubtful_wordings(book),
        *_anonymous(book),
        *_dense(book),
        *(
            Problem(row.entry.number_and_title, said, "note", row.entry)
            for row in rows
            for said in row.warnings
        ),
    ]
    order = ("wrong", "open", "note")
    yield from sorted(found, key=lambda one: order.index(one.weight))


def _unmet(rows: Sequence[Row]) -> Iterator[Problem]:
    for row in rows:
        if row.fault:
            yield Problem(row.entry.number_and_title, row.fault, "wrong", row.entry)
        for held in row.held:
            if held.result == "not met" and held.want != "fresh":
                yield Problem(row.entry.number_and_title, _unmet_want(held), "wrong", row.entry)
            elif held.result == "open" and not (held.want != "verdict" and row.verdict != "unique"):
                what = f"{held.want} is open: {held.found}"
                yield Problem(row.entry.number_and_title, what, "open", row.entry)
            elif held.result == "not met" and "catalogue" in held.found:
                yield Problem(
                    row.entry.number_and_title,
                    f"in disguise it is {held.found}",
                    "wrong",
                    row.entry,
                )
        wants_level = any(held.want == "level" for held in row.held)
        if row.verdict == "unique" and not row.whole and not wants_level and not row.fault:
            yield Problem(
                row.entry.number_and_title,
                "its route was not finished in time, so its level is open",
                "note",
                row.entry,
            )


def _unmet_want(held: Held) -> str:
    """A want that is not met: how the puzzle is, and how the book wants it."""
    wants = f"and the book wants {held.said}"
    if held.want == "needs":
        technique = held.said.removeprefix("needs ")
        return f"it can be solved without {technique}, and the book wants a puzzle that {held.said}"
    if held.want == "certificate" and held.found == "none":
        return f"it has no certificate, {wants}"
    begun = {"wasted": "it wastes", "level": "its level is", "certificate": "its certificate is"}
    return f"{begun.get(held.want, 'it has')} {held.found}, {wants}"


def _disguises(groups: Sequence[Sequence[Entry]], budget: float) -> Iterator[Problem]:
    for first, *others in groups:
        for other in others:
            fresh = first.wants.fresh or other.wants.fresh
            yield Problem(
                other.number_and_title,
                f"is {first.number_and_title} in disguise: {_way(other, first, budget)}",
                "wrong" if fresh else "note",
                other,
            )


def _way(one: Entry, other: Entry, budget: float) -> str:
    if one.digest == other.digest:
        return "the same file to the letter"
    try:
        return way_between(one.original(), other.original(), budget=budget).words()
    except OutOfTime:
        return "how was not found within the budget"


def _moves(book: Book, stood: Mapping[str, tuple[int, str, str]]) -> Iterator[Problem]:
    """Puzzles whose order changed since the last check; two that changed places are told as a pair."""
    before = {digest: number for number, digest, _ in stood.values()}
    known = [entry for entry in book.entries if entry.digest in before]
    at = {entry.number: entry for entry in known}
    kept = set(_in_order([before[entry.digest] for entry in known]))
    told: set[int] = set()
    for entry in known:
        old = before[entry.digest]
        other = at.get(old)
        if old == entry.number or entry.number in told:
            continue
        if other is not None and before[other.digest] == entry.number:
            told |= {entry.number, other.number}
            where = f"{entry.number_and_title} and {other.number_and_title}"
            yield Problem(where, "have changed places since the last check", "note", entry)
        elif old not in kept:
            yield Problem(
                entry.number_and_title, f"was number {old} at the last check", "note", entry
            )


def _in_order(numbers: Sequence[int]) -> list[int]:
    """A longest rising subsequence of the numbers: what stayed in order."""
    best: list[list[int]] = []
    for number in numbers:
        place = bisect_left([run[-1] for run in best], number)
        run = [*best[place - 1], number] if place else [number]
        best[place : place + 1] = [run]
    return best[-1] if best else []


def _kinds_before_explanation(book: Book) -> Iterator[Problem]:
    """Kinds of rules that appear before the chapter that should explain them."""
    explained = {
        kind: number
        for number, chapter in reversed([*enumerate(book.chapters)])
        for kind in chapter.explains
    }
    told: set[str] = set()
    for entry in book.entries:
        for kind in entry.facts["rules"]:
            at = explained.get(kind)
            if at is not None and entry.chapter < at and kind not in told:
                told.add(kind)
                chapter = book.chapters[at].title or f"chapter {at + 1}"
                what = f"has the rule {kind!r}, which is explained only in {chapter}"
                yield Problem(entry.number_and_title, what, "note", entry)


def _doubtful_wordings(book: Book) -> Iterator[Problem]:
    """Rules with several sentences, and sentences shared by rules of different meanings."""
    said: dict[tuple[str, str], dict[str, list[Entry]]] = {}
    for entry in book.entries:
        for kind, sentences in entry.facts["rules"].items():
            for ours, printed in sentences:
                if kind in book.wording:
                    meanings = said.setdefault((kind, ""), {})
                    meanings.setdefault(ours, []).append(entry)
                else:
                    said.setdefault((kind, ours), {}).setdefault(printed, []).append(entry)
    for (kind, ours), by_text in said.items():
        if len(by_text) < 2:
            continue
        places = "; ".join(f"{text!r} in {_numbers(entries)}" for text, entries in by_text.items())
        if ours:
            yield Problem(f"rule {kind}", f"is worded in several ways: {places}")
        else:
            what = f"the book has one sentence for what means several things: {places}"
            yield Problem(f"wording of {kind}", what)


def _numbers(entries: Sequence[Entry]) -> str:
    numbers = list(dict.fromkeys(str(entry.number) for entry in entries))
    return listing(numbers[:6], "and") if len(numbers) <= 6 else f"{len(numbers)} puzzles"


def _anonymous(book: Book) -> Iterator[Problem]:
    missing: dict[str, list[Entry]] = {"title": [], "credit": []}
    for entry in book.entries:
        for what, entries in missing.items():
            if not getattr(entry, what):
                entries.append(entry)
    for what, entries in missing.items():
        if entries:
            yield Problem(_plural(entries), f"no {what}", "note", entries[0])


def _plural(entries: Sequence[Entry]) -> str:
    if len(entries) == 1:
        return entries[0].number_and_title
    return f"numbers {_numbers(entries)}" if len(entries) <= 6 else f"{len(entries)} puzzles"


def _dense(book: Book) -> Iterator[Problem]:
    width, height = (side - 2 * book.margin for side in book.size)
    for entry in book.entries:
        wide, high = entry.facts["spread"]
        cell = min(book.cell, width / wide, height / high)
        if cell < 0.995 * book.cell:
            dense = f"; {_DENSE}: too small to pencil digits into" if cell < LEAST_CELL else ""
            what = f"is scaled down to fit the page, with cells of {cell:.1f} mm{dense}"
            yield Problem(entry.number_and_title, what, "note", entry)
        elif cell < LEAST_CELL:
            yield Problem(
                entry.number_and_title, f"{_DENSE}: its cells are {cell:.1f} mm", "note", entry
            )
