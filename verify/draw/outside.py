"""Clues next to the grid: finding a place for each, and drawing it there as a tag."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from math import hypot

from gridassay.encodings.grid import Cell
from gridassay.encodings.rules.base import Shape
from gridassay.verify.draw.geometry import arrowhead
from gridassay.verify.draw.marks import Lines, Mark
from gridassay.verify.draw.shapes import Pen, tag_size

_SIZE, _ROOM, _GAP = 0.32, 0.86, 0.12


@dataclass(frozen=True)
class TagPlace:
    """The middle of a tag and its width and height, counted in cells."""

    x: float
    y: float
    width: float
    height: float

    def meets(self, other: TagPlace) -> bool:
        """Whether two tags would touch."""
        return (
            abs(self.x - other.x) < (self.width + other.width) / 2 + 0.04
            and abs(self.y - other.y) < (self.height + other.height) / 2 + 0.04
        )


def places(shapes: Sequence[Shape], cells: Collection[Cell]) -> list[TagPlace]:
    """The place of each outside mark.

    Each is next to its first cell, on the side that its direction comes from; one that would touch
    an earlier one is moved outwards. If other cells are there (grids that overlap), it is on the
    edge between.
    """
    found: dict[int, TagPlace] = {}
    # Those with an arrow come first and the others give way, so that no arrow crosses a tag.
    for number, shape in sorted(enumerate(shapes), key=lambda one: not all(one[1].direction)):
        first, (down, right) = shape.cells[0], _direction(shape)
        _, wide, high = tag_size(shape.label, _SIZE, _ROOM)
        x, y = first.column - 0.5, first.row - 0.5
        step = 1 / hypot(down, right)
        if first.step(-down, -right) in cells:
            out = 0.5
        elif down and right:
            out = 0.5 + 0.2 + min(wide, 0.5) / 2
        else:
            out = 0.5 + _GAP + (wide if right else high) / 2
        while True:
            place = TagPlace(x - out * right, y - out * down, wide, high)
            if not any(place.meets(other) for other in found.values()):
                break
            out += 0.1 * step
        found[number] = place
    return [found[number] for number in range(len(shapes))]


def _direction(shape: Shape) -> tuple[int, int]:
    """The direction in which it is read: from the left, if it names none."""
    return shape.direction if any(shape.direction) else (0, 1)


def outside_tag(shape: Shape, place: TagPlace, pen: Pen) -> list[Mark]:
    """The tag of an outside mark, with an arrow to its first cell if it runs diagonally."""
    marks: list[Mark] = []
    middle = pen.frame.point(place.x, place.y)
    down, right = _direction(shape)
    if down and right:
        first = shape.cells[0]
        tip = pen.frame.within(first, 0.5 - 0.47 * right, 0.5 - 0.47 * down)
        marks.append(Lines(((middle, tip),), pen.stroke(0.04)))
        marks.append(Lines((arrowhead(middle, tip, 0.15 * pen.frame.size),), pen.stroke(0.04)))
    return marks + pen.tag(middle, shape.label, _SIZE, room=_ROOM)
