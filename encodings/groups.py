"""The members of the constraint language that speak of groups: what hangs together in a graph.

A graph has *nodes*, each in or out by the value of a variable (or always in), and *ways* between two
nodes, each open or closed by a variable that is 1 or not (or always open). Nodes that are in and have
an open way between them belong to one *group*. A shaded area is such a graph (cells are in, and ways
are open), and so are a loop (its links are nodes, with a way where two of them meet in a cell) and
regions (every cell is in, and a way is open between cells of one region).

Every member says what it means of the shown variables alone, and, if it is broken, gives *cuts*:
conditions of which at least one holds in whatever keeps the member, and none in what was read. Cuts
are enough to find a solution without stating the member any other way (lazy clause generation from a
separation oracle, as in Dantzig, Fulkerson and Johnson 1954 for tours).
"""

from __future__ import annotations

from collections import Counter, deque
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import pairwise
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
    """Is in while its variable has one of the values."""

    variable: Variable
    values: frozenset[int]


class Way(NamedTuple):
    """Leads between two nodes, by number; open while its variable is 1, always if it has none."""

    first: int
    second: int
    variable: Variable | None = None


_OPEN = frozenset({1})


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

    def reading(self, values: Values) -> Reading:
        """Which nodes are in, and the groups they form."""
        inside = [node is None or values[node.variable] in node.values for node in self.nodes]
        return Reading(self, values, inside)


class Reading:
    """A graph as it is under some values: who is in, and in which group (-1 for who is out)."""

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
        """How many nodes are in the group of a node; none if it is out."""
        return len(self.groups[self.group_of[node]]) if self.inside[node] else 0

    def comes_in(self, node: int) -> list[Condition]:
        """The condition that a node is in; nothing if it always is."""
        found = self.graph.nodes[node]
        return [] if found is None else [Condition(*found)]

    def leaves(self, nodes: Collection[int]) -> list[Condition]:
        """That one of the nodes is out."""
        found = (self.graph.nodes[node] for node in nodes)
        return [Condition(*one, inside=False) for one in found if one is not None]

    def breaks(self, nodes: Sequence[int]) -> list[Condition]:
        """That nodes which hang together no longer do: one is out, or a way of a tree is closed.

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
                        closes.append(Condition(variable, _OPEN, inside=False))
        return [*self.leaves(nodes), *closes]

    def grows(self, group: Collection[int], toward: Collection[int] | None = None) -> Cut:
        """That a group has a way out of it: some node beside it is in, or a way from it is open.

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
                    barred[other, variable] = Condition(variable, _OPEN)
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

    def part_of(self, node: int, size: int) -> list[int]:
        """So many nodes of a node's group that hang together, the nearest first."""
        return self.groups_from(node)[:size]

    def groups_from(self, node: int) -> list[int]:
        """The nodes of a node's group, by their distance from it."""
        found, seen = [node], {node}
        for one in found:
            for other, variable in self.graph.around[one]:
                if other not in seen and self.inside[other] and self._open(variable):
                    seen.add(other)
                    found.append(other)
        return found

    def exactly(self, group: Sequence[int]) -> Cut:
        """That this is not exactly a group: it comes apart, or grows."""
        return (*self.breaks(group), *self.grows(group))


@dataclass(frozen=True)
class Connected:
    """The nodes that are in are one group.

    With ``outside`` each group has one of these nodes instead, so that all of them are connected
    through a root beyond. ``empty`` allows that no node is in. With ``stated`` false, not so.
    """

    graph: Graph
    outside: frozenset[int] | None = None
    empty: bool = False
    stated: bool = True

    def scope(self) -> Iterator[Variable]:
        """The variables it speaks of."""
        yield from self.graph.scope()

    def holds(self, values: Values) -> bool:
        """Whether it is true of these values."""
        groups = self.graph.reading(values).groups
        if self.outside is not None:
            return all(not self.outside.isdisjoint(group) for group in groups) is self.stated
        return (len(groups) == 1 or (self.empty and not groups)) is self.stated

    def negated(self) -> Connected:
        """The constraint that is true exactly when this one is false."""
        return replace(self, stated=not self.stated)

    @property
    def has_cuts(self) -> bool:
        """Whether cuts are worth having; else it is short enough when it is written out."""
        return self.stated

    def cuts(self, values: Values) -> list[Cut]:
        """Of a stated one: each group that is alone needs a way on."""
        read = self.graph.reading(values)
        if self.outside is not None:
            return [
                (*read.leaves(group[:1]), *read.grows(group, self.outside))
                for group in read.groups
                if self.outside.isdisjoint(group)
            ]
        if not read.groups:
            every = range(len(self.graph.nodes))
            return [] if self.empty else [tuple(c for n in every for c in read.comes_in(n))]
        most = max(read.groups, key=len)
        return [
            (*read.leaves((group[0], most[0])), *read.grows(group, most))
            for group in read.groups
            if group is not most
        ]


@dataclass(frozen=True)
class Joined:
    """Two nodes are in, and in one group; with ``stated`` false, they are not."""

    graph: Graph
    first: int
    second: int
    stated: bool = True

    def scope(self) -> Iterator[Variable]:
        """The variables it speaks of."""
        yield from self.graph.scope()

    def holds(self, values: Values) -> bool:
        """Whether it is true of these values."""
        group_of = self.graph.reading(values).group_of
        return (group_of[self.first] == group_of[self.second] >= 0) is self.stated

    def negated(self) -> Joined:
        """The constraint that is true exactly when this one is false."""
        return replace(self, stated=not self.stated)

    @property
    def has_cuts(self) -> bool:
        """Whether cuts are worth having; else it is short enough when it is written out."""
        return True

    def cuts(self, values: Values) -> list[Cut]:
        """A way on for the first, or the way between them is broken."""
        read = self.graph.reading(values)
        ends = (self.first, self.second)
        joined = read.group_of[self.first] == read.group_of[self.second] >= 0
        if joined is self.stated:
            return []
        if joined:
            return [tuple(read.breaks(read.path(*ends)))]
        out = [node for node in ends if not read.inside[node]]
        if out:
            return [tuple(read.comes_in(node)) for node in out]
        return [read.grows(read.groups_from(self.first), [self.second])]


@dataclass(frozen=True)
class Separated:
    """A way that is closed leads between two groups; with ``stated`` false, some one does not."""

    graph: Graph
    stated: bool = True

    def scope(self) -> Iterator[Variable]:
        """The variables it speaks of."""
        yield from self.graph.scope()

    def holds(self, values: Values) -> bool:
        """Whether it is true of these values."""
        return any(self._idle(self.graph.reading(values))) is not self.stated

    def negated(self) -> Separated:
        """The constraint that is true exactly when this one is false."""
        return replace(self, stated=not self.stated)

    def _idle(self, read: Reading) -> Iterator[Way]:
        """The closed ways inside a group."""
        for way in self.graph.ways:
            ends = read.group_of[way.first], read.group_of[way.second]
            closed = way.variable is not None and read.values[way.variable] != 1
            if closed and ends[0] == ends[1] >= 0:
                yield way

    @property
    def has_cuts(self) -> bool:
        """Whether cuts are worth having; else it is short enough when it is written out."""
        return self.stated

    def cuts(self, values: Values) -> list[Cut]:
        """Of a stated one: the way is open, or the way round it broken."""
        read = self.graph.reading(values)
        return [
            (
                Condition(way.variable, _OPEN),
                *read.breaks(read.path(way.first, way.second)),
            )
            for way in self._idle(read)
            if way.variable is not None
        ]


@dataclass(frozen=True)
class GroupSize:
    """A node is in, in a group with one of these sizes, or with as many nodes as a variable says.

    ``sizes`` is a set of numbers or that variable. With ``stated`` false, not so.
    """

    graph: Graph
    node: int
    sizes: frozenset[int] | Variable
    stated: bool = True

    def scope(self) -> Iterator[Variable]:
        """The variables it speaks of."""
        yield from self.graph.scope()
        if not isinstance(self.sizes, frozenset):
            yield self.sizes

    def allowed(self, values: Values) -> frozenset[int]:
        """The sizes that the group may have."""
        return self.sizes if isinstance(self.sizes, frozenset) else frozenset({values[self.sizes]})

    def holds(self, values: Values) -> bool:
        """Whether it is true of these values."""
        size = self.graph.reading(values).size(self.node)
        return (size > 0 and size in self.allowed(values)) is self.stated

    def negated(self) -> GroupSize:
        """The constraint that is true exactly when this one is false."""
        return replace(self, stated=not self.stated)

    @property
    def has_cuts(self) -> bool:
        """Whether cuts are worth having; else it is short enough when it is written out."""
        return True

    def cuts(self, values: Values) -> list[Cut]:
        """The group grows or loses what is too much, or the variable says another number."""
        read = self.graph.reading(values)
        size, allowed = read.size(self.node), self.allowed(values)
        if (size > 0 and size in allowed) is self.stated:
            return []
        if not self.stated:
            other = (
                ()
                if isinstance(self.sizes, frozenset)
                else (Condition(self.sizes, allowed, False),)
            )
            return [(*read.exactly(read.groups_from(self.node)), *other)]
        if not size:
            return [tuple(read.comes_in(self.node))]
        group = read.groups_from(self.node)
        least, most = min(allowed, default=0), max(allowed, default=0)
        if size > most:
            many = range(most + 1, len(self.graph.nodes) + 1)
            more = (
                ()
                if isinstance(self.sizes, frozenset)
                else (Condition(self.sizes, frozenset(many)),)
            )
            return [(*read.breaks(group[: most + 1]), *more)]
        if size < least:
            few = frozenset(range(size + 1))
            less = () if isinstance(self.sizes, frozenset) else (Condition(self.sizes, few),)
            return [(*read.grows(group), *less)]
        return [read.exactly(group)]


@dataclass(frozen=True)
class GroupSizes:
    """The sizes of all groups are these, in any order; with ``stated`` false, they are others."""

    graph: Graph
    sizes: tuple[int, ...]
    stated: bool = True

    def scope(self) -> Iterator[Variable]:
        """The variables it speaks of."""
        yield from self.graph.scope()

    def holds(self, values: Values) -> bool:
        """Whether it is true of these values."""
        groups = self.graph.reading(values).groups
        return (sorted(map(len, groups)) == sorted(self.sizes)) is self.stated

    def negated(self) -> GroupSizes:
        """The constraint that is true exactly when this one is false."""
        return replace(self, stated=not self.stated)

    @property
    def has_cuts(self) -> bool:
        """Whether cuts are worth having; else it is short enough when it is written out."""
        return self.stated

    def cuts(self, values: Values) -> list[Cut]:
        """Of a stated one: groups of a wrong size change, groups too many of a size do, or more come."""
        read = self.graph.reading(values)
        wanted, most = Counter(self.sizes), max(self.sizes, default=0)
        least = min(self.sizes, default=0)
        cuts: list[Cut] = []
        met: dict[int, list[list[int]]] = {}
        for group in read.groups:
            size = len(group)
            if size > most:
                cuts.append(tuple(read.breaks(group[: most + 1])))
            elif size < least:
                cuts.append((*read.leaves(group[:1]), *read.grows(group)))
            elif not wanted[size]:
                cuts.append(read.exactly(group))
            else:
                met.setdefault(size, []).append(group)
        if cuts:
            return cuts
        for size, groups in met.items():
            if len(groups) > wanted[size]:
                few = groups[: wanted[size] + 1]
                cuts.append(tuple(dict.fromkeys(c for g in few for c in read.exactly(g))))
        if cuts or len(read.groups) == len(self.sizes):
            return cuts
        out = [node for node, is_in in enumerate(read.inside) if not is_in]
        return [tuple(c for node in out for c in read.comes_in(node))]


@dataclass(frozen=True)
class GroupCount:
    """There are so many groups: one of these numbers, or what a variable says.

    With ``stated`` false, not so.
    """

    graph: Graph
    counts: frozenset[int] | Variable
    stated: bool = True

    def scope(self) -> Iterator[Variable]:
        """The variables it speaks of."""
        yield from self.graph.scope()
        if not isinstance(self.counts, frozenset):
            yield self.counts

    def holds(self, values: Values) -> bool:
        """Whether it is true of these values."""
        number = len(self.graph.reading(values).groups)
        allowed = self.counts if isinstance(self.counts, frozenset) else {values[self.counts]}
        return (number in allowed) is self.stated

    def negated(self) -> GroupCount:
        """The constraint that is true exactly when this one is false."""
        return replace(self, stated=not self.stated)

    @property
    def has_cuts(self) -> bool:
        """Whether cuts are worth having; else it is short enough when it is written out."""
        return True

    def cuts(self, values: Values) -> list[Cut]:
        """Groups too many come together; else something is another."""
        if self.holds(values):
            return []
        read = self.graph.reading(values)
        other: Cut = ()
        most = -1
        if isinstance(self.counts, frozenset):
            most = max(self.counts, default=-1)
        else:
            said = frozenset({values[self.counts]})
            other = (Condition(self.counts, said, inside=False),)
        if self.stated and 0 <= most < len(read.groups):
            few = read.groups[: most + 1]
            grows = dict.fromkeys(c for group in few[1:] for c in read.grows(group))
            return [(*read.leaves([group[0] for group in few]), *grows)]
        every: list[Condition] = []
        for group in read.groups:
            every += read.exactly(group)
        out = [node for node, is_in in enumerate(read.inside) if not is_in]
        every += [c for node in out for c in read.comes_in(node)]
        return [(*dict.fromkeys(every), *other)]


@dataclass(frozen=True)
class DifferWithin:
    """No group has the value twice among the variables of its nodes; with ``stated`` false, some has."""

    graph: Graph
    variables: tuple[Variable, ...]
    value: int
    stated: bool = True

    def scope(self) -> Iterator[Variable]:
        """The variables it speaks of."""
        yield from self.graph.scope()
        yield from self.variables

    def _twice(self, read: Reading) -> Iterator[tuple[int, int]]:
        """Two nodes of one group that have the value, for each group if there are such."""
        for group in read.groups:
            having = [node for node in group if read.values[self.variables[node]] == self.value]
            yield from pairwise(having)

    def holds(self, values: Values) -> bool:
        """Whether it is true of these values."""
        return any(True for _ in self._twice(self.graph.reading(values))) is not self.stated

    def negated(self) -> DifferWithin:
        """The constraint that is true exactly when this one is false."""
        return replace(self, stated=not self.stated)

    @property
    def has_cuts(self) -> bool:
        """Whether cuts are worth having; else it is short enough when it is written out."""
        return self.stated

    def cuts(self, values: Values) -> list[Cut]:
        """Of a stated one: one of the two has another value, or the way between them is broken."""
        read, alone = self.graph.reading(values), frozenset({self.value})
        return [
            (
                Condition(self.variables[first], alone, inside=False),
                Condition(self.variables[second], alone, inside=False),
                *read.breaks(read.path(first, second)),
            )
            for first, second in self._twice(read)
        ]


Grouped = Connected | Joined | Separated | GroupSize | GroupSizes | GroupCount | DifferWithin
"""Every member about groups."""
