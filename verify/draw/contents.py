"""What stands in the cells, and what points at it: digits, candidates, rings and strikes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import ceil, isqrt

from gridassay.encodings.grid import Canvas, Cell
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.draw.frame import Frame
from gridassay.verify.draw.geometry import inset, outlines
from gridassay.verify.draw.marks import Box, Disc, Lines, Mark, Stroke, Text
from gridassay.verify.draw.style import Style
from gridassay.verify.draw.text_size import CAPITAL
from gridassay.verify.draw.view import View


@dataclass(frozen=True)
class CandidatePlaces:
    """Where candidates stand: each digit in a place of its own, in rows across the cell.

    ``top`` is where the rows begin and ``high`` how many there are.
    """

    digits: tuple[int, ...]
    frame: Frame
    wide: int
    high: int
    top: float

    @classmethod
    def of(cls, canvas: Canvas, frame: Frame, *, below_label: bool) -> CandidatePlaces:
        """The places for a canvas; lower in the cell where cages write into its corner."""
        wide = isqrt(len(canvas.digits) - 1) + 1
        high = ceil(len(canvas.digits) / wide)
        return cls(canvas.digits, frame, wide, high, 0.265 if below_label else 0.12)

    def of_digit(self, cell: Cell, digit: int) -> tuple[float, float, float]:
        """The centre of a candidate, and its size."""
        row, column = divmod(self.digits.index(digit), self.wide)
        room = 0.905 - self.top
        x, y = self.frame.within(
            cell, 0.1 + 0.8 * (column + 0.5) / self.wide, self.top + room * (row + 0.5) / self.high
        )
        return x, y, 0.93 * min(0.8 / self.wide, room / self.high) * self.frame.size


def contents(
    puzzle: Puzzle, view: View, frame: Frame, style: Style, places: CandidatePlaces
) -> Iterator[Mark]:
    """What is written in each cell."""
    canvas, size = puzzle.canvas, frame.size
    given = {fact.variable: fact.value for fact in puzzle.givens}
    struck = set(view.struck)
    for cell in canvas.cells:
        if cell in given:
            yield _digit(frame, cell, canvas.symbols[given[cell]], style.ink, True, "given")
        elif cell in view.placed:
            left, top = frame.within(cell, 0.14, 0.12)
            yield Box(left, top, 0.72 * size, 0.76 * size, 0.14 * size, None, style.ink, "placed")
            text = canvas.symbols[view.placed[cell]]
            yield _digit(frame, cell, text, style.paper, True, "placed digit")
        elif cell in view.differing:
            yield from _split(frame, cell, [canvas.symbols[d] for d in view.differing[cell]], style)
        elif cell in view.digits:
            yield _digit(
                frame, cell, canvas.symbols[view.digits[cell]], style.answer, False, "digit"
            )
        elif cell in view.candidates:
            for digit in sorted(view.candidates[cell]):
                x, y, em = places.of_digit(cell, digit)
                loud = (cell, digit) in struck or (cell, digit) in view.ringed_candidates
                colour = style.ink if loud else style.quiet
                text = canvas.symbols[digit]
                yield Text(x, y + CAPITAL / 2 * em, text, em, colour, loud, role="candidate")
        if cell in view.doubled:
            x, y = frame.within(cell, 0.84, 0.24)
            em = 0.22 * size
            yield Text(x, y, "×2", em, style.ink, True, role="doubled")


def _digit(frame: Frame, cell: Cell, text: str, colour: str, bold: bool, role: str) -> Text:
    em = 0.63 * frame.size
    x, y = frame.within(cell)
    return Text(x, y + CAPITAL / 2 * em, text, em, colour, bold, role=role)


def _split(frame: Frame, cell: Cell, texts: Sequence[str], style: Style) -> Iterator[Mark]:
    ends = (frame.within(cell, 0.06, 0.94), frame.within(cell, 0.94, 0.06))
    yield Lines((ends,), Stroke(style.ink, 0.025 * frame.size), role="split")
    em = 0.4 * frame.size
    for text, place in zip(texts, (0.29, 0.71), strict=True):
        x, y = frame.within(cell, place, place)
        yield Text(x, y + CAPITAL / 2 * em, text, em, style.ink, True, role="differing digit")


def pointed_out(view: View, frame: Frame, style: Style, places: CandidatePlaces) -> Iterator[Mark]:
    """The frames, rings and strikes of a reason, to be painted over everything else."""
    size = frame.size
    for house in view.houses:
        loops = tuple(frame.points(inset(path, 0.0)) for path in outlines(house.cells))
        yield Lines(loops, Stroke(style.ink, 0.1 * size), closed=True, role="house frame")
        yield Lines(loops, Stroke(style.paper, 0.03 * size), closed=True)
    for cell in sorted(view.ringed):
        left, top = frame.within(cell, 0.07, 0.07)
        ring = Stroke(style.ink, 0.05 * size)
        yield Box(left, top, 0.86 * size, 0.86 * size, 0.26 * size, ring, None, "ring")
    for cell, digit in sorted(view.ringed_candidates):
        x, y, em = places.of_digit(cell, digit)
        yield Disc(x, y, 0.5 * em, Stroke(style.ink, 0.022 * size), None, "candidate ring")
    for cell, digit in sorted(view.struck):
        x, y, em = places.of_digit(cell, digit)
        reach = 0.46 * em
        bar = ((x - reach, y + reach * 0.75), (x + reach, y - reach * 0.75))
        yield Lines((bar,), Stroke(style.ink, 0.03 * size), role="strike")
