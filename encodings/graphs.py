"""Graphs whose nodes come and go: what is in, what is connected, and what would change that.

A graph has *nodes*, each in or out by the value of a variable (or always in), and *ways* between two
nodes, each open or closed by a variable that is 1 or not (or always open). Nodes that are in and have
an open way between them belong to one *group*. A shaded area is such a graph (cells are in, and ways
are open), and so are a loop (its links are nodes, with a way where two of them meet in a cell) and
regions (every cell is in, and a way is open between cells of one region).
"""

from __future__ import annotations

from collections import deque
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

from gridassay.encodings.variables import Values, Variable


class Condition(NamedTuple):
    """The variable has one of the values; with ``inside`` false, none of them."""

    variable: Variable
    values: frozenset[int]
    inside: bool = True


Cut = tuple[Condition, ...]
"""At least one of these holds."""


class Node(NamedTuple):
    """A node that is in the graph if its variable has one of the values."""

    variable: Variable
    values: frozenset[int]


class Way(NamedTuple):
    """A way between two nodes, by number; open while its variable is 1, or always if it has none."""

    first: int
    second: int
    variable: Variable | None = None


OPEN = frozenset({1})
"""The value of a way that is open."""


@dataclass(frozen=True)
class Graph:
    """Nodes and ways; a node that is None is always in."""

    nodes: tuple[Node | None, ...]
    ways: tuple[Way, ...]

    @cached_property
    def _hash(self) -> int:
        return hash((self.nodes, self.ways))

    def __hash__(self) -> int:
        return self._hash

    @cached_property
    def around(self) -> tuple[tuple[tuple[int, Variable | None], ...], ...]:
        """For each node the nodes that ways lead to, each with the way's variable."""
        around: list[list[tuple[int, Variable | None]]] = [[] for _ in self.nodes]
        for first, second, variable in self.ways:
            around[first].append((second, variable))
            around[second].append((first, variable))
        return tuple(map(tuple, around))

    def scope(self) -> Iterator[Variable]:
        """The variables it speaks of."""
        for node in self.nodes:
            if node is not None:
                yield node.variable
        for way in self.ways:
            if way.variable is not None:
                yield way.variable

    def reading(self, values: Values) -> GraphReading:
        """Which nodes are in, and the groups they form."""
        inside = [node is None or values[node.variable] in node.values for node in self.nodes]
        return GraphReading(self, values, inside)


class GraphReading:
    """A graph under some values: which nodes are in, and in which group (-1 for nodes that are out)."""

    def __init__(self, graph: Graph, values: Values, inside: list[bool]) -> None:
        self.graph, self.values, self.inside = graph, values, inside
        self.group_of = [-1] * len(inside)
        self.groups: list[list[int]] = []
        for start, is_in in enumerate(inside):
            if is_in and self.group_of[start] < 0:
                self.groups.append(self._group(start, len(self.groups)))

    def _group(self, start: int, number: int) -> list[int]:
        members = [start]
        self.group_of[start] = number
        for node in members:
            for other, variable in self.graph.around[node]:
                if self.inside[other] and self.group_of[other] < 0 and self._open(variable):
                    self.group_of[other] = number
                    members.append(other)
        return members

    def _open(self, variable: Variable | None) -> bool:
        return variable is None or self.values[variable] == 1

    def size(self, node: int) -> int:
        """The number of nodes in the group of a node; 0 if it is out."""
        return len(self.groups[self.group_of[node]]) if self.inside[node] else 0

    def comes_in(self, node: int) -> list[Condition]:
        """The condition that a node is in; nothing if it always is."""
        found = self.graph.nodes[node]
        return [] if found is None else [Condition(*found)]

    def leaves(self, nodes: Collection[int]) -> list[Condition]:
        """The condition that one of the nodes is out."""
        found = (self.graph.nodes[node] for node in nodes)
        return [Condition(*one, inside=False) for one in found if one is not None]

    def breaks(self, nodes: Sequence[int]) -> list[Condition]:
        """The condition that connected nodes no longer are: one is out, or a way of a tree is closed.

        Whatever group the nodes lie in grows from the first of them.
        """
        wanted, seen = set(nodes), {nodes[0]}
        closes: list[Condition] = []
        waiting = deque([nodes[0]])
        while waiting:
            node = waiting.popleft()
            for other, variable in self.graph.around[node]:
                if other in wanted and other not in seen and self._open(variable):
                    seen.add(other)
                    waiting.append(other)
                    if variable is not None:
                        closes.append(Condition(variable, OPEN, inside=False))
        return [*self.leaves(nodes), *closes]

    def grows(self, group: Collection[int], toward: Collection[int] | None = None) -> Cut:
        """The condition that a group has a way out: a neighbour is in, or a way from it is
        open.

        With ``toward``, only what helps the group to reach one of these nodes.
        """
        own = set(group)
        barred: dict[tuple[int, Variable | None], Condition] = {}
        for node in group:
            for other, variable in self.graph.around[node]:
                if other in own:
                    continue
                found = self.graph.nodes[other]
                if not self.inside[other] and found is not None:
                    barred[other, None] = Condition(*found)
                elif variable is not None:
                    barred[other, variable] = Condition(variable, OPEN)
        if toward is None:
            return tuple(barred.values())
        out = {node for node, variable in barred if variable is None}
        closed = {variable for _, variable in barred if variable is not None}
        seen = {node for node in toward if node not in out}
        touched = {node for node in toward if node in out}
        waiting = list(seen)
        while waiting:
            for other, variable in self.graph.around[waiting.pop()]:
                if other in out:
                    touched.add(other)
                elif other not in seen and variable not in closed:
                    seen.add(other)
                    waiting.append(other)
        return tuple(
            condition
            for (node, variable), condition in barred.items()
            if (node in touched if variable is None else node in seen)
        )

    def path(self, first: int, second: int) -> list[int]:
        """A shortest way through a group, both ends included."""
        before = {first: first}
        waiting = deque([first])
        while second not in before:
            node = waiting.popleft()
            for other, variable in self.graph.around[node]:
                if other not in before and self.inside[other] and self._open(variable):
                    before[other] = node
                    waiting.append(other)
        found = [second]
        while found[-1] != first:
            found.append(before[found[-1]])
        return found

    def groups_from(self, node: int) -> list[int]:
        """The nodes of a node's group, by their distance from it."""
        found, seen = [node], {node}
        for one in found:
            for other, variable in self.graph.around[one]:
                if other not in seen and self.inside[other] and self._open(variable):
                    seen.add(other)
                    found.append(other)
        return found

    def steps_from(self, root: int) -> dict[int, int]:
        """The number of steps to each node of the root's group; empty if the root is out."""
        if not self.inside[root]:
            return {}
        steps = {root: 0}
        for node in self.groups_from(root):
            for other, variable in self.graph.around[node]:
                if other not in steps and self.inside[other] and self._open(variable):
                    steps[other] = steps[node] + 1
        return steps

    def exactly(self, group: Sequence[int]) -> Cut:
        """The condition that this is not exactly a group: it comes apart, or grows."""
        return (*self.breaks(group), *self.grows(group))
