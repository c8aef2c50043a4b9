"""The members of the constraint language about groups: the connected parts of a graph.

Every member is defined on the shown variables alone. If it is broken, it gives *cuts*: conditions
of which at least one holds in every assignment that keeps the member, and none in the one that was
read. Cuts are enough to find a solution without stating the member any other way (lazy clause
generation from a separation oracle, as in Dantzig, Fulkerson and Johnson 1954 for tours). Graphs
are explained in ``graphs.py``; members about the numbers on a graph are in ``on_graphs.py``.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import ClassVar

from gridassay.encodings.graphs import OPEN, Condition, Cut, Graph, GraphReading, Way
from gridassay.encodings.variables import Values, Variable


@dataclass(frozen=True)
class Connected:
    """The nodes that are in are one group.

    With ``outside`` each group has one of these nodes instead, so that all of them are connected
    through a root beyond. ``empty`` allows that no node is in. With ``stated`` false, the opposite.
    """

    connects: ClassVar[bool] = True
    """Two of these on one board part each other, which an encoding may use."""

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
        """Whether cuts are worthwhile; if not, it is short enough when written out."""
        return self.stated

    def cuts(self, values: Values) -> list[Cut]:
        """Cuts of a stated one: each isolated group needs a way on."""
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
        """Whether cuts are worthwhile; if not, it is short enough when written out."""
        return True

    def cuts(self, values: Values) -> list[Cut]:
        """Cuts: a way on for the first, or the way between them is broken."""
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

    def _idle(self, read: GraphReading) -> Iterator[Way]:
        """The closed ways inside a group."""
        for way in self.graph.ways:
            ends = read.group_of[way.first], read.group_of[way.second]
            closed = way.variable is not None and read.values[way.variable] != 1
            if closed and ends[0] == ends[1] >= 0:
                yield way

    @property
    def has_cuts(self) -> bool:
        """Whether cuts are worthwhile; if not, it is short enough when written out."""
        return self.stated

    def cuts(self, values: Values) -> list[Cut]:
        """Cuts of a stated one: the way is open, or the way round it is broken."""
        read = self.graph.reading(values)
        return [
            (
                Condition(way.variable, OPEN),
                *read.breaks(read.path(way.first, way.second)),
            )
            for way in self._idle(read)
            if way.variable is not None
        ]


@dataclass(frozen=True)
class GroupSize:
    """A node is in, in a group with one of these sizes, or with as many nodes as a variable says.

    ``sizes`` is a set of numbers or that variable. With ``stated`` false, the opposite.
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

    def allowed_sizes(self, values: Values) -> frozenset[int]:
        """The sizes that the group may have."""
        return self.sizes if isinstance(self.sizes, frozenset) else frozenset({values[self.sizes]})

    def holds(self, values: Values) -> bool:
        """Whether it is true of these values."""
        size = self.graph.reading(values).size(self.node)
        return (size > 0 and size in self.allowed_sizes(values)) is self.stated

    def negated(self) -> GroupSize:
        """The constraint that is true exactly when this one is false."""
        return replace(self, stated=not self.stated)

    @property
    def has_cuts(self) -> bool:
        """Whether cuts are worthwhile; if not, it is short enough when written out."""
        return True

    def cuts(self, values: Values) -> list[Cut]:
        """The group grows or loses what is too much, or the variable says another number."""
        read = self.graph.reading(values)
        size, allowed = read.size(self.node), self.allowed_sizes(values)
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
        """Whether cuts are worthwhile; if not, it is short enough when written out."""
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

    With ``stated`` false, the opposite.
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
        """Whether cuts are worthwhile; if not, it is short enough when written out."""
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
