"""A checked book as pages to print: the table, the curve of levels, and the problems."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from importlib.metadata import version
from itertools import pairwise
from pathlib import Path

from gridassay.verify.book.checking import Row
from gridassay.verify.book.results import BookCheck
from gridassay.verify.draw.marks import Box, Disc, Lines, Mark, Picture, Stroke, Text
from gridassay.verify.draw.paper import A4, write_paper
from gridassay.verify.draw.style import LIGHT
from gridassay.verify.draw.text_size import text_width, wrap
from gridassay.verify.safe_text import marked_up
from gridassay.verify.solving.levels import GROUPS
from gridassay.verify.words import quantity

_WIDE, _HIGH = A4
_MARGIN, _SIZE, _PITCH = 18.0, 3.1, 4.6
_INNER = _WIDE - 2 * _MARGIN
_COLUMNS = (9.0, 12.0, 86.0, 112.0, 150.0)
"""The right edge of the numbers and the left edges of puzzle, verdict, level and wants."""
_CURVE = 42.0


@dataclass
class _Sheets:
    """Sheets that are filled from the top."""

    sheets: list[list[Mark]] = field(default_factory=lambda: [[]])
    y: float = _MARGIN

    def room(self, high: float) -> None:
        if self.y + high > _HIGH - _MARGIN:
            self.sheets.append([])
            self.y = _MARGIN

    def add(self, marks: list[Mark], high: float) -> None:
        self.room(high)
        self.sheets[-1] += [mark.moved(_MARGIN, self.y, 1) for mark in marks]
        self.y += high

    def words(self, text: str, left: float = 0, size: float = _SIZE, *, bold: bool = False) -> None:
        for line in wrap(text, size, _INNER - left, bold=bold):
            mark = Text(left, size, line, size, LIGHT.ink, bold, "start", role="words")
            self.add([mark], 1.5 * size)


def check_pages(found: BookCheck) -> list[Picture]:
    """The check on A4 pages."""
    sheets = _Sheets()
    sheets.words(found.book.title, size=6, bold=True)
    met = sum(row.ok for row in found.rows)
    sheets.words(f"{quantity(len(found.rows), 'puzzle')}, {met} as wanted")
    sheets.y += _PITCH
    sheets.add(list(_curve(found)), _CURVE + 8)
    sheets.y += _PITCH
    if found.problems:
        sheets.words("What is to be seen to", size=4, bold=True)
        for problem in found.problems:
            sheets.words(f"{problem.weight}: {problem.where}: {problem.what}")
        sheets.y += _PITCH
    sheets.words("The puzzles", size=4, bold=True)
    chapter = -1
    for row in found.rows:
        if row.entry.chapter != chapter and found.book.chapters[row.entry.chapter].title:
            sheets.room(3 * _PITCH)
            sheets.words(found.book.chapters[row.entry.chapter].title, bold=True)
        chapter = row.entry.chapter
        sheets.add(list(_row(row)), _PITCH)
    sheets.y += _PITCH
    if found.first_needed:
        sheets.words("Where the told route first uses each technique", size=4, bold=True)
        for name, entry in found.first_needed.items():
            sheets.words(f"{name}: {entry.number_and_title}")
    title = f"Check of {found.book.title}"
    made = f"{title}, by gridassay {version('gridassay')}"
    return [
        Picture(
            _WIDE,
            _HIGH,
            (*marks, _foot(f"{made}, page {number} of {len(sheets.sheets)}")),
            LIGHT.paper,
            LIGHT.font,
            title,
        )
        for number, marks in enumerate(sheets.sheets, start=1)
    ]


def _foot(text: str) -> Text:
    at = _HIGH - 0.6 * _MARGIN
    return Text(_MARGIN, at, text, 2.6, LIGHT.quiet, False, "start", role="foot")


def _cells(row: Row) -> list[str]:
    missed = [f"{one.want}{'?' if one.result == 'open' else ''}" for one in row.held]
    missed = [said for said, one in zip(missed, row.held, strict=True) if one.result != "met"]
    return [
        str(row.entry.number),
        row.entry.title or row.entry.source,
        row.verdict,
        row.level or "open",
        f"not {', '.join(missed)}" if missed else "met",
    ]


def _row(row: Row) -> Iterator[Mark]:
    ends = (*_COLUMNS[2:], _INNER)
    for place, (text, left) in enumerate(zip(_cells(row), _COLUMNS, strict=True)):
        if place == 0:
            yield Text(left, _SIZE, text, _SIZE, LIGHT.ink, False, "end", role="words")
            continue
        room = ends[place - 1] - left - 2
        while text_width(text, _SIZE) > room:
            text = f"{text[:-2].rstrip()}…"
        bold = place == 4 and text != "met"
        yield Text(left, _SIZE, text, _SIZE, LIGHT.ink, bold, "start", role="words")


def _curve(found: BookCheck) -> Iterator[Mark]:
    """The levels of the puzzles in their order; an open ring at the foot if one is open."""
    rows = found.rows
    left = 46.0
    step = (_INNER - left) / max(1, len(rows))
    pitch = _CURVE / len(GROUPS)

    def at(place: int, level: int) -> tuple[float, float]:
        return left + (place + 0.5) * step, _CURVE - (level + 0.5) * pitch

    for level, name in enumerate(GROUPS):
        _, y = at(0, level)
        yield Text(left - 3, y + 0.9, name, 2.6, LIGHT.quiet, False, "end", role="level")
        yield Lines((((left, y), (_INNER, y)),), Stroke(LIGHT.hairline, 0.1), role="scale")
    points = [
        (place, GROUPS.index(row.level)) for place, row in enumerate(rows) if row.level is not None
    ]
    # The curve has a gap where a level is open.
    pieces = [(at(*one), at(*next_)) for one, next_ in pairwise(points) if next_[0] == one[0] + 1]
    if pieces:
        yield Lines(tuple(pieces), Stroke(LIGHT.ink, 0.35), role="curve")
    radius = min(1.1, 0.4 * step)
    for point in points:
        yield Disc(*at(*point), radius, None, LIGHT.ink, "level of a puzzle")
    every = max(1, round(6 / step))
    for place, row in enumerate(rows):
        x, _ = at(place, 0)
        if row.level is None:
            yield Disc(x, _CURVE + 1.6, radius, Stroke(LIGHT.ink, 0.25), None, "open level")
        if place % every == 0:
            number = str(row.entry.number)
            yield Text(x, _CURVE + 6.4, number, 2.6, LIGHT.quiet, role="number")
    yield Box(left, 0, _INNER - left, _CURVE, 0, Stroke(LIGHT.hairline, 0.2), None, "frame")


def _markup(found: BookCheck) -> str:
    heads = "".join(f"<th>{head}</th>" for head in ("no.", "puzzle", "verdict", "level", "wants"))
    rows = "\n".join(
        f"<tr>{''.join(f'<td>{marked_up(cell)}</td>' for cell in _cells(row))}</tr>"
        for row in found.rows
    )
    said = "\n".join(
        f"<li>{marked_up(f'{one.weight}: {one.where}: {one.what}')}</li>" for one in found.problems
    )
    return f"<table><tr>{heads}</tr>\n{rows}</table>\n<ul>\n{said}\n</ul>"


def write_check_page(found: BookCheck, out: Path) -> None:
    """Write the pages.

    Raises ValueError if the name does not end in .html or .pdf, and OSError from writing.
    """
    write_paper(check_pages(found), _markup(found), out)
