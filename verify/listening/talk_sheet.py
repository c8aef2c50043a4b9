"""The audit of a talk as pages to print: the puzzle, then every claim with its result.

The pages are laid out once: PDF prints them, and HTML shows them with the same words as a list.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from gridassay.verify.draw.marks import Mark, Picture, Text
from gridassay.verify.draw.paper import A4, write_paper
from gridassay.verify.draw.scene import picture
from gridassay.verify.draw.style import LIGHT
from gridassay.verify.draw.text_size import wrap
from gridassay.verify.draw.view import PLAIN
from gridassay.verify.listening.results import TalkAudit, TalkStep, told_of
from gridassay.verify.safe_text import marked_up, printable

_WIDE, _HIGH = A4
_MARGIN, _SIZE, _PITCH = 16.0, 3.1, 4.5
_PICTURE, _GAP = 75.0, 6.0
_WHERE, _RESULT = 15.0, 21.0
_INNER = _WIDE - 2 * _MARGIN
_SAID = _INNER - _WHERE - _RESULT


@dataclass(frozen=True)
class _SheetLine:
    """A line of a claim: its words, and before them on its first line where it stands and its result."""

    text: str
    where: str = ""
    result: str = ""
    quiet: bool = False


def talk_pages(found: TalkAudit) -> list[Picture]:
    """The pages, A4, numbered at the foot; a claim is not broken over two of them."""
    sheets: list[list[Mark]] = [[]]
    marks, y = _head(found)
    sheets[0] += marks
    for step in found.steps:
        lines = list(_lines(step))
        high = len(lines) * _PITCH
        if y + high > _HIGH - 1.5 * _MARGIN:
            sheets.append([])
            y = _MARGIN
        for line in lines:
            y += _PITCH
            sheets[-1] += _marks(line, step, y)
        y += _PITCH / 3
    return [_page(found, marks, number, len(sheets)) for number, marks in enumerate(sheets, 1)]


def write_talk_sheet(found: TalkAudit, out: Path) -> None:
    """Write the pages. Raises ValueError if the name does not end in .html or .pdf, and OSError."""
    write_paper(talk_pages(found), _words(found), out)


def _head(found: TalkAudit) -> tuple[list[Mark], float]:
    drawn = picture(found.puzzle, PLAIN, width=_PICTURE, heading=True, legend=True)
    left = _MARGIN + _PICTURE + _GAP
    said = [("Audit of a talk", True), (f"{found.tally}.", False), (f"{found.ending}.", False)]
    marks: list[Mark] = [drawn.as_group(_MARGIN, _MARGIN)]
    y = _MARGIN
    for text, bold in said:
        for line in wrap(text, _SIZE, _INNER - _PICTURE - _GAP, bold=bold):
            y += _PITCH
            marks.append(Text(left, y, line, _SIZE, LIGHT.ink, bold, "start", role="words"))
    return marks, max(y, _MARGIN + drawn.height) + _PITCH


def _lines(step: TalkStep) -> Iterator[_SheetLine]:
    where, result = step.time or f"line {step.line}", _result(step)
    for text in wrap(printable(" ".join(step.said.split())), _SIZE, _SAID):
        yield _SheetLine(text, where, result)
        where = result = ""
    for more in told_of(step):
        for text in wrap(printable(more), _SIZE, _SAID):
            yield _SheetLine(text, quiet=True)


def _result(step: TalkStep) -> str:
    """The result, marked by more than its colour where somebody has to look."""
    return step.result if step.result in ("sound", "idle") else f"! {step.result}"


def _marks(line: _SheetLine, step: TalkStep, y: float) -> Iterator[Mark]:
    left = _MARGIN
    bold = step.result not in ("sound", "idle")
    if line.where:
        time = line.where.partition(".")[0]
        yield Text(left, y, time, _SIZE, LIGHT.quiet, anchor="start", role="where")
        yield Text(left + _WHERE, y, line.result, _SIZE, LIGHT.ink, bold, "start", role="result")
    colour = LIGHT.quiet if line.quiet else LIGHT.ink
    yield Text(left + _WHERE + _RESULT, y, line.text, _SIZE, colour, anchor="start", role="words")


def _page(found: TalkAudit, marks: Sequence[Mark], number: int, count: int) -> Picture:
    name = found.puzzle.title or found.puzzle.source
    foot = f"{number} of {count}"
    if number > 1 and found.puzzle.title:
        foot = f"{found.puzzle.title}, {foot}"
    words = Text(_WIDE / 2, _HIGH - _MARGIN / 2, foot, _SIZE, LIGHT.quiet, role="page number")
    title = f"Audit of a talk about {name}"
    return Picture(_WIDE, _HIGH, (*marks, words), LIGHT.paper, LIGHT.font, title, foot)


def _words(found: TalkAudit) -> str:
    claims = "\n".join(
        "<li>"
        + "; ".join(
            marked_up(one) for one in (step.result, " ".join(step.said.split()), *told_of(step))
        )
        + "</li>"
        for step in found.steps
    )
    return f"<p>{marked_up(found.tally)}. {marked_up(found.ending)}.</p>\n<ol>\n{claims}\n</ol>"
