"""A rule's shape as marks: one function per form, for any kind of rule.

Each form is drawn in layers, which the scene paints across all rules: *ground* lies below the lines
of the grid, *above* over them, so that a hatch never hides an edge and a dot is never cut by one.
Sizes are shares of a cell.
"""

from __future__ import annotations

from collections.abc import Callable, Container, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Literal, get_args

from gridassay.encodings.grid import Cell
from gridassay.encodings.rules.base import Shape, ShapeForm
from gridassay.verify.draw.colour import BLACK, WHITE, luminance, mix
from gridassay.verify.draw.frame import Frame
from gridassay.verify.draw.geometry import arrowhead, cut_out, hatch, inset, outlines, toward
from gridassay.verify.draw.marks import Box, Disc, Lines, Mark, Point, Stroke, Text
from gridassay.verify.draw.style import Look, Plate, Style
from gridassay.verify.draw.text_size import CAPITAL, text_width

Layer = Literal["ground", "above", "label"]

RIBBON, BULB, RING = 0.27, 0.37, 0.36
HEAD = 0.31
"""The radius of a bulb at the head of a line; the bulb of an arrow in the same cell shows round it."""
DIGIT_GAP = 0.32
"""The distance from the middle of a cell with a digit at which a line ends, clear of the digit."""
CAGE_INSET = 0.085
CAGE_LABEL = 0.255
CAGE_LABEL_END = 0.285
"""How far down its cell the total of a cage reaches, with a little air."""
CELL_LABEL_TOP = 0.65
"""How far down its cell the tag of a cell begins, likewise."""


@dataclass(frozen=True)
class Pen:
    """The context of shapes: the frame, the style and the look of the rule's kind.

    Lines leave a gap in the ``written`` cells; ``grounds`` are the cells that are not on
    bare paper, with their colours. ``labels`` is the number of totals that the cell of a cage's total
    already has.
    """

    frame: Frame
    style: Style
    look: Look
    written: Container[Cell] = ()
    grounds: Mapping[Cell, str] = field(default_factory=dict)
    labels: int = 0

    def stroke(self, width: float, *, dashed: bool = False) -> Stroke:
        """A line in the ink of the look; its width is a fraction of a cell's."""
        size = width * self.frame.size
        dash = tuple(length * size for length in self.look.dash) if dashed else ()
        return Stroke(self.look.ink, size, dash, "butt" if dash else "round")

    def label(
        self, place: Point, text: str, size: float, colour: str | None = None, *, bold: bool = True
    ) -> Text:
        """Text centred on a place, its size a share of a cell."""
        em = size * self.frame.size
        baseline = place[1] + CAPITAL / 2 * em
        return Text(place[0], baseline, text, em, colour or self.style.ink, bold, role="label")

    def tag(self, place: Point, text: str, size: float, *, room: float = 0.9) -> list[Mark]:
        """A label in a rounded plate of the look's tint, made smaller if there is not enough room."""
        cell = self.frame.size
        size, wide, high = tag_size(text, size, room)
        plate = self._plate(place, wide * cell, high * cell)
        return [plate, self.label(place, text, size)]

    def _plate(self, middle: Point, wide: float, high: float) -> Mark:
        stroke, tint, form = self.stroke(0.024), self.look.tint, self.look.plate
        left, top = middle[0] - wide / 2, middle[1] - high / 2
        if form in _ROUNDING:
            return Box(left, top, wide, high, _ROUNDING[form] * high, stroke, tint)
        # The corners are cut: shallow all round, or down to a point at either end.
        across, down = (0.24, 0.24) if form == "cut" else (0.2, 0.5)
        x, y = across * high, down * high
        right, bottom = left + wide, top + high
        corners = (
            (left + x, top),
            (right - x, top),
            (right, top + y),
            (right, bottom - y),
            (right - x, bottom),
            (left + x, bottom),
            (left, bottom - y),
            (left, top + y),
        )
        return Lines((corners,), stroke, tint, closed=True)


_ROUNDING: dict[Plate, float] = {"rounded": 0.26, "square": 0.0, "pill": 0.5}
"""The radius of a plate's corners in shares of its height."""


def tag_size(text: str, size: float, room: float) -> tuple[float, float, float]:
    """The size of a tag's text that fits the room, and the width and height of its plate."""
    wide = text_width(text, size, bold=True) + 0.5 * size
    if wide > room:
        size, wide = size * room / wide, room
    return size, max(wide, 1.32 * size), 1.32 * size


def draw_shape(shape: Shape, pen: Pen) -> dict[Layer, list[Mark]]:
    """The marks of a shape by layer. Outside marks, which compete for room, are not drawn here."""
    drawn = _FORMS[shape.form](shape, pen) if shape.form in _FORMS else {}
    return {layer: drawn.get(layer, []) for layer in get_args(Layer)}


def _line(shape: Shape, pen: Pen) -> dict[Layer, list[Mark]]:
    frame, look, cell = pen.frame, pen.look, pen.frame.size
    centres = [frame.within(place) for place in shape.cells]
    if shape.first_end == shape.last_end == "bulb":
        return {"ground": _capsule(centres, pen)}
    marks: list[Mark] = []
    path = list(centres)
    written = [frame.within(place) for place in shape.cells if place in pen.written]
    gap = DIGIT_GAP * cell
    if shape.last_end == "arrow" and len(path) > 1:
        # The head lies on the cell it points at, or stops before the digit there.
        beyond = gap if shape.cells[-1] in pen.written else -0.22 * cell
        barbs = arrowhead(path[-2], toward(path[-1], path[-2], beyond), 0.26 * cell)
        path[-1] = barbs[1]
        shaft = cut_out(path, [place for place in written if place != centres[-1]], gap)
        marks.append(Lines(shaft, pen.stroke(0.055)))
        marks.append(Lines((barbs,), pen.stroke(0.055)))
    elif len(path) > 1:
        ribbon = Stroke(look.tint, RIBBON * look.width * cell)
        marks.append(Lines((tuple(path),), ribbon, closed=shape.closed))
        if written:
            way = [*path, path[0]] if shape.closed else path
            middle = Lines(cut_out(way, written, gap), pen.stroke(0.05, dashed=True))
        else:
            middle = Lines((tuple(path),), pen.stroke(0.05, dashed=True), closed=shape.closed)
        marks.append(middle)
    for end, centre in ((shape.first_end, centres[0]), (shape.last_end, centres[-1])):
        if end == "bulb":
            marks.append(Disc(*centre, HEAD * cell, pen.stroke(0.045), look.tint))
        elif end == "circle":
            marks.append(Disc(*centre, RING * cell, pen.stroke(0.045), pen.style.paper))
    return {"ground": marks}


def _capsule(centres: Sequence[Point], pen: Pen) -> list[Mark]:
    """A bulb round one cell or several."""
    cell = pen.frame.size
    if len(centres) == 1:
        return [Disc(*centres[0], BULB * cell, pen.stroke(0.045), pen.look.tint)]
    route = (tuple(centres),)
    outer = Stroke(pen.look.ink, (2 * BULB + 0.045) * cell)
    inner = Stroke(pen.look.tint, (2 * BULB - 0.045) * cell)
    return [Lines(route, outer), Lines(route, inner)]


def _cage(shape: Shape, pen: Pen) -> dict[Layer, list[Mark]]:
    frame, cell = pen.frame, pen.frame.size
    loops = tuple(frame.points(inset(path, CAGE_INSET)) for path in outlines(shape.cells))
    border = Lines(loops, pen.stroke(0.034, dashed=True), closed=True)
    if not shape.label:
        return {"above": [border]}
    # The label interrupts the border at the top left corner of its first cell in reading order; a
    # second one there stands at the right, and further ones below.
    first = min(shape.cells)
    wide = text_width(shape.label, CAGE_LABEL, bold=True)
    down, right = divmod(pen.labels, 2)
    left, top = frame.within(first, 0.88 - wide if right else 0.05, 0.04 + 0.23 * min(down, 3))
    ground = pen.grounds.get(first, pen.style.paper)
    patch = Box(left, top, (wide + 0.07) * cell, 0.23 * cell, fill=ground)
    em = CAGE_LABEL * cell
    text = Text(
        left + 0.025 * cell,
        top + (0.115 + CAPITAL * CAGE_LABEL / 2) * cell,
        shape.label,
        em,
        pen.style.ink,
        bold=True,
        anchor="start",
        role="label",
    )
    return {"above": [border], "label": [patch, text]}


def _edge_mark(shape: Shape, pen: Pen) -> dict[Layer, list[Mark]]:
    return {"above": _dot(shape, _middle(shape.cells, pen.frame), pen)}


def _dot(shape: Shape, place: Point, pen: Pen) -> list[Mark]:
    """A mark between two cells: a dot, open or full, a sign, or letters."""
    cell = pen.frame.size
    if shape.label in _SIGNS:
        return _sign(shape.label, place, pen)
    radius = (_LABELLED_DOT if shape.label else _DOT) * cell
    if shape.figure == "full dot":
        # A full dot is darker than any page, and what it lies on shows all round it.
        edge = pen.stroke(_DOT_LINE)
        if luminance(pen.style.paper) < luminance(pen.style.ink):
            edge = replace(edge, colour=pen.style.ink)
        marks: list[Mark] = [Disc(*place, radius, edge, BLACK)]
        colour = WHITE
    elif shape.figure:
        marks = [Disc(*place, radius, pen.stroke(_DOT_LINE), WHITE)]
        colour = BLACK
    else:
        return pen.tag(place, shape.label, _EDGE_TAG, room=_EDGE_ROOM)
    if shape.label:
        size = min(0.27, 0.27 * 0.27 / text_width(shape.label, 0.27, bold=True))
        marks.append(pen.label(place, shape.label, size, colour))
    return marks


_DOT, _LABELLED_DOT, _DOT_LINE = 0.125, 0.17, 0.045
_SIGN_PLATE = 0.17
_EDGE_TAG, _EDGE_ROOM = 0.27, 0.62
_SMALL_CORNER, _CORNER = 0.16, 0.225


def edge_reach(shape: Shape) -> tuple[float, float]:
    """How far an edge mark reaches across and down from its middle, in cells, with a little air."""
    if shape.label in _SIGNS:
        return _SIGN_PLATE, _SIGN_PLATE
    if shape.figure:
        reach = (_LABELLED_DOT if shape.label else _DOT) + _DOT_LINE / 2 + 0.01
        return reach, reach
    _, wide, high = tag_size(shape.label, _EDGE_TAG, _EDGE_ROOM)
    return wide / 2 + 0.025, high / 2 + 0.025


def corner_reach(shape: Shape) -> float:
    """How much of two sides of a cell is kept free so that a corner mark touches no candidate."""
    return 0.1 if len(shape.label.split()) == 1 else 0.15


_SIGNS: dict[str, tuple[Point, ...]] = {
    ">": ((-0.07, -0.12), (0.08, 0), (-0.07, 0.12)),
    "<": ((0.07, -0.12), (-0.08, 0), (0.07, 0.12)),
    "∨": ((-0.12, -0.07), (0, 0.08), (0.12, -0.07)),
    "∧": ((-0.12, 0.07), (0, -0.08), (0.12, 0.07)),
    "↑": ((-0.075, -0.035), (0, -0.11), (0, 0.11), (0, -0.11), (0.075, -0.035)),
    "↓": ((-0.075, 0.035), (0, 0.11), (0, -0.11), (0, 0.11), (0.075, 0.035)),
}
"""Signs drawn as lines, which look the same whatever the font has."""


def _sign(sign: str, place: Point, pen: Pen) -> list[Mark]:
    cell = pen.frame.size
    bent = tuple((place[0] + x * cell, place[1] + y * cell) for x, y in _SIGNS[sign])
    plate = Disc(*place, _SIGN_PLATE * cell, fill=pen.style.paper)
    return [plate, Lines((bent,), pen.stroke(0.06 if sign in "<>∧∨" else 0.045))]


def _corner_mark(shape: Shape, pen: Pen) -> dict[Layer, list[Mark]]:
    place, cell = _middle(shape.cells, pen.frame), pen.frame.size
    words = shape.label.split()
    rows = (
        [words]
        if len(words) <= 2
        else [words[: (len(words) + 1) // 2], words[-(len(words) // 2) :]]
    )
    size = 0.22
    radius = _SMALL_CORNER if len(words) == 1 else _CORNER
    marks: list[Mark] = [Disc(*place, radius * cell, pen.stroke(0.03), pen.style.paper)]
    for number, row in enumerate(rows):
        down = (number - (len(rows) - 1) / 2) * 0.185 * cell
        text = " ".join(row)
        fitted = min(size, size * 0.36 / text_width(text, size, bold=True))
        marks.append(pen.label((place[0], place[1] + down), text, fitted))
    return {"above": marks}


def _cell_mark(shape: Shape, pen: Pen) -> dict[Layer, list[Mark]]:
    ground: list[Mark] = []
    above: list[Mark] = []
    for place in shape.cells:
        ground += _figure(shape.figure, place, pen)
        if shape.label:
            corner = pen.frame.within(place, 0.8, 0.83)
            if shape.label in _SIGNS:
                above += _sign(shape.label, corner, pen)
            else:
                right = 0.95 - min(0.9, text_width(shape.label, 0.22, bold=True) + 0.11) / 2
                spot = pen.frame.within(place, min(0.81, right), 0.82)
                above += pen.tag(spot, shape.label, 0.22)
    return {"ground": ground, "above": above}


def _figure(figure: str, place: Cell, pen: Pen) -> list[Mark]:
    cell, look = pen.frame.size, pen.look
    centre = pen.frame.within(place)
    if figure == "shade":
        left, top = pen.frame.within(place, 0, 0)
        lines = tuple(hatch(left, top, cell, look.hatch, 0.17 * cell))
        ground = Box(left, top, cell, cell, fill=mix(look.tint, pen.style.paper, 0.55))
        return [ground, Lines(lines, Stroke(look.ink, 0.012 * cell, cap="butt"))]
    if figure == "square":
        left, top = pen.frame.within(place, 0.14, 0.14)
        side = 0.72 * cell
        return [Box(left, top, side, side, 0.06 * cell, pen.stroke(0.03), look.tint)]
    if figure == "disc":
        return [Disc(*centre, 0.38 * cell, pen.stroke(0.03), look.tint)]
    if figure == "circle":
        return [Disc(*centre, 0.4 * cell, pen.stroke(0.045), pen.style.paper)]
    return []


def _middle(cells: Sequence[Cell], frame: Frame) -> Point:
    centres = [frame.within(cell) for cell in cells]
    count = len(centres)
    return sum(x for x, _ in centres) / count, sum(y for _, y in centres) / count


_FORMS: dict[ShapeForm, Callable[[Shape, Pen], dict[Layer, list[Mark]]]] = {
    "line": _line,
    "cage": _cage,
    "edge mark": _edge_mark,
    "corner mark": _corner_mark,
    "cell mark": _cell_mark,
}
