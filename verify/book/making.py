"""Making a book: a PDF, a folder of web pages, or pictures for another layout."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

from gridassay.verify.book.checking import Asking, ask_all
from gridassay.verify.book.contents import Book, Entry
from gridassay.verify.book.record import Record
from gridassay.verify.book.volume import Volume, typeset
from gridassay.verify.draw.looks import run_style
from gridassay.verify.draw.pdf import Binding, pdf
from gridassay.verify.draw.style import LIGHT, Style
from gridassay.verify.saving import save


def book_style(book: Book) -> Style:
    """The style of a book, from its style file; by default ours on white paper.

    The same rule looks the same in all of its puzzles.
    """
    style = LIGHT
    if book.style is not None:
        from gridassay.verify.draw.style_files import read_style

        style = read_style(book.style)
    return run_style((entry.puzzle() for entry in book.entries), style)


def find_out(book: Book, record: Record, asking: Asking) -> None:
    """Ask what the pages show and the record lacks: solutions, and routes if there are hints.

    Raises PuzzleError if the record cannot be written.
    """
    record.keep_facts({entry.digest: entry.facts for entry in book.entries})
    # Only what is printed is asked; the requirements are for a check.
    bare = replace(
        book,
        chapters=tuple(
            replace(
                chapter,
                entries=tuple(
                    replace(entry, wants=replace(entry.wants, **_NOTHING))
                    for entry in chapter.entries
                ),
            )
            for chapter in book.chapters
        ),
    )
    ask_all(bare, record, replace(asking, routes=book.hints))


_NOTHING: dict[str, Any] = {
    "wasted": None,
    "level": None,
    "symmetric": None,
    "needs": (),
    "fresh": False,
    "certificate": False,
}


def known_in(record: Record) -> Callable[[Entry, str], Any]:
    """The answers that a record has on a puzzle of a book."""
    return lambda entry, part: record.answer_to(entry.digest, part)


def write_book(volume: Volume, out: Path, *, bleed: float = 0.0) -> None:
    """Write the pages as a PDF. Raises OSError, and ValueError if a font cannot be used."""
    book = volume.book
    binding = Binding(
        tuple(volume.outline),
        author=book.credit,
        subject=f"A book of {len(list(book.entries))} puzzles",
        keywords=("puzzles", *(chapter.title for chapter in book.chapters if chapter.title)),
        bleed=bleed,
    )
    save(out, pdf(volume.pages(), book.title, binding))


def set_pages(book: Book, record: Record, style: Style, budget: float) -> Volume:
    """The pages of a book, laid out from its record."""
    return typeset(book, style, known_in(record), budget=budget)
