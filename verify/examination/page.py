"""The assay as a page to file with the puzzle: HTML or PDF, readable in black and white.

The page is laid out once, as a picture: the puzzle with its rule text, beside it the solution (or two
of them, or what contradicts what), the findings, the profile of the route, and the hash of the
evidence. What does not fit goes on the next page.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date
from importlib.metadata import version
from pathlib import Path

from gridassay.verify.draw.marks import Mark, Picture, Text
from gridassay.verify.draw.paper import A4, paper_html, write_paper
from gridassay.verify.draw.premises import premises_view
from gridassay.verify.draw.route_chart import route_chart
from gridassay.verify.draw.scene import picture
from gridassay.verify.draw.style import LIGHT
from gridassay.verify.draw.text_size import wrap
from gridassay.verify.draw.view import View
from gridassay.verify.draw.views import differing, view_of_solution
from gridassay.verify.examination.examination import SAID, Assay
from gridassay.verify.examination.words import part_words
from gridassay.verify.safe_text import marked_up

_WIDE, _HIGH = A4
_MARGIN = 18.0
_INNER = _WIDE - 2 * _MARGIN
_LOW = _HIGH - _MARGIN
_SIZE, _PITCH, _INDENT = 3.2, 4.6, 26.0
_SMALL = 2.6
_LARGEST = 0.55
"""The share of a page's height that the puzzle with its rules may take."""


def page_words(result: Assay) -> Iterator[tuple[str, str]]:
    """Everything the page says, each a caption and a line, the conclusion first."""
    yield "", result.conclusion()
    said = SAID[result.verdict.status]
    expected = result.puzzle.expect
    held = f", {'as' if result.verdict.met else 'NOT as'} its file expects" if expected else ""
    yield "verdict", f"{said}{held}"
    for part, answer in result.parts.items():
        if part == "certificate":
            digest = hashlib.sha256(answer.to_bytes()).hexdigest()
            yield "evidence", f"gridassay certify writes a certificate with SHA-256 {digest}"
        else:
            yield from part_words(part, answer)


@dataclass
class _Pages:
    """Pages being filled from the top; ``y`` is where the next thing goes."""

    sheets: list[list[Mark]] = field(default_factory=lambda: [[]])
    y: float = _MARGIN

    def room(self, high: float) -> None:
        """Start a new page if this height does not fit."""
        if self.y + high > _LOW:
            self.sheets.append([])
            self.y = _MARGIN

    def add(self, marks: list[Mark], high: float) -> None:
        """Put marks whose top is at 0 below what is there."""
        self.room(high)
        self.sheets[-1] += [mark.moved(_MARGIN, self.y, 1) for mark in marks]
        self.y += high

    def line(self, text: str, left: float, *, bold: bool = False, caption: str = "") -> None:
        """Set a text in as many lines as it needs, with its caption in the margin."""
        for number, line in enumerate(wrap(text, _SIZE, _INNER - left, bold=bold)):
            marks: list[Mark] = [
                Text(left, _SIZE, line, _SIZE, LIGHT.ink, bold, "start", role="words")
            ]
            if caption and not number:
                marks.append(
                    Text(0, _SIZE, caption, _SIZE, LIGHT.quiet, False, "start", role="caption")
                )
            self.add(marks, _PITCH)


def assay_pages(result: Assay, *, on: date | None = None) -> list[Picture]:
    """The page as pictures of A4 size, as many as it needs; dated today, or ``on``."""
    pages = _Pages()
    _draw(result, pages)
    (_, conclusion), *words = page_words(result)
    pages.y += 6
    pages.line(conclusion, 0, bold=True)
    pages.y += 0.6 * _PITCH
    for caption, text in words:
        pages.line(text, _INDENT, caption=caption)
    if result.route and result.route.crux is not None:
        pages.y += 0.8 * _PITCH
        pages.add(*route_chart(result.route, result.only_steps or (), _INNER))
    puzzle = result.puzzle
    title = f"Assay of {puzzle.title or puzzle.source}"
    made = f"{puzzle.source}, examined {on or date.today()} by gridassay {version('gridassay')}"
    return [
        _page(marks, title, f"{made}, page {number} of {len(pages.sheets)}", conclusion)
        for number, marks in enumerate(pages.sheets, start=1)
    ]


def _page(marks: list[Mark], title: str, foot: str, told: str) -> Picture:
    at = _HIGH - 0.6 * _MARGIN
    words = Text(_MARGIN, at, foot, _SMALL, LIGHT.quiet, False, "start", role="foot")
    return Picture(_WIDE, _HIGH, (*marks, words), LIGHT.paper, LIGHT.font, title, told)


def _draw(result: Assay, pages: _Pages) -> None:
    """The puzzle with its rules, and the result beside it."""
    puzzle = result.puzzle
    drawn = picture(puzzle, width=0.56 * _INNER, height=_LARGEST * _HIGH)
    marks: list[Mark] = [drawn.as_group(0, 0)]
    high = drawn.height
    beside = _beside(result)
    if beside:
        view, caption = beside
        answer = picture(puzzle, view, width=0.38 * _INNER, heading=False, legend=False)
        marks.append(answer.as_group(0.62 * _INNER, 9))
        high = max(high, 9 + answer.height)
        marks.append(
            Text(0.62 * _INNER, 6, caption, _SIZE, LIGHT.quiet, False, "start", role="caption")
        )
    pages.add(marks, high)


def _beside(result: Assay) -> tuple[View, str] | None:
    """The picture beside the puzzle, with its caption."""
    puzzle, solutions = result.puzzle, result.verdict.solutions
    explained = result.explanation
    if result.verdict.status == "unique":
        return view_of_solution(puzzle, solutions[0]), "the solution"
    if result.verdict.status == "multiple":
        known = explained.verdict.solutions if explained else solutions
        return differing(puzzle, known), "two solutions, split where they differ"
    if explained and explained.conflicts and explained.conflicts.found:
        premises = explained.conflicts.found[0].premises
        return premises_view(puzzle, premises), "these contradict each other"
    return None


def page_html(result: Assay, *, on: date | None = None) -> str:
    """The page as one HTML file that needs nothing else."""
    return paper_html(assay_pages(result, on=on), _markup(result))


def _markup(result: Assay) -> str:
    (_, conclusion), *words = page_words(result)
    rows = "\n".join(
        f"{f'<dt>{marked_up(caption)}</dt>' if caption else ''}<dd>{marked_up(text)}</dd>"
        for caption, text in words
    )
    return f"<p>{marked_up(conclusion)}</p>\n<dl>\n{rows}\n</dl>"


def write_page(result: Assay, out: Path) -> None:
    """Write the page. Raises ValueError for another ending than .html or .pdf; OSError from writing."""
    write_paper(assay_pages(result), _markup(result), out)
