"""The known part of the groups of a graph: nodes that are in, out or open, ways as well.

Techniques about layers read these maps: a shaded area, the links of a loop, regions. A *sure
group* is certainly connected; possible connections are found by going wherever nothing is known
against them.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from functools import lru_cache

from gridassay.encodings.constraints import Variable
from gridassay.encodings.graphs import Graph
from gridassay.verify.solving.board.position import Layout, Mark, Position, members

IN, OPEN, OUT = 1, 0, -1


class Terrain:
    """A graph by the indexes of a layout: each node's unknown with its values that are in, its ways."""

    def __init__(self, layout: Layout, graph: Graph) -> None:
        self.layout, self.graph = layout, graph
        self.unknowns: list[int | None] = []
        self.inside: list[int] = []
        for node in graph.nodes:
            self.unknowns.append(None if node is None else layout.index[node.variable])
            known = () if node is None else layout.domains[layout.index[node.variable]]
            self.inside.append(
                sum(1 << at for at, n in enumerate(known) if node and n in node.values)
            )
        self.around = [
            [
                (other, -1 if way is None else layout.index[way], _open(layout, way))
                for other, way in near
            ]
            for near in graph.around
        ]


def _open(layout: Layout, way: Variable | None) -> int:
    if way is None:
        return 0
    return sum(1 << at for at, n in enumerate(layout.domains[layout.index[way]]) if n == 1)


@lru_cache(maxsize=64)
def terrain_of(layout: Layout, graph: Graph) -> Terrain:
    """The terrain of a graph, made once for a layout."""
    return Terrain(layout, graph)


class Map:
    """The state of a graph in a position."""

    def __init__(self, terrain: Terrain, position: Position) -> None:
        self.terrain, self.position = terrain, position
        masks = position.masks
        self.state = [
            IN if unknown is None else _state(masks[unknown], inside)
            for unknown, inside in zip(terrain.unknowns, terrain.inside, strict=True)
        ]
        self.around = [
            [
                (other, way, IN if way < 0 else _state(masks[way], bits))
                for other, way, bits in near
                if self.state[other] != OUT
            ]
            for near in terrain.around
        ]
        self.group_of = [-1] * len(self.state)
        self.groups: list[list[int]] = []
        for start, state in enumerate(self.state):
            if state == IN and self.group_of[start] < 0:
                self.groups.append(self._sure(start))

    def _sure(self, start: int) -> list[int]:
        number, group = len(self.groups), [start]
        self.group_of[start] = number
        for node in group:
            for other, _, way in self.around[node]:
                if way == IN and self.state[other] == IN and self.group_of[other] < 0:
                    self.group_of[other] = number
                    group.append(other)
        return group

    def reach(
        self, start: Iterable[int], without: Collection[int] = (), most: int | None = None
    ) -> list[int]:
        """The nodes that may be connected to some, nearest first, some left out; no more than
        ``most``.
        """
        found = list(start)
        seen = {*found, *without}
        for node in found:
            if most is not None and len(found) >= most:
                break
            for other, _, way in self.around[node]:
                if way != OUT and other not in seen:
                    seen.add(other)
                    found.append(other)
        return found

    def areas(self) -> Iterator[list[int]]:
        """The nodes that are not out, in areas that may be connected."""
        seen: set[int] = set()
        for start, state in enumerate(self.state):
            if state != OUT and start not in seen:
                area = self.reach([start])
                seen.update(area)
                yield area

    def narrow(self) -> set[int]:
        """The nodes without which an area falls apart: articulation points (Hopcroft, Tarjan 1973)."""
        order: dict[int, int] = {}
        low: dict[int, int] = {}
        found: set[int] = set()
        for root, state in enumerate(self.state):
            if state == OUT or root in order:
                continue
            order[root] = low[root] = len(order)
            path: list[tuple[int, int, Iterator[int]]] = [(root, -1, self._onward(root))]
            children = 0
            while path:
                node, before, onward = path[-1]
                for other in onward:
                    if other not in order:
                        order[other] = low[other] = len(order)
                        path.append((other, node, self._onward(other)))
                        break
                    if other != before:
                        low[node] = min(low[node], order[other])
                else:
                    path.pop()
                    if not path:
                        continue
                    parent = path[-1][0]
                    low[parent] = min(low[parent], low[node])
                    if parent == root:
                        children += 1
                    elif low[node] >= order[parent]:
                        found.add(parent)
            if children > 1:
                found.add(root)
        return found

    def _onward(self, node: int) -> Iterator[int]:
        return (other for other, _, way in self.around[node] if way != OUT)

    def shore(self, nodes: Collection[int], without: Collection[int] = ()) -> tuple[int, ...]:
        """The unknowns at which an area ends: nodes beside it that are out, and closed ways."""
        own, found = {*nodes}, dict[int, None]()
        masks = self.position.masks
        for node in nodes:
            for other, way, bits in self.terrain.around[node]:
                if other in own:
                    continue
                unknown = self.terrain.unknowns[other]
                if self.state[other] == OUT and unknown is not None and other not in without:
                    found[unknown] = None
                elif way >= 0 and not masks[way] & bits:
                    found[way] = None
        return tuple(found)

    def tie(self, first: int, second: int) -> tuple[int, ...]:
        """The unknowns that connect two nodes of one sure group: those of a shortest way."""
        before: dict[int, tuple[int, int]] = {first: (first, -1)}
        waiting = [first]
        for node in waiting:
            if node == second:
                break
            for other, way, state in self.around[node]:
                if state == IN and self.state[other] == IN and other not in before:
                    before[other] = node, way
                    waiting.append(other)
        found: dict[int, None] = {}
        node = second
        while True:
            unknown = self.terrain.unknowns[node]
            if unknown is not None:
                found[unknown] = None
            if node == first:
                return tuple(found)
            node, way = before[node]
            if way >= 0:
                found[way] = None

    def ties(self, group: Collection[int]) -> tuple[int, ...]:
        """The unknowns that connect a sure group."""
        first, *rest = group
        return tuple(dict.fromkeys(one for node in (first, *rest) for one in self.tie(first, node)))

    def coming_in(self, node: int) -> tuple[tuple[Mark, ...], tuple[Mark, ...]]:
        """The placements and removals that bring an open node in."""
        unknown = self.terrain.unknowns[node]
        assert unknown is not None
        mask, inside = self.position.masks[unknown], self.terrain.inside[node]
        if (mask & inside).bit_count() == 1:
            return ((unknown, (mask & inside).bit_length() - 1),), ()
        return (), tuple((unknown, value) for value in members(mask & ~inside))

    def staying_out(self, nodes: Iterable[int]) -> tuple[Mark, ...]:
        """The removals that leave open nodes out."""
        marks = []
        for node in nodes:
            unknown = self.terrain.unknowns[node]
            if unknown is not None:
                inside = self.position.masks[unknown] & self.terrain.inside[node]
                marks += [(unknown, value) for value in members(inside)]
        return tuple(marks)


def as_placements(
    position: Position, removes: Iterable[Mark]
) -> tuple[tuple[Mark, ...], tuple[Mark, ...]]:
    """Removals as placements if they leave one value of two."""
    places, left = [], []
    for unknown, value in removes:
        mask = position.masks[unknown]
        if position.layout.full[unknown] == mask and mask.bit_count() == 2:
            places.append((unknown, (mask & ~(1 << value)).bit_length() - 1))
        else:
            left.append((unknown, value))
    return tuple(places), tuple(left)


def _state(mask: int, inside: int) -> int:
    if not mask & inside:
        return OUT
    return OPEN if mask & ~inside else IN
