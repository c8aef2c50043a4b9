"""Consequences of two connected groups on one board together, which follow from neither by itself.

Let the cells of a rectangle with one value be connected, and those with another value too. Then no
square of two by two has the one on a diagonal and the other on the other diagonal: the way between the
first two, closed across the square, would part the second two. The same holds if the groups of the other
value only reach the edge. And if there are no further values, the two change at most twice along the
edge. Both follow from the Jordan curve theorem.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass

from gridassay.encodings.groups import Connected
from gridassay.encodings.variables import Variable

Place = tuple[int, int]


@dataclass(frozen=True)
class Parting:
    """Two values that part each other: the cells of a rectangle, by number.

    ``squares`` hold the cells left above, right above, left below and right below; ``edge`` is once
    around, or empty if the edge says nothing.
    """

    variables: tuple[Variable, ...]
    values: tuple[int, int]
    squares: tuple[tuple[int, int, int, int], ...]
    edge: tuple[int, ...]


def parting(
    one: Connected, other: Connected, domains: Mapping[Variable, Collection[int]]
) -> Parting | None:
    """The consequences of the two; None if they do not speak of one rectangle and a value each."""
    places = _rectangle(one, other)
    if places is None:
        return None
    at = {place: node for node, place in enumerate(places)}
    variables = tuple(node.variable for node in one.graph.nodes if node is not None)
    first, second = (
        next(value for node in group.graph.nodes if node is not None for value in node.values)
        for group in (one, other)
    )
    free = one.outside is None and other.outside is None
    only = free and all({*domains[variable]} == {first, second} for variable in variables)
    edge = tuple(at[place] for place in _edge(places)) if only else ()
    return Parting(variables, (first, second), tuple(_squares(at)), edge)


def _rectangle(one: Connected, other: Connected) -> list[Place] | None:
    """Where the nodes lie, if both speak of the same whole rectangle, of one value each."""
    if not (one.stated and other.stated) or one.graph.ways != other.graph.ways:
        return None
    if one.outside is not None and other.outside is not None:
        return None
    places, values = [], set()
    for node, twin in zip(one.graph.nodes, other.graph.nodes, strict=True):
        if node is None or twin is None or node.variable != twin.variable:
            return None
        cell = getattr(node.variable, "cell", None)
        if cell is None or len(node.values) != 1 or len(twin.values) != 1:
            return None
        places.append((cell.row, cell.column))
        values.add((node.values, twin.values))
    if len(values) != 1 or any(first == second for first, second in values):
        return None
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


def _squares(at: dict[Place, int]) -> Iterator[tuple[int, int, int, int]]:
    """The squares of two by two, row by row."""
    for (row, column), node in at.items():
        others = [(row, column + 1), (row + 1, column), (row + 1, column + 1)]
        if all(place in at for place in others):
            right, below, across = (at[place] for place in others)
            yield node, right, below, across


def _edge(places: Sequence[Place]) -> list[Place]:
    """The places along the edge of a rectangle, once around."""
    rows, columns = ([place[axis] for place in places] for axis in (0, 1))
    top, left, low, right = min(rows), min(columns), max(rows), max(columns)
    return [
        *((top, column) for column in range(left, right)),
        *((row, right) for row in range(top, low)),
        *((low, column) for column in range(right, left, -1)),
        *((row, left) for row in range(low, top, -1)),
    ]
