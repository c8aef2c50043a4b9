"""The content of cells and its highlights: digits, candidates, rings and strikes."""

from __future__ import annotations

from collections.abc import Container, Iterator, Sequence
from math import hypot

from gridassay.encodings.grid import Cell
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.draw.colour import mix
from gridassay.verify.draw.frame import Frame
from gridassay.verify.draw.geometry import bent_line, bracket, cut_out
from gridassay.verify.draw.marks import Box, Disc, Lines, Mark, Stroke, Text
from gridassay.verify.draw.room import RING, RING_LINE, CandidatePlaces, Room
from gridassay.verify.draw.shapes import DIGIT_GAP
from gridassay.verify.draw.style import Style
from gridassay.verify.draw.text_size import CAPITAL
from gridassay.verify.draw.view import View

SIGHT_GAP = 0.44
"""The distance of a line of sight's ends from the middles of its first and last cell."""
STRIKE = 0.085
"""The width of a strike in shares of the digit's size; the digit's own strokes are wider."""
BRACKET = 0.13
"""The width of a house's bracket in shares of a cell."""
JOIN, BOW = 0.045, 0.16
"""The width of a strong link in shares of a cell, and how far a line bends for its length."""


def contents(
    puzzle: Puzzle, view: View, frame: Frame, style: Style, places: CandidatePlaces
) -> Iterator[Mark]:
    """The digits written in each cell."""
    canvas, size = puzzle.canvas, frame.size
    given = {fact.variable: fact.value for fact in puzzle.givens}
    struck = {*view.struck}
    ringed = {*view.ringed_candidates} - struck
    for cell in canvas.cells:
        if cell in given:
            text, room = canvas.symbols[given[cell]], places.room(cell)
            yield _digit(frame, cell, text, style.ink, True, "given", room)
        elif cell in view.placed:
            yield from _digit_on_plate(
                frame, cell, canvas.symbols[view.placed[cell]], style, places
            )
        elif cell in view.differing:
            texts = [canvas.symbols[digit] for digit in view.differing[cell]]
            yield from _split(frame, cell, texts, style, places.room(cell))
        elif cell in view.digits:
            text, room = canvas.symbols[view.digits[cell]], places.room(cell)
            yield _digit(frame, cell, text, style.answer, False, "digit", room)
        elif cell in view.candidates:
            for digit in sorted(view.candidates[cell]):
                x, y, pitch = places.of_digit(cell, digit)
                em = places.size(pitch)
                bold = (cell, digit) in ringed
                colour = style.ink if bold else style.quiet
                if (cell, digit) in struck:
                    # What is concluded stands light on dark, as a digit that is placed does.
                    yield Disc(x, y, RING * pitch, None, style.ink, "struck")
                    colour, bold = style.paper, True
                text = canvas.symbols[digit]
                yield Text(x, y + CAPITAL / 2 * em, text, em, colour, bold, role="candidate")
        if cell in view.doubled:
            x, y = frame.within(cell, 0.84, 0.24)
            em = 0.22 * size
            yield Text(x, y, "×2", em, style.ink, True, role="doubled")


def _digit(
    frame: Frame, cell: Cell, text: str, colour: str, bold: bool, role: str, room: Room
) -> Text:
    """A digit in the middle; smaller and moved away if there is a total or a tag in a corner."""
    size, spot = 0.63, (0.5, 0.5)
    if room.bottom < 0.7:
        size, spot = 0.5, (0.44, 0.42)
    elif room.top > 0.25:
        size, spot = 0.6, (0.5, 0.53)
    em = size * frame.size
    x, y = frame.within(cell, *spot)
    return Text(x, y + CAPITAL / 2 * em, text, em, colour, bold, role=role)


def _digit_on_plate(
    frame: Frame, cell: Cell, text: str, style: Style, places: CandidatePlaces
) -> Iterator[Mark]:
    """A digit on a plate, as large as the free part of the cell allows."""
    room = places.room(cell)
    upper, lower = max(0.12, room.top), min(0.88, room.bottom)
    share = (lower - upper) / 0.76
    left, top = frame.within(cell, 0.5 - 0.34 * share, upper)
    wide, high = 0.68 * share * frame.size, (lower - upper) * frame.size
    yield Box(left, top, wide, high, 0.14 * share * frame.size, None, style.ink, "placed")
    em = 0.63 * share * frame.size
    x, y = left + wide / 2, top + high / 2
    yield Text(x, y + CAPITAL / 2 * em, text, em, style.paper, True, role="placed digit")


def _split(
    frame: Frame, cell: Cell, texts: Sequence[str], style: Style, room: Room
) -> Iterator[Mark]:
    """Two digits on either side of a line from corner to corner, clear of the other corners."""
    ends = (frame.within(cell, 0.06, 0.94), frame.within(cell, 0.94, 0.06))
    yield Lines((ends,), Stroke(style.ink, 0.025 * frame.size), role="split")
    free = (room.top <= 0.2, room.bottom >= 0.8)
    spots = (
        (0.29, 0.29) if free[0] else (0.24, 0.46),
        (0.71, 0.71) if free[1] else (0.77, 0.5),
    )
    em = (0.4 if all(free) else 0.32) * frame.size
    for text, spot in zip(texts, spots, strict=True):
        x, y = frame.within(cell, *spot)
        yield Text(x, y + CAPITAL / 2 * em, text, em, style.ink, True, role="differing digit")


def frames(view: View, frame: Frame, style: Style) -> Iterator[Mark]:
    """The brackets of houses and rings of cells, below whatever is drawn at the edges of cells."""
    size = frame.size
    for house in view.houses:
        ends = tuple(frame.points(path) for path in bracket(house.cells))
        yield Lines(ends, Stroke(style.ink, BRACKET * size), role="house bracket")
    for cell in sorted({*view.ringed}):
        left, top = frame.within(cell, 0.07, 0.07)
        ring = Stroke(style.ink, 0.05 * size)
        yield Box(left, top, 0.86 * size, 0.86 * size, 0.26 * size, ring, None, "ring")


def sights(view: View, frame: Frame, style: Style, written: Container[Cell]) -> Iterator[Mark]:
    """A light line from each digit that blocks to a cell that it blocks, below all text.

    It ends in a bar just inside that cell.
    """
    size = frame.size
    stroke = Stroke(mix(style.ink, style.paper, 0.5), 0.026 * size, cap="butt")
    for start, end in view.sights:
        down, right = end.row - start.row, end.column - start.column
        whole = max(abs(down), abs(right))
        first, last = SIGHT_GAP / whole, 1 - SIGHT_GAP / whole
        ways = [(0.5 + right * share, 0.5 + down * share) for share in (first, last)]
        path = [frame.within(start, *way) for way in ways]
        gaps = [frame.within(cell) for cell in _between(start, end) if cell in written]
        pieces = cut_out(path, gaps, DIGIT_GAP * size)
        reach = 0.11 * size / hypot(down, right)
        x, y = path[1]
        bar = ((x - reach * down, y + reach * right), (x + reach * down, y - reach * right))
        yield Lines((*pieces, bar), stroke, role="sight")


def join_lines(view: View, frame: Frame, style: Style, places: CandidatePlaces) -> Iterator[Mark]:
    """The lines between candidates: a strong link solid, a weak one dashed, what is seen thin and grey.

    They bend away from the digits that lie between, and end at the rings.
    """
    for one in sorted(view.joins, key=lambda join: join.kind):
        (x, y, pitch), (right, down, _) = places.of_digit(*one.start), places.of_digit(*one.end)
        size = frame.size
        same = one.start[0] == one.end[0]
        path = bent_line((x, y), (right, down), 0.0 if same else BOW, RING * pitch)
        dash = (0.09 * size, 0.07 * size) if one.kind == "weak" else ()
        if one.kind == "sight":
            stroke = Stroke(mix(style.ink, style.paper, 0.45), 0.02 * size)
        else:
            stroke = Stroke(style.ink, JOIN * size, dash, "butt" if dash else "round")
        yield Lines((path,), stroke, role=f"{one.kind} link" if one.kind != "sight" else "sight")


def _between(start: Cell, end: Cell) -> Iterator[Cell]:
    """The cells on a straight way, if it goes along a row or a column."""
    if start.row == end.row:
        low, high = sorted((start.column, end.column))
        yield from (Cell(start.row, column) for column in range(low + 1, high))
    elif start.column == end.column:
        low, high = sorted((start.row, end.row))
        yield from (Cell(row, start.column) for row in range(low + 1, high))


def pointed_out(view: View, frame: Frame, style: Style, places: CandidatePlaces) -> Iterator[Mark]:
    """The rings and strikes of candidates, to be painted over everything else."""
    struck = {*view.struck}
    # A digit that is placed stands on its plate, if it was a candidate.
    for cell, digit in sorted({*view.ringed_candidates} - struck):
        if cell in view.placed:
            continue
        x, y, pitch = places.of_digit(cell, digit)
        ring = Stroke(style.ink, RING_LINE * pitch)
        yield Disc(x, y, RING * pitch, ring, None, "candidate ring")
    for cell, digit in sorted(struck):
        # Falling, since the strokes of 1, 2, 4 and 7 rise; and right across the disc.
        x, y, pitch = places.of_digit(cell, digit)
        em = places.size(pitch)
        bar = ((x - 0.48 * em, y - 0.48 * em), (x + 0.48 * em, y + 0.48 * em))
        yield Lines((bar,), Stroke(style.paper, STRIKE * em, cap="butt"), role="strike")
