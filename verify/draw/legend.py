"""The legend: one sentence per rule, each next to a sample of its drawing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from gridassay.encodings.grid import Cell
from gridassay.encodings.rules.base import Shape
from gridassay.verify.draw.frame import Frame
from gridassay.verify.draw.layers import shade
from gridassay.verify.draw.looks import DrawnRule, LegendEntry, samples_of
from gridassay.verify.draw.marks import Box, Lines, Mark, Picture, Stroke, Text
from gridassay.verify.draw.outside import TagPlace, outside_tag
from gridassay.verify.draw.shapes import Pen, draw_shape
from gridassay.verify.draw.style import Style
from gridassay.verify.draw.text_size import CAPITAL, wrap


def legend_marks(
    entries: Sequence[LegendEntry],
    y: float,
    width: float,
    style: Style,
    scale: float = 1.0,
    letters: float | None = None,
) -> tuple[list[Mark], float]:
    """The legend below ``y``, and where it ends.

    Its letters are ``scale`` times the ordinary size,
    which follows from the width unless it is given as ``letters``.
    """
    size = scale * (letters or min(2.9, width * 0.036))
    pitch, sample = 1.32 * size, 1.62 * size
    indent = 2 * sample + 0.9 * size
    marks: list[Mark] = []
    y += 1.1 * size
    for entry in entries:
        lines = list(wrap(entry.text, size, width - indent))
        height = max(len(lines) * pitch, sample)
        frame = Frame(sample, 0, y + (height - sample) / 2)
        marks += _sample(entry, frame, style)
        baseline = y + (height - len(lines) * pitch) / 2 + (pitch + CAPITAL * size) / 2
        for number, line in enumerate(lines):
            marks.append(
                Text(
                    indent,
                    baseline + number * pitch,
                    line,
                    size,
                    style.ink,
                    anchor="start",
                    role="rule text",
                )
            )
        y += height + 0.62 * size
        if entry.pieces:
            drawn, y = _pieces(entry.pieces, indent, y, width, size, style)
            marks += drawn
    return marks, y


def _pieces(
    pieces: Sequence[Sequence[Cell]], left: float, y: float, width: float, size: float, style: Style
) -> tuple[list[Mark], float]:
    """Pieces in rows between ``left`` and ``width``, and where they end."""
    unit = 0.8 * size
    stroke = Stroke(style.ink, 0.09 * unit)
    marks: list[Mark] = []
    x, low = left, y
    for piece in pieces:
        wide = unit * max(cell.column for cell in piece)
        if x > left and x + wide > width:
            x, y = left, low + unit
        for cell in piece:
            right, down = x + unit * (cell.column - 1), y + unit * (cell.row - 1)
            marks.append(Box(right, down, unit, unit, fill=style.wash, stroke=stroke, role="piece"))
        low = max(low, y + unit * max(cell.row for cell in piece))
        x += wide + unit
    return marks, low + 0.8 * size


def swatch(one: DrawnRule, style: Style, size: float = 4.0) -> Picture:
    """A sample of how a rule is drawn by itself, on two cells ``size`` millimetres wide."""
    margin = 0.1 * size
    entry = LegendEntry("", one.look, samples_of(one.shapes))
    marks = _sample(entry, Frame(size, margin, margin), style)
    wide, high = 2 * size + 2 * margin, size + 2 * margin
    return Picture(wide, high, tuple(marks), style.paper, style.font, one.name)


def pieces_swatch(
    pieces: Sequence[Sequence[Cell]], style: Style, name: str, size: float = 4.0
) -> Picture:
    """The pieces of a rule that has nothing to draw on the board, in rows."""
    margin, letters = 0.1 * size, 0.4 * size
    wide = max(5 * size, *(0.8 * letters * max(c.column for c in one) for one in pieces))
    laid, low = _pieces(pieces, margin, margin, margin + wide, letters, style)
    return Picture(wide + 2 * margin, low, tuple(laid), style.paper, style.font, name)


def _sample(entry: LegendEntry, frame: Frame, style: Style) -> list[Mark]:
    """The drawing of a rule on two cells; a piece of plain grid if it has nothing to draw."""
    if entry.tint:
        place, value = entry.tint
        beside = replace(frame, left=frame.left + 0.5 * frame.size)
        tinted = shade(place, value, Cell(1, 1), True, beside, style)
        return [*tinted, *_hairlines((_BOX,), frame, style)]
    pen = Pen(frame, style, entry.look)
    outside = [shape for shape in entry.samples if shape.form == "outside"]
    if outside:
        return _outside_sample(outside[0], frame, pen)
    layers = [draw_shape(shape, pen) for shape in entry.samples]
    hairlines = (_CELLS, _DIVIDER) if layers else (_BOX, _DIVIDER, ((0.5, 0.5), (1.5, 0.5)))
    return [
        *(mark for layer in layers for mark in layer["ground"]),
        *_hairlines(hairlines, frame, style),
        *(mark for layer in layers for mark in (*layer["above"], *layer["label"])),
    ]


def _outside_sample(shape: Shape, frame: Frame, pen: Pen) -> list[Mark]:
    """A tag before the edge of a cell, or before a corner if it has an arrow."""
    diagonal = all(shape.direction)
    shape = replace(shape, cells=(Cell(1, 2),), direction=(1, 1) if diagonal else (0, 1))
    if diagonal:
        pen = replace(pen, frame=replace(frame, top=frame.top + 0.55 * frame.size))
        place = TagPlace(0.46, -0.28, 0, 0)
        sides: _Way = ((2, 0), (1, 0), (1, 0.45))
    else:
        place, sides = TagPlace(0.46, 0.5, 0, 0), ((1, 0), (1, 1))
    walls = Stroke(pen.style.ink, 0.06 * frame.size)
    return [Lines((pen.frame.points(sides),), walls), *outside_tag(shape, place, pen)]


_Way = tuple[tuple[float, float], ...]
_CELLS: _Way = ((0, 0), (2, 0), (2, 1), (0, 1), (0, 0))
_BOX: _Way = ((0.5, 0), (1.5, 0), (1.5, 1), (0.5, 1), (0.5, 0))
_DIVIDER: _Way = ((1, 0), (1, 1))


def _hairlines(ways: Sequence[_Way], frame: Frame, style: Style) -> list[Mark]:
    stroke = Stroke(style.hairline, 0.035 * frame.size)
    return [Lines(tuple(frame.points(way) for way in ways), stroke)]
