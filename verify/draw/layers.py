"""Layers in print: shadings as tints, each with its own sign, lines of loops, walls of regions.

Given values are drawn at full strength in the ink of the grid, found values in a lighter hand,
like digits. Each sign is a hatch in its own direction, so that values differ in a copy without
colour; in a shading with two values the second one has only a dot.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping

from gridassay.encodings.grid import Cell
from gridassay.encodings.puzzle import Puzzle
from gridassay.encodings.variables import Edge, Link, Shade, Together, Variable
from gridassay.verify.draw.colour import mix
from gridassay.verify.draw.frame import Frame
from gridassay.verify.draw.geometry import cut_out
from gridassay.verify.draw.marks import Box, Disc, Group, Lines, Mark, Picture, Point, Stroke
from gridassay.verify.draw.shapes import DIGIT_GAP
from gridassay.verify.draw.style import Style
from gridassay.verify.draw.view import View

_FALLING, _RISING, _LYING, _STANDING = "falling", "rising", "lying", "standing"
_SIGNS: tuple[tuple[str, ...], ...] = (
    (_FALLING,),
    ("dot",),
    (_RISING,),
    (_LYING,),
    (_STANDING,),
    (_FALLING, _RISING),
    ("ring",),
    (_LYING, _STANDING),
    ("dot", _FALLING),
)
"""The sign in a cell of each value, in the order of the values."""


def layer_grounds(puzzle: Puzzle, view: View, frame: Frame, style: Style) -> Iterator[Mark]:
    """The tints and signs of shadings, below everything else."""
    known, given = _known_values(puzzle, view)
    names = [layer.name for layer in puzzle.layers]
    for variable, value in known.items():
        if isinstance(variable, Shade):
            place = names.index(variable.layer)
            marks = shade(place, value, variable.cell, variable in given, frame, style)
            yield Group("layer", str(variable), tuple(marks))
            if variable in view.layers_new:
                left, top = frame.within(variable.cell, 0.07, 0.07)
                side, stroke = 0.86 * frame.size, Stroke(style.ink, 0.05 * frame.size)
                yield Box(left, top, side, side, stroke=stroke, role="found now")
    for apart in view.layers_apart:
        if isinstance(apart, Shade):
            left, top = frame.within(apart.cell, 0, 0)
            yield Box(left, top, frame.size, frame.size, fill=style.wash, role="differing")


def layer_lines(
    puzzle: Puzzle, view: View, frame: Frame, style: Style, written: Collection[Cell] = ()
) -> Iterator[Mark]:
    """Loops, paths and the walls between regions, above the lines of the grid.

    A line leaves room for the digits of the cells that are ``written`` in.
    """
    known, given = _known_values(puzzle, view)
    names = [layer.name for layer in puzzle.layers]
    for variable, value in known.items():
        if isinstance(variable, Shade):
            continue
        colour = style.palette[(names.index(variable.layer) + 1) % len(style.palette)]
        strong = variable in given or variable in view.layers_new
        ink = style.ink if strong else mix(colour, style.ink, 0.35)
        marks = _line(variable, value, ink, frame, strong, written)
        if marks:
            yield Group("layer", str(variable), tuple(marks))
    for apart in view.layers_apart:
        if not isinstance(apart, Shade):
            ends = _ends(apart, frame)
            stroke = Stroke(style.quiet, 0.05 * frame.size, (0.06 * frame.size, 0.12 * frame.size))
            yield Lines((ends,), stroke, role="differing")


def _known_values(
    puzzle: Puzzle, view: View
) -> tuple[dict[Shade | Link | Edge | Together, int], set[Variable]]:
    """The values of layers that are shown, and the variables among them that are given."""
    given = {
        fact.variable: fact.value
        for fact in puzzle.givens
        if isinstance(fact.variable, Shade | Link | Edge | Together)
    }
    found: Mapping[Variable, int] = view.layers
    known = {
        v: n for v, n in found.items() if isinstance(v, Shade | Link | Edge | Together)
    } | given
    return known, set(given)


def shade(
    place: int, value: int, cell: Cell, given: bool, frame: Frame, style: Style
) -> Iterator[Mark]:
    """Draw one value of a shading in a cell. ``place`` is the index of the layer in the puzzle."""
    number = value % len(_SIGNS)
    colour = style.palette[(place + number) % len(style.palette)]
    left, top = frame.within(cell, 0, 0)
    size = frame.size
    yield Box(
        left, top, size, size, fill=mix(colour, style.paper, 0.5 if given else 0.74), role="shade"
    )
    ink = mix(colour, style.ink, 0.5) if given else mix(colour, style.paper, 0.25)
    stroke = Stroke(ink, (0.035 if given else 0.02) * size, cap="butt")
    for sign in _SIGNS[number]:
        if sign in ("dot", "ring"):
            x, y = frame.within(cell, 0.13, 0.87)
            fill = ink if sign == "dot" else None
            yield Disc(x, y, 0.055 * size, stroke, fill, role="sign")
        else:
            yield Lines(tuple(_hatch(sign, cell, frame)), stroke, role="sign")
    if given:
        x, y = frame.within(cell, 0.04, 0.04)
        yield Box(x, y, 0.92 * size, 0.92 * size, stroke=Stroke(ink, 0.03 * size), role="given")


def tint(place: int, value: int, style: Style, size: float = 4.0) -> Picture:
    """A value of a shading by itself, in a cell ``size`` millimetres wide."""
    margin = 0.1 * size
    marks = shade(place, value, Cell(1, 1), True, Frame(size, margin, margin), style)
    wide = size + 2 * margin
    return Picture(wide, wide, tuple(marks), style.paper, style.font, "")


def _hatch(direction: str, cell: Cell, frame: Frame) -> Iterator[tuple[Point, Point]]:
    """Lines across a cell, four per cell, that continue in the next one."""
    if direction == _LYING:
        for part in (0.125, 0.375, 0.625, 0.875):
            yield frame.within(cell, 0, part), frame.within(cell, 1, part)
    elif direction == _STANDING:
        for part in (0.125, 0.375, 0.625, 0.875):
            yield frame.within(cell, part, 0), frame.within(cell, part, 1)
    else:
        for start in (-0.75, -0.5, -0.25, 0.0, 0.25, 0.5, 0.75):
            low, high = max(0.0, start), min(1.0, 1.0 + start)
            if direction == _FALLING:
                yield frame.within(cell, low, low - start), frame.within(cell, high, high - start)
            else:
                yield (
                    frame.within(cell, 1 - low, low - start),
                    frame.within(cell, 1 - high, high - start),
                )


def _line(
    variable: Link | Edge | Together,
    value: int,
    ink: str,
    frame: Frame,
    given: bool,
    written: Collection[Cell],
) -> list[Mark]:
    size = frame.size
    ends = _ends(variable, frame)
    if isinstance(variable, Together):
        if value:
            return [_between(variable, ink, frame)] if given else []
        return [Lines((ends,), Stroke(ink, (0.075 if given else 0.06) * size), role="region wall")]
    if value:
        stroke = Stroke(ink, (0.11 if given else 0.085) * size)
        gaps = []
        if isinstance(variable, Link):
            both = (variable.first, variable.second)
            gaps = [frame.within(cell) for cell in both if cell in written]
        return [Lines(cut_out(ends, gaps, DIGIT_GAP * size), stroke, role="line")]
    if not given:
        return []
    x, y = (ends[0][0] + ends[1][0]) / 2, (ends[0][1] + ends[1][1]) / 2
    arm = 0.06 * size
    cross = (((x - arm, y - arm), (x + arm, y + arm)), ((x - arm, y + arm), (x + arm, y - arm)))
    return [Lines(cross, Stroke(ink, 0.03 * size), role="no line")]


def _between(variable: Together, ink: str, frame: Frame) -> Mark:
    """A short bar across the side of two cells that are given to lie in one region."""
    one, other = frame.within(variable.first), frame.within(variable.second)
    x, y = (one[0] + other[0]) / 2, (one[1] + other[1]) / 2
    right, down = (other[0] - one[0]) * 0.12, (other[1] - one[1]) * 0.12
    stroke = Stroke(ink, 0.05 * frame.size)
    return Lines((((x - right, y - down), (x + right, y + down)),), stroke, role="one region")


def _ends(variable: Variable, frame: Frame) -> tuple[Point, Point]:
    """The ends of the line that is drawn for a link, an edge, or a wall."""
    if isinstance(variable, Link):
        return frame.within(variable.first), frame.within(variable.second)
    if isinstance(variable, Together):
        cell, side = (
            variable.first,
            "bottom" if variable.second.row > variable.first.row else "right",
        )
    else:
        assert isinstance(variable, Edge)
        cell = variable.cell
        if isinstance(variable.beyond, Cell):
            side = "bottom" if variable.beyond.row > cell.row else "right"
        else:
            side = variable.beyond
    corners = {
        "top": ((0, 0), (1, 0)),
        "bottom": ((0, 1), (1, 1)),
        "left": ((0, 0), (0, 1)),
        "right": ((1, 0), (1, 1)),
    }
    (a, b), (c, d) = corners[side]
    return frame.within(cell, a, b), frame.within(cell, c, d)
