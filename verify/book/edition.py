"""A book as a folder of web pages: nothing is loaded from elsewhere, and answers are folded away."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from itertools import count
from pathlib import Path

from gridassay.encodings.lines import PuzzleError
from gridassay.verify.book.contents import Book, Chapter, Entry
from gridassay.verify.book.hints import GRADES, hints_of
from gridassay.verify.book.volume import Known, solution_view
from gridassay.verify.draw.scene import picture, spread
from gridassay.verify.draw.style import Style
from gridassay.verify.draw.svg import svg
from gridassay.verify.safe_text import marked_up

_MAKER = '<meta name="generator" content="gridassay book">'
_LOOK = """
body { margin: 0 auto; max-width: 46rem; padding: 1.5rem 1rem; line-height: 1.5;
  font-family: "Atkinson Hyperlegible", sans-serif; color: #14161a; background: #fff; }
h1 { line-height: 1.15; }
article { margin: 2.5rem 0; break-inside: avoid; }
article h2 { margin-bottom: 0; }
.credit { color: #555; margin-top: 0; }
.grid svg { width: 100%; height: auto; max-width: var(--wide); }
details { margin: .5rem 0; border-left: 3px solid #999; padding-left: .8rem; }
summary { cursor: pointer; }
ol.contents { list-style: none; padding: 0; }
a { color: #00548a; }
@media print { details { display: none; } }
"""


def write_edition(book: Book, style: Style, known: Known, out: Path, budget: float) -> list[Entry]:
    """Write the folder, whole or not at all; return the puzzles that have no answer.

    A folder that was made here before is replaced. Raises PuzzleError if something else is there,
    and OSError.
    """
    if out.exists() and not _ours(out):
        raise PuzzleError("already exists, and was not made by gridassay", str(out))
    part = _part_of(out)
    part.mkdir(parents=True)
    try:
        unanswered: list[Entry] = []
        for number, chapter in enumerate(book.chapters, start=1):
            with (part / _file(number)).open("w", encoding="utf-8") as file:
                for piece in _chapter(book, chapter, style, known, budget, unanswered):
                    file.write(piece)
        (part / "index.html").write_text(_index(book), encoding="utf-8")
        if out.exists():
            old = _part_of(out)
            out.rename(old)
            part.rename(out)
            shutil.rmtree(old)
        else:
            part.rename(out)
    finally:
        shutil.rmtree(part, ignore_errors=True)
    return unanswered


def _part_of(out: Path) -> Path:
    """An unused name for a folder beside it."""
    place = out.resolve()
    names = (place.with_name(f".{place.name}-{number}.part") for number in count())
    return next(path for path in names if not path.exists())


def _ours(out: Path) -> bool:
    index = out / "index.html"
    if out.is_dir() and not any(out.iterdir()):
        return True
    return index.is_file() and _MAKER in index.read_text("utf-8", errors="replace")


def _file(chapter: int) -> str:
    return f"chapter-{chapter}.html"


def _page(title: str, body: str) -> str:
    return f"{_opening(title)}{body}\n</body>\n</html>\n"


def _opening(title: str) -> str:
    return f"""<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
{_MAKER}
<title>{marked_up(title)}</title>
<style>{_LOOK}</style>
</head>
<body>
"""


def _index(book: Book) -> str:
    parts = [f"<h1>{marked_up(book.title)}</h1>"]
    if book.credit:
        parts.append(f'<p class="credit">{marked_up(book.credit)}</p>')
    for number, chapter in enumerate(book.chapters, start=1):
        lines = "\n".join(
            f'<li><a href="{_file(number)}#p{entry.number}">{marked_up(entry.printed)}</a></li>'
            for entry in chapter.entries
        )
        title = marked_up(chapter.title or book.title)
        parts.append(f'<h2><a href="{_file(number)}">{title}</a></h2>')
        parts.append(f'<ol class="contents">\n{lines}\n</ol>')
    return _page(book.title, "\n".join(parts))


def _chapter(
    book: Book,
    chapter: Chapter,
    style: Style,
    known: Known,
    budget: float,
    unanswered: list[Entry],
) -> Iterator[str]:
    title = chapter.title or book.title
    yield _opening(f"{title}, {book.title}" if chapter.title else title)
    yield f'<p><a href="index.html">{marked_up(book.title)}</a></p>\n<h1>{marked_up(title)}</h1>\n'
    for entry in chapter.entries:
        yield _article(book, entry, style, known, budget, unanswered)
    yield "</body>\n</html>\n"


def _article(
    book: Book,
    entry: Entry,
    style: Style,
    known: Known,
    budget: float,
    unanswered: list[Entry],
) -> str:
    puzzle = entry.puzzle()
    wide = book.cell * spread(puzzle)[0]
    drawn = svg(picture(puzzle, width=max(wide, 60.0), style=style, heading=False))
    parts = [
        f'<article id="p{entry.number}">',
        f"<h2>{marked_up(entry.printed)}</h2>",
    ]
    if puzzle.credit:
        parts.append(f'<p class="credit">{marked_up(puzzle.credit)}</p>')
    parts.append(f'<div class="grid" style="--wide: {max(wide, 60.0) * 1.3:.0f}mm">{drawn}</div>')
    if book.hints:
        hints = zip(GRADES, hints_of(known(entry, "route"), puzzle.rule_phrases), strict=True)
        for grade, said in hints:
            if said:
                name = grade.partition(":")[0].removesuffix("s")
                parts.append(_fold(name, f"<p>{marked_up(said)}</p>"))
    if book.answers:
        verdict = known(entry, "verdict")
        view = None
        if verdict and verdict["verdict"] == "unique":
            view = solution_view(puzzle, verdict, budget)
        if view is None:
            unanswered.append(entry)
        else:
            solved = svg(
                picture(puzzle, view, width=wide, style=style, heading=False, legend=False)
            )
            parts.append(
                _fold("Answer", f'<div class="grid" style="--wide: {wide:.0f}mm">{solved}</div>')
            )
    parts.append("</article>\n")
    return "\n".join(parts)


def _fold(summary: str, inside: str) -> str:
    return f"<details><summary>{marked_up(summary)}</summary>{inside}</details>"
