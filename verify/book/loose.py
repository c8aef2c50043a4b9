"""The pictures of a book for another layout: one file per grid and per answer, and a file of texts."""

from __future__ import annotations

import json
import re
import unicodedata
from pathlib import Path
from typing import Any

from gridassay.verify.book.contents import Book, Entry
from gridassay.verify.book.hints import hints_of
from gridassay.verify.book.volume import Known, solution_view
from gridassay.verify.draw.output import write_pictures
from gridassay.verify.draw.scene import picture, spread
from gridassay.verify.draw.style import Style
from gridassay.verify.reference import rule_text
from gridassay.verify.saving import save

FORMATS = (".pdf", ".svg")


def write_loose(book: Book, style: Style, known: Known, folder: Path, budget: float) -> int:
    """Write ``007-ropewalk.pdf``, ``007-ropewalk.svg``, the same with ``-answer``, and ``words.json``.

    Grids have the book's cell size and no text around them; titles, credits, rules and hints are in
    ``words.json``. Returns the number of pictures. Raises OSError.
    """
    folder.mkdir(parents=True, exist_ok=True)
    words: list[dict[str, Any]] = []
    count = 0
    for entry in book.entries:
        puzzle = entry.puzzle()
        wide = book.cell * spread(puzzle)[0]
        views = {"": None}
        verdict = known(entry, "verdict")
        if book.answers and verdict and verdict["verdict"] == "unique":
            views["-answer"] = solution_view(puzzle, verdict, budget)  # type: ignore[assignment]
        files = []
        for ending, view in views.items():
            if ending and view is None:
                continue
            shown = () if view is None else (view,)
            drawn = picture(puzzle, *shown, width=wide, style=style, heading=False, legend=False)
            for kind in FORMATS:
                file = f"{name_of(entry)}{ending}{kind}"
                write_pictures([drawn], folder / file)
                files.append(file)
                count += 1
        said: dict[str, Any] = {
            "number": entry.number,
            "title": puzzle.title,
            "credit": puzzle.credit,
            "chapter": book.chapters[entry.chapter].title,
            "rules": list(rule_text(puzzle)),
            "files": files,
        }
        if book.hints:
            hints = hints_of(known(entry, "route"), puzzle.rule_phrases)
            said["hints"] = [hint for hint in hints if hint]
        words.append(said)
    save(folder / "words.json", json.dumps(words, ensure_ascii=False, indent=2) + "\n")
    return count


def name_of(entry: Entry) -> str:
    """The file name for a puzzle: its number, and its title in plain letters."""
    plain = unicodedata.normalize("NFKD", entry.title or entry.source)
    letters = plain.encode("ascii", "ignore").decode().lower()
    slug = re.sub(r"[^a-z0-9]+", "-", letters.replace("'", "")).strip("-")[:40]
    return f"{entry.number:03d}-{slug or 'puzzle'}"
