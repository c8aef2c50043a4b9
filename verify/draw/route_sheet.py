"""A walkthrough as a sheet to print: a picture for each step, with its sentence beside it.

Steps that only place a digit by a single come in runs, and a run shares one picture: nothing changes
in between but the digits. Candidates are drawn from the first step on that strikes one; before that
they say no more than the digits do. The pages are pictures, laid out once: PDF prints them, and HTML
carries them as SVG, with the same words as a list for those who cannot see them.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from html import escape
from pathlib import Path

from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.draw.marks import Mark, Picture, Text
from gridassay.verify.draw.paper import A4, paper_html, write_paper
from gridassay.verify.draw.route_views import along, position_view, view_of_run, view_of_step
from gridassay.verify.draw.scene import picture
from gridassay.verify.draw.style import LIGHT
from gridassay.verify.draw.text_size import wrap
from gridassay.verify.draw.view import PLAIN, View
from gridassay.verify.solving.board.position import Position
from gridassay.verify.solving.board.steps import Step
from gridassay.verify.solving.routes import Route
from gridassay.verify.solving.techniques import SINGLES
from gridassay.verify.solving.words import ending, profile

_WIDE, _HIGH = A4
_MARGIN = 16.0
_INNER = _WIDE - 2 * _MARGIN
_SIZE, _PITCH = 3.1, 4.5
_NUMBER, _GAP, _BETWEEN = 7.5, 5.5, 7.0
_CELL, _NARROWEST, _WIDEST = 8.4, 50.0, 112.0


@dataclass(frozen=True)
class _Line:
    """A line of the words beside a picture; a new entry begins with its number."""

    text: str
    number: str = ""
    bold: bool = False
    quiet: bool = False
    indent: float = _NUMBER


@dataclass
class _Panel:
    """A picture and the lines beside it; ``steps`` are those of a run, ``before`` their position."""

    lines: list[_Line]
    view: View = PLAIN
    whole: bool = False
    steps: list[Step] = field(default_factory=list)
    before: Position | None = None


def sheet_pages(found: Route, *, end: str = "") -> list[Picture]:
    """The pages of the sheet, of A4 size, numbered at the foot.

    The puzzle comes first, with what its route takes, then the steps, and last where they lead.
    ``end`` says how the route ends where that is not plain from the route itself.
    """
    puzzle = found.puzzle
    sheets: list[list[Mark]] = [[]]
    y = _MARGIN
    for panel in _panels(found, end or ending(found)):
        marks, high = _set(puzzle, panel)
        if y + high > _HIGH - _MARGIN and sheets[-1]:
            sheets.append([])
            y = _MARGIN
        sheets[-1] += [mark.moved(0, y, min(1.0, (_HIGH - 2 * _MARGIN) / high)) for mark in marks]
        y += high + _BETWEEN
    return [_page(puzzle, marks, number, len(sheets)) for number, marks in enumerate(sheets, 1)]


def _page(puzzle: Puzzle, marks: list[Mark], number: int, count: int) -> Picture:
    title = f"Walkthrough of {puzzle.title or puzzle.source}"
    foot = f"{number} of {count}"
    if number > 1 and puzzle.title:
        foot = f"{puzzle.title}, {foot}"
    words = Text(_WIDE / 2, _HIGH - 0.5 * _MARGIN, foot, _SIZE, LIGHT.quiet, role="page number")
    return Picture(_WIDE, _HIGH, (*marks, words), LIGHT.paper, LIGHT.font, title, foot)


def _panels(found: Route, end: str) -> Iterator[_Panel]:
    puzzle = found.puzzle
    room = _room(puzzle)
    pencilled = any(
        not _evident(found.start, cell) for cell in range(len(found.start.layout.cells))
    )
    run: _Panel | None = None
    yield _Panel(_head(found, end), whole=True)
    for number, (step, before) in enumerate(along(found), start=1):
        lines = list(_lines(found, number, step, _text_width(puzzle)))
        single = step.technique in SINGLES
        if run and not (single and (len(run.lines) + len(lines)) * _PITCH <= room):
            yield _finished(run, pencilled)
            run = None
        if single and run:
            run.lines += lines
            run.steps.append(step)
        elif single:
            run = _Panel(lines, steps=[step], before=before)
        else:
            pencilled = True
            yield _Panel(lines, replace(view_of_step(puzzle, step, before), caption=""))
    if run:
        yield _finished(run, pencilled)
    if found.steps:
        said = list(wrap(_sentence(end), _SIZE, _text_width(puzzle), bold=True))
        yield _Panel([_Line(text, bold=True) for text in said], position_view(found.end))


def _evident(position: Position, cell: int) -> bool:
    """Whether the candidates of a cell are just those that the placed digits leave it."""
    layout = position.layout
    if position.is_placed(cell):
        return True
    left = layout.all_digits
    for other in range(len(layout.cells)):
        if layout.sees[cell] >> other & 1 and position.is_placed(other):
            left &= ~position.masks[other]
    return position.masks[cell] == left


def _finished(run: _Panel, pencilled: bool) -> _Panel:
    if run.before is not None:
        run.view = view_of_run(run.steps, run.before, pencilled=pencilled)
    return run


def _head(found: Route, end: str) -> list[_Line]:
    wide = _text_width(found.puzzle) + _NUMBER
    said = [("Walkthrough", True, False), (_sentence(end), False, False)]
    if found.techniques:
        said.append((_sentence(profile(found)), False, True))
    if found.crux is not None:
        crux = f"Crux: step {found.crux + 1}, {found.steps[found.crux].technique}."
        said.append((crux, False, False))
    return [
        _Line(line, bold=bold, quiet=quiet, indent=0)
        for text, bold, quiet in said
        for line in wrap(text, _SIZE, wide, bold=bold)
    ]


def _lines(found: Route, number: int, step: Step, wide: float) -> Iterator[_Line]:
    """A single as its sentence; any other step with what it does and its name above."""
    label = str(number)
    crux = " (crux)" if number - 1 == found.crux else ""
    if step.technique not in SINGLES:
        for line in wrap(step.claim(found.puzzle.canvas), _SIZE, wide, bold=True):
            yield _Line(line, label, bold=True)
            label = ""
        yield _Line(f"{step.technique}{crux}", quiet=True)
    for line in wrap(_sentence(step.text), _SIZE, wide):
        yield _Line(line, label)
        label = ""


def _sentence(text: str) -> str:
    """With a full stop, and a capital unless it begins with the name of a cell."""
    first = text if text[:1] in "rc" and text[1:2].isdigit() else text[:1].upper() + text[1:]
    return first if first.endswith(".") else f"{first}."


def _picture_width(puzzle: Puzzle) -> float:
    canvas = puzzle.canvas
    return min(_WIDEST, max(_NARROWEST, _CELL * max(canvas.rows, canvas.columns)))


def _text_width(puzzle: Puzzle) -> float:
    return _INNER - _picture_width(puzzle) - _GAP - _NUMBER


def _room(puzzle: Puzzle) -> float:
    """How high the words beside a picture may be."""
    canvas = puzzle.canvas
    return _picture_width(puzzle) * canvas.rows / canvas.columns


def _set(puzzle: Puzzle, panel: _Panel) -> tuple[list[Mark], float]:
    """A panel's marks with its top at 0, and its height."""
    wide = _picture_width(puzzle)
    drawn = picture(
        puzzle,
        panel.view,
        width=wide,
        heading=panel.whole,
        legend=panel.whole,
        numbered=not panel.whole,
    )
    marks: list[Mark] = [drawn.placed(_MARGIN, 0)]
    left, y = _MARGIN + wide + _GAP, 0.0
    for line in panel.lines:
        y += _PITCH
        colour = LIGHT.quiet if line.quiet else LIGHT.ink
        if line.number:
            marks.append(
                Text(left, y, line.number, _SIZE, LIGHT.ink, True, "start", role="step number")
            )
        words = Text(
            left + line.indent, y, line.text, _SIZE, colour, line.bold, "start", role="words"
        )
        marks.append(words)
    return marks, max(drawn.height, y)


def sheet_html(found: Route, *, end: str = "") -> str:
    """The sheet as one HTML file that needs nothing else, a sheet of paper a page."""
    return paper_html(sheet_pages(found, end=end), _words(found, end))


def _words(found: Route, end: str) -> str:
    steps = "\n".join(
        f"<li>{escape(step.claim(found.puzzle.canvas))}, {escape(step.technique)}: "
        f"{escape(step.text)}</li>"
        for step in found.steps
    )
    return f"<p>{escape(end or ending(found))}</p>\n<ol>\n{steps}\n</ol>"


def write_sheet(found: Route, out: Path, *, end: str = "") -> None:
    """Write the sheet. Raises ValueError for another ending than .html or .pdf; OSError from writing."""
    write_paper(sheet_pages(found, end=end), _words(found, end), out)
