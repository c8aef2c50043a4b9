"""A walkthrough as a sheet to print: a picture for each step, with its sentence beside it.

Plain steps (singles, and what rules and locked candidates strike) come in runs, and a run shares
one picture as long as its words fit beside it. The opening marks of the drawn rules are one step.
Candidates are drawn from the first step that strikes one; before that, they say no more than the
digits do. The pages are pictures, laid out once: PDF prints them, and HTML shows them as SVG, with
the same words as a list for those who cannot see them.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from itertools import islice
from math import ceil
from pathlib import Path

from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.draw.marks import Mark, Picture, Text
from gridassay.verify.draw.paper import A4, paper_html, write_paper
from gridassay.verify.draw.route_views import (
    along,
    evident,
    position_view,
    view_of_run,
    view_of_step,
)
from gridassay.verify.draw.scene import picture
from gridassay.verify.draw.style import LIGHT
from gridassay.verify.draw.text_size import wrap
from gridassay.verify.draw.view import PLAIN, View
from gridassay.verify.safe_text import marked_up
from gridassay.verify.solving.board.position import Position
from gridassay.verify.solving.board.steps import Step
from gridassay.verify.solving.grouping import told_together
from gridassay.verify.solving.results import Route
from gridassay.verify.solving.techniques import SINGLES, TECHNIQUES
from gridassay.verify.solving.words import crux_said, ending, profile

_SIZE, _PITCH = 3.1, 4.5
_NUMBER, _GAP, _BETWEEN = 7.5, 5.5, 7.0
_PLAIN_GROUP = 4
_CELL, _NARROWEST, _WIDEST = 8.4, 50.0, 112.0
_OF_NARROW = 0.46
"""The largest share of small paper that a picture takes, so that there is room for words."""


_PLAIN = {
    name for technique in TECHNIQUES if technique.group <= _PLAIN_GROUP for name in technique.names
}
"""Techniques whose steps need no picture of their own."""


@dataclass(frozen=True)
class Paper:
    """The paper of a sheet: its size and margin in millimetres."""

    wide: float = A4[0]
    high: float = A4[1]
    margin: float = 16.0

    @property
    def inner(self) -> float:
        """The width between the margins."""
        return self.wide - 2 * self.margin

    @property
    def depth(self) -> float:
        """The height between the margins."""
        return self.high - 2 * self.margin

    @property
    def half(self) -> float:
        """The width of one of two columns."""
        return (self.inner - _GAP) / 2

    def picture_width(self, puzzle: Puzzle) -> float:
        """The width of a picture that has words beside it."""
        canvas = puzzle.canvas
        ideal = min(_WIDEST, max(_NARROWEST, _CELL * max(canvas.rows, canvas.columns)))
        return ideal if self.inner >= _A4.inner else min(ideal, _OF_NARROW * self.inner)

    def text_width(self, puzzle: Puzzle) -> float:
        """The width of the words beside a picture."""
        return self.inner - self.picture_width(puzzle) - _GAP - _NUMBER

    def room(self, puzzle: Puzzle) -> float:
        """The greatest height of the words beside a picture."""
        canvas = puzzle.canvas
        return self.picture_width(puzzle) * canvas.rows / canvas.columns


_A4 = Paper()


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
    """A picture and the lines beside it; ``steps`` are those of a run, ``before`` their position.

    With ``columns`` there is no picture, and the lines stand in two columns.
    """

    lines: list[_Line]
    view: View = PLAIN
    whole: bool = False
    steps: list[Step] = field(default_factory=list)
    before: Position | None = None
    pencilled: bool = False
    columns: bool = False


def sheet_pages(found: Route, *, end: str = "", form: Paper = _A4) -> list[Picture]:
    """The pages of the sheet, of A4 size unless another is given, numbered at the foot.

    The puzzle comes first, with what its route takes, then the steps, and last where they lead.
    ``end`` says how the route ends if that is not plain from the route itself.
    """
    puzzle = found.puzzle
    sheets: list[list[Mark]] = [[]]
    y = form.margin
    for panel in _panels(found, end or ending(found), form):
        marks, high = _set(puzzle, panel, form)
        if y + high > form.high - form.margin and sheets[-1]:
            sheets.append([])
            y = form.margin
        sheets[-1] += [mark.moved(0, y, min(1.0, form.depth / high)) for mark in marks]
        y += high + _BETWEEN
    return [
        _page(puzzle, marks, number, len(sheets), form) for number, marks in enumerate(sheets, 1)
    ]


def _page(puzzle: Puzzle, marks: list[Mark], number: int, count: int, form: Paper) -> Picture:
    title = f"Walkthrough of {puzzle.title or puzzle.source}"
    foot = f"{number} of {count}"
    if number > 1 and puzzle.title:
        foot = f"{puzzle.title}, {foot}"
    words = Text(
        form.wide / 2, form.high - 0.5 * form.margin, foot, _SIZE, LIGHT.quiet, role="page number"
    )
    return Picture(form.wide, form.high, (*marks, words), LIGHT.paper, LIGHT.font, title, foot)


def _panels(found: Route, end: str, form: Paper) -> Iterator[_Panel]:
    """The head, then the steps; a run of plain ones shares a picture while its words fit beside it."""
    puzzle = found.puzzle
    room = form.room(puzzle)
    wide = form.text_width(puzzle)
    pencilled = not evident(found.start)
    yield _Panel(_head(found, end, form), whole=True)
    run: _Panel | None = None
    before = iter(along(found))
    for number, together in told_together(found.steps):
        positions = [position for _, position in islice(before, len(together))]
        plain = together[0].technique in _PLAIN or len(together) > 1
        narrow = wide if len(together) == 1 else min(wide, form.half - _NUMBER)
        lines = [
            line
            for place, step in enumerate(together)
            for line in _lines(found, number + place, step, narrow, plain=plain)
        ]
        pencilled = pencilled or any(step.technique not in SINGLES for step in together)
        fits = run is not None and (len(run.lines) + len(lines)) * _PITCH <= room
        if run and not (plain and fits and len(together) == 1):
            yield _finish(run, run.pencilled)
            run = None
        if len(together) > 1:
            yield from _opening(puzzle, together, positions[0], lines, form)
        elif not plain:
            view = view_of_step(puzzle, together[0], positions[0])
            yield _Panel(lines, replace(view, caption=""))
        elif run:
            run.lines += lines
            run.steps += together
            run.pencilled = pencilled
        else:
            run = _Panel(lines, steps=[*together], before=positions[0], pencilled=pencilled)
    if run:
        yield _finish(run, run.pencilled)
    if found.steps:
        said = list(wrap(_sentence(end), _SIZE, wide, bold=True))
        yield _Panel([_Line(text, bold=True) for text in said], position_view(found.end))


def _opening(
    puzzle: Puzzle, steps: Sequence[Step], before: Position, lines: list[_Line], form: Paper
) -> Iterator[_Panel]:
    """The opening marks: one picture, the words beside it and then below it in two columns."""
    view = view_of_run(steps, before, pencilled=True)
    beside = int(form.room(puzzle) / _PITCH)
    yield _Panel(lines[:beside], view)
    rest = lines[beside:]
    most = 2 * int(form.depth / _PITCH)
    for start in range(0, len(rest), most):
        yield _Panel(rest[start : start + most], columns=True)


def _finish(run: _Panel, pencilled: bool) -> _Panel:
    if run.before is not None:
        run.view = view_of_run(run.steps, run.before, pencilled=pencilled)
    return run


def _head(found: Route, end: str, form: Paper) -> list[_Line]:
    wide = form.text_width(found.puzzle) + _NUMBER
    said = [("Walkthrough", True, False), (_sentence(end), False, False)]
    if found.techniques:
        said.append((_sentence(profile(found)), False, True))
    if found.crux is not None:
        said.append((_sentence(crux_said(found)), False, False))
    return [
        _Line(line, bold=bold, quiet=quiet, indent=0)
        for text, bold, quiet in said
        for line in wrap(text, _SIZE, wide, bold=bold)
    ]


def _lines(found: Route, number: int, step: Step, wide: float, *, plain: bool) -> Iterator[_Line]:
    """A plain step as its sentence; any other below its conclusion and its name."""
    label = str(number)
    crux = " (crux)" if number - 1 == found.crux else ""
    if not plain:
        for line in wrap(step.heading(found.puzzle.canvas), _SIZE, wide, bold=True):
            yield _Line(line, label, bold=True)
            label = ""
        yield _Line(f"{step.technique}{crux}", quiet=True)
    named = "" if step.technique in SINGLES or step.group or not plain else f" ({step.technique})"
    for line in wrap(_sentence(f"{step.text}{named}{crux if plain else ''}"), _SIZE, wide):
        yield _Line(line, label)
        label = ""


def _sentence(text: str) -> str:
    """With a full stop, and a capital unless it begins with the name of a cell."""
    first = text if text[:1] in "rc" and text[1:2].isdigit() else text[:1].upper() + text[1:]
    return first if first.endswith(".") else f"{first}."


def _set(puzzle: Puzzle, panel: _Panel, form: Paper) -> tuple[list[Mark], float]:
    """A panel's marks with its top at 0, and its height."""
    if panel.columns:
        half = ceil(len(panel.lines) / 2)
        # An entry stands in one column.
        while half < len(panel.lines) and not panel.lines[half].number:
            half += 1
        marks: list[Mark] = []
        for place, lines in enumerate((panel.lines[:half], panel.lines[half:])):
            marks += _text_lines(lines, form.margin + place * (form.half + _GAP))
        return marks, half * _PITCH
    wide = form.picture_width(puzzle)
    drawn = picture(
        puzzle,
        panel.view,
        width=wide,
        heading=panel.whole,
        legend=panel.whole,
        numbered=not panel.whole,
    )
    marks = [drawn.as_group(form.margin, 0), *_text_lines(panel.lines, form.margin + wide + _GAP)]
    return marks, max(drawn.height, len(panel.lines) * _PITCH)


def _text_lines(lines: Sequence[_Line], left: float) -> list[Mark]:
    """Lines below one another, the top of the first at 0."""
    marks: list[Mark] = []
    for place, line in enumerate(lines, start=1):
        y = place * _PITCH
        colour = LIGHT.quiet if line.quiet else LIGHT.ink
        if line.number:
            marks.append(
                Text(left, y, line.number, _SIZE, LIGHT.ink, True, "start", role="step number")
            )
        words = Text(
            left + line.indent, y, line.text, _SIZE, colour, line.bold, "start", role="words"
        )
        marks.append(words)
    return marks


def sheet_html(found: Route, *, end: str = "") -> str:
    """The sheet as one HTML file that needs nothing else, one page per sheet of paper."""
    return paper_html(sheet_pages(found, end=end), _words(found, end))


def _words(found: Route, end: str) -> str:
    steps = "\n".join(
        f"<li>{marked_up(step.heading(found.puzzle.canvas))}, {marked_up(step.technique)}: "
        f"{marked_up(step.text)}</li>"
        for step in found.steps
    )
    return f"<p>{marked_up(end or ending(found))}</p>\n<ol>\n{steps}\n</ol>"


def write_sheet(found: Route, out: Path, *, end: str = "") -> None:
    """Write the sheet. Raises ValueError if the name does not end in .html or .pdf, and OSError."""
    write_paper(sheet_pages(found, end=end), _words(found, end), out)
