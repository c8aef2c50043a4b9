"""Clauses that follow from two connected groups on one board, which neither says by itself.

Let the cells of a rectangle with one value be connected, and those with another value too. Then no
square of two by two has the one on a diagonal and the other on the other diagonal: the way between the
first two, closed across the square, would part the second two. The same holds if the groups of the other
value only reach the edge. And if there are no further values, the two change at most twice along the
edge. Both follow from the Jordan curve theorem; a solver would have to prove them board by board (two
colours on 9×9 with one solution: 27,000 conflicts without, 230 with them).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations, pairwise

from gridassay.encodings.cnf.writer import Writer
from gridassay.encodings.groups import Connected

Place = tuple[int, int]
Guarded = tuple[tuple[int, ...], Connected]
"""A member and the literals of which one is true while it does not bind."""


def part_each_other(writer: Writer, members: Sequence[Guarded]) -> None:
    """Write what follows from every two of the members that speak of one rectangle."""
    for (guard, one), (other_guard, other) in combinations(members, 2):
        places = _rectangle(writer, one, other)
        if places is None:
            continue
        first = [_literals(writer, one, node) for node in range(len(places))]
        second = [_literals(writer, other, node) for node in range(len(places))]
        at = {place: node for node, place in enumerate(places)}
        with writer.under(*guard, *other_guard):
            for square in _squares(at):
                for a, b in ((first, second), (second, first)):
                    writer.add(-a[square[0]], -a[square[3]], -b[square[1]], -b[square[2]])
            if one.outside is None and other.outside is None and _no_others(writer, one, other):
                _once_around(writer, [first[at[place]] for place in _edge(at)])


def _rectangle(writer: Writer, one: Connected, other: Connected) -> list[Place] | None:
    """Where the nodes lie, if both speak of the same whole rectangle, of one value each."""
    if not (one.stated and other.stated) or one.graph.ways != other.graph.ways:
        return None
    if one.outside is not None and other.outside is not None:
        return None
    places = []
    for node, twin in zip(one.graph.nodes, other.graph.nodes, strict=True):
        if node is None or twin is None or node.variable != twin.variable:
            return None
        cell = getattr(node.variable, "cell", None)
        if (
            cell is None
            or len(node.values) != 1
            or len(twin.values) != 1
            or node.values == twin.values
        ):
            return None
        places.append((cell.row, cell.column))
    rows, columns = ({place[axis] for place in places} for axis in (0, 1))
    spans = (max(rows) - min(rows) + 1, max(columns) - min(columns) + 1)
    if len(set(places)) != len(places) or len(places) != spans[0] * spans[1] or min(spans) < 2:
        return None
    edge = set(_edge(places))
    for way in one.graph.ways:
        (r, c), (s, d) = places[way.first], places[way.second]
        if way.variable is not None or abs(r - s) + abs(c - d) != 1:
            return None
    for outside in (one.outside, other.outside):
        if outside is not None and not all(places[node] in edge for node in outside):
            return None
    return places


def _literals(writer: Writer, member: Connected, node: int) -> int:
    """The literal that a node is in."""
    found = member.graph.nodes[node]
    assert found is not None
    (value,) = found.values
    return writer.literal(found.variable, value)


def _no_others(writer: Writer, one: Connected, other: Connected) -> bool:
    """Whether the cells have these two values and no others."""
    return all(
        a is not None and b is not None and {*writer.domains[a.variable]} == a.values | b.values
        for a, b in zip(one.graph.nodes, other.graph.nodes, strict=True)
    )


def _squares(at: dict[Place, int]) -> Iterator[tuple[int, int, int, int]]:
    """The squares of two by two, row by row."""
    for (row, column), node in at.items():
        others = [(row, column + 1), (row + 1, column), (row + 1, column + 1)]
        if all(place in at for place in others):
            right, below, across = (at[place] for place in others)
            yield node, right, below, across


def _edge(places: Sequence[Place] | dict[Place, int]) -> list[Place]:
    """The places along the edge of a rectangle, once around."""
    rows, columns = ([place[axis] for place in places] for axis in (0, 1))
    top, left, low, right = min(rows), min(columns), max(rows), max(columns)
    return [
        *((top, column) for column in range(left, right)),
        *((row, right) for row in range(top, low)),
        *((low, column) for column in range(right, left, -1)),
        *((row, left) for row in range(low, top, -1)),
    ]


def _once_around(writer: Writer, around: Sequence[int]) -> None:
    """In this circle of literals at most one true one follows a false one (Sinz 2005)."""
    starts = []
    for before, after in pairwise([around[-1], *around]):
        starts.append(writer.fresh())
        writer.define(before, -after, starts[-1])
    begun = starts[0]
    for start in starts[1:]:
        writer.add(-begun, -start)
        so_far = writer.fresh()
        writer.define(-begun, so_far)
        writer.define(-start, so_far)
        begun = so_far
