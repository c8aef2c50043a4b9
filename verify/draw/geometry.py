"""Where lines run: outlines of cells taken together, hatches, arrowheads. Pure geometry."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise
from math import cos, floor, hypot, radians, sin

from gridassay.encodings.grid import Cell
from gridassay.verify.draw.marks import Point

Corner = tuple[int, int]
"""A corner of cells as (column, row), 0 at the left and the top."""


def outlines(cells: Iterable[Cell]) -> Iterator[list[Corner]]:
    """The closed outlines of some cells, given by their corners, with the cells on the right.

    Cells that touch only at a corner are kept apart there.
    """
    members = set(cells)
    onward: dict[Corner, list[Corner]] = {}
    for row, column in sorted(members):
        left, top = column - 1, row - 1
        sides = (
            (Cell(row - 1, column), (left, top), (column, top)),
            (Cell(row, column + 1), (column, top), (column, row)),
            (Cell(row + 1, column), (column, row), (left, row)),
            (Cell(row, column - 1), (left, row), (left, top)),
        )
        for beyond, start, end in sides:
            if beyond not in members:
                onward.setdefault(start, []).append(end)
    while onward:
        start = min(onward)
        path = [start]
        heading = (1, 0)
        while True:
            here = path[-1]
            nexts = onward[here]
            right = (here[0] - heading[1], here[1] + heading[0])
            there = right if right in nexts else nexts[0]
            nexts.remove(there)
            if not nexts:
                del onward[here]
            heading = (there[0] - here[0], there[1] - here[1])
            if there == start:
                break
            path.append(there)
        yield _turns(path)


def _turns(path: Sequence[Corner]) -> list[Corner]:
    kept = []
    for before, here, after in zip((path[-1], *path), path, (*path[1:], path[0]), strict=False):
        if (here[0] - before[0], here[1] - before[1]) != (after[0] - here[0], after[1] - here[1]):
            kept.append(here)
    return kept


def inset(path: Sequence[Corner], depth: float) -> list[Point]:
    """An outline moved inwards by a share of a cell, in cells."""
    moved = []
    for before, here, after in zip((path[-1], *path), path, (*path[1:], path[0]), strict=False):
        (x1, y1), (x2, y2) = _unit(before, here), _unit(here, after)
        moved.append((here[0] + depth * (-y1 - y2), here[1] + depth * (x1 + x2)))
    return moved


def _unit(start: Corner, end: Corner) -> Point:
    length = hypot(end[0] - start[0], end[1] - start[1])
    return (end[0] - start[0]) / length, (end[1] - start[1]) / length


def hatch(
    left: float, top: float, side: float, angle: float, spacing: float
) -> Iterator[tuple[Point, Point]]:
    """Parallel lines at an angle (degrees) across a square, on one raster for the whole picture."""
    across, along = (-sin(radians(angle)), cos(radians(angle))), None
    along = (cos(radians(angle)), sin(radians(angle)))
    corners = [(left, top), (left + side, top), (left, top + side), (left + side, top + side)]
    offsets = [x * across[0] + y * across[1] for x, y in corners]
    for number in range(floor(min(offsets) / spacing) + 1, floor(max(offsets) / spacing) + 1):
        offset = number * spacing
        base = (across[0] * offset, across[1] * offset)
        low, high = float("-inf"), float("inf")
        outside = False
        for axis, (start, end) in enumerate(((left, left + side), (top, top + side))):
            if abs(along[axis]) < 1e-9:
                outside = outside or not start <= base[axis] <= end
                continue
            ends = sorted((bound - base[axis]) / along[axis] for bound in (start, end))
            low, high = max(low, ends[0]), min(high, ends[1])
        if not outside and high - low > 1e-6:
            yield (
                (base[0] + along[0] * low, base[1] + along[1] * low),
                (base[0] + along[0] * high, base[1] + along[1] * high),
            )


def toward(start: Point, end: Point, distance: float) -> Point:
    """The point at this distance from the start on the way to the end."""
    length = hypot(end[0] - start[0], end[1] - start[1]) or 1.0
    share = distance / length
    return start[0] + (end[0] - start[0]) * share, start[1] + (end[1] - start[1]) * share


def cut_out(
    path: Sequence[Point], gaps: Sequence[Point], reach: float
) -> tuple[tuple[Point, ...], ...]:
    """The parts of a line of straight pieces that lie outside circles of a radius round ``gaps``."""
    pieces: list[list[Point]] = []
    for start, end in pairwise(path):
        length = hypot(end[0] - start[0], end[1] - start[1])
        hidden = sorted(filter(None, (_within(start, end, gap, reach) for gap in gaps)))
        here = 0.0
        for low, high in (*hidden, (length, length)):
            if low > here:
                first, last = toward(start, end, here), toward(start, end, low)
                if pieces and here == 0 and pieces[-1][-1] == start:
                    pieces[-1].append(last if low < length else end)
                else:
                    pieces.append([first if here else start, last if low < length else end])
            here = max(here, high)
    return tuple(map(tuple, pieces))


def _within(start: Point, end: Point, centre: Point, radius: float) -> tuple[float, float] | None:
    """The interval of a piece that lies inside a circle."""
    length = hypot(end[0] - start[0], end[1] - start[1])
    if not length:
        return None
    x, y = (end[0] - start[0]) / length, (end[1] - start[1]) / length
    along = (centre[0] - start[0]) * x + (centre[1] - start[1]) * y
    off = (centre[0] - start[0]) * y - (centre[1] - start[1]) * x
    if abs(off) >= radius:
        return None
    half = (radius * radius - off * off) ** 0.5
    low, high = max(0.0, along - half), min(length, along + half)
    return (low, high) if low < high else None


def arrowhead(tail: Point, tip: Point, size: float) -> tuple[Point, Point, Point]:
    """The two barbs of an arrow and its tip between them."""
    length = hypot(tip[0] - tail[0], tip[1] - tail[1]) or 1.0
    x, y = (tip[0] - tail[0]) / length, (tip[1] - tail[1]) / length
    back = (tip[0] - x * size, tip[1] - y * size)
    half = size * 0.62
    return (
        (back[0] - y * half, back[1] + x * half),
        tip,
        (back[0] + y * half, back[1] - x * half),
    )


def bracket(cells: Iterable[Cell]) -> tuple[tuple[Point, ...], ...]:
    """The two ends of a row or a column, or the corners of any other house, in cells."""
    members = sorted(cells)
    left, right = min(c.column for c in members) - 1, max(c.column for c in members)
    top, bottom = members[0].row - 1, members[-1].row
    if bottom - top == 1:
        arm = 0.3
        return tuple(
            ((end + way * arm, top), (end, top), (end, bottom), (end + way * arm, bottom))
            for end, way in ((left, 1), (right, -1))
        )
    if right - left == 1:
        arm = 0.3
        return tuple(
            ((left, end + way * arm), (left, end), (right, end), (right, end + way * arm))
            for end, way in ((top, 1), (bottom, -1))
        )
    if len(members) != (right - left) * (bottom - top):
        return tuple((*path, path[0]) for path in map(tuple, outlines(members)))
    arm = 0.45
    return tuple(
        ((x + across * arm, y), (x, y), (x, y + down * arm))
        for x, across in ((left, 1), (right, -1))
        for y, down in ((top, 1), (bottom, -1))
    )


def bent_line(
    start: Point, end: Point, bow: float, gap: float, pieces: int = 14
) -> tuple[Point, ...]:
    """A line from near one point to near another, which bends by at most that share of its length.

    It begins and ends ``gap`` away from the points, as at rings round them.
    """
    (x, y), (right, down) = start, end
    length = hypot(right - x, down - y) or 1.0
    # A long way bends less for its length, or it would leave the rows and columns that it joins.
    high = min(bow * length, bow * 6 * gap / 0.46)
    across = (-(down - y) / length * high, (right - x) / length * high)
    if across[1] > 0 or (across[1] == 0 and across[0] > 0):
        across = (-across[0], -across[1])  # always upwards, or to the left

    def at(share: float) -> Point:
        bend = 4 * share * (1 - share)
        return x + (right - x) * share + across[0] * bend, y + (down - y) * share + across[1] * bend

    first = min(0.45, gap / length)
    shares = [first + (1 - 2 * first) * n / pieces for n in range(pieces + 1)]
    return tuple(map(at, shares if bow else (first, 1 - first)))
