"""Members about the numbers on a graph: digits within groups, their totals, distances."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import NamedTuple

from gridassay.encodings.graphs import Condition, Cut, Graph, GraphReading
from gridassay.encodings.groups import (
    Connected,
    GroupCount,
    GroupSize,
    GroupSizes,
    Joined,
    Separated,
)
from gridassay.encodings.variables import Values, Variable


@dataclass(frozen=True)
class DifferWithin:
    """No group has the value twice among its nodes; with ``stated`` false, some group has."""

    graph: Graph
    variables: tuple[Variable, ...]
    value: int
    stated: bool = True

    def scope(self) -> Iterator[Variable]:
        """The variables it speaks of."""
        yield from self.graph.scope()
        yield from self.variables

    def _twice(self, read: GraphReading) -> Iterator[tuple[int, int]]:
        """Two nodes of one group that have the value, for each group that has such nodes."""
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
        """Whether cuts are worthwhile; if not, it is short enough when written out."""
        return self.stated

    def cuts(self, values: Values) -> list[Cut]:
        """Cuts of a stated one: a node of the two has another value, or their connection is broken."""
        read, alone = self.graph.reading(values), frozenset({self.value})
        return [
            (
                Condition(self.variables[first], alone, inside=False),
                Condition(self.variables[second], alone, inside=False),
                *read.breaks(read.path(first, second)),
            )
            for first, second in self._twice(read)
        ]


@dataclass(frozen=True)
class GroupTotal:
    """A node is in, and the variables of its group total one of these numbers, or another variable.

    If ``node`` is None, every group does. ``totals`` is a set of numbers or that variable. ``rising``
    says that no variable can be below 0. With ``stated`` false, the opposite.
    """

    graph: Graph
    variables: tuple[Variable, ...]
    totals: frozenset[int] | Variable
    node: int | None = None
    rising: bool = True
    stated: bool = True

    def scope(self) -> Iterator[Variable]:
        """The variables it speaks of."""
        yield from self.graph.scope()
        yield from self.variables
        if not isinstance(self.totals, frozenset):
            yield self.totals

    def allowed_totals(self, values: Values) -> frozenset[int]:
        """The possible totals."""
        if isinstance(self.totals, frozenset):
            return self.totals
        return frozenset({values[self.totals]})

    def _total(self, group: Sequence[int], values: Values) -> int:
        return sum(values[self.variables[node]] for node in group)

    def _wrong(self, read: GraphReading) -> Iterator[list[int]]:
        """The groups in question that have another total."""
        allowed = self.allowed_totals(read.values)
        groups = read.groups
        if self.node is not None:
            groups = [read.groups_from(self.node)] if read.inside[self.node] else []
        for group in groups:
            if self._total(group, read.values) not in allowed:
                yield group

    def holds(self, values: Values) -> bool:
        """Whether it is true of these values."""
        read = self.graph.reading(values)
        out = self.node is not None and not read.inside[self.node]
        return (not out and not any(True for _ in self._wrong(read))) is self.stated

    def negated(self) -> GroupTotal:
        """The constraint that is true exactly when this one is false."""
        return replace(self, stated=not self.stated)

    @property
    def has_cuts(self) -> bool:
        """Whether cuts are worthwhile; if not, it is short enough when written out."""
        return self.stated or self.node is not None

    def cuts(self, values: Values) -> list[Cut]:
        """Cuts: a group with too much breaks up or holds less; for one with too little, the opposite."""
        read = self.graph.reading(values)
        if self.stated:
            if self.node is not None and not read.inside[self.node]:
                return [tuple(read.comes_in(self.node))]
            return [self._mend(read, group) for group in self._wrong(read)]
        if self.holds(values) or self.node is None:
            return []
        return [self._other(read, read.groups_from(self.node))]

    def _other(self, read: GraphReading, group: Sequence[int]) -> Cut:
        """Cuts: the group changes, or one of its numbers, or the required total."""
        held = {self.variables[node]: read.values[self.variables[node]] for node in group}
        changes = [Condition(one, frozenset({number}), False) for one, number in held.items()]
        return (*read.exactly(group), *changes, *self._meant(read))

    def _meant(self, read: GraphReading) -> Cut:
        if isinstance(self.totals, frozenset):
            return ()
        return (Condition(self.totals, frozenset({read.values[self.totals]}), inside=False),)

    def _mend(self, read: GraphReading, group: Sequence[int]) -> Cut:
        total, allowed = self._total(group, read.values), self.allowed_totals(read.values)
        if not self.rising or min(allowed, default=0) < total < max(allowed, default=0):
            return self._other(read, group)
        held = [(self.variables[node], read.values[self.variables[node]]) for node in group]
        if total < min(allowed, default=0):
            most = {variable: frozenset(range(number + 1)) for variable, number in held}
            higher = [Condition(one, those, inside=False) for one, those in most.items()]
            return (*read.grows(group), *higher, *self._meant(read))
        enough, reached = [], 0
        for node, (_, number) in zip(group, held, strict=True):
            enough.append(node)
            reached += number
            if reached > max(allowed, default=0):
                break
        lower = [
            Condition(variable, frozenset(range(number)))
            for variable, number in held[: len(enough)]
            if number
        ]
        return (*read.breaks(enough), *lower, *self._meant(read))


@dataclass(frozen=True)
class Nearer:
    """The root reaches the first node in fewer steps than the second, or does not reach the second.

    The first must be reached. Nodes that are out, or in another group than the root, are not.
     With ``stated`` false, the opposite.
    """

    graph: Graph
    root: int
    first: int
    second: int
    stated: bool = True

    def scope(self) -> Iterator[Variable]:
        """The variables it speaks of."""
        yield from self.graph.scope()

    def holds(self, values: Values) -> bool:
        """Whether it is true of these values."""
        steps = self.graph.reading(values).steps_from(self.root)
        far = len(self.graph.nodes)
        return (steps.get(self.first, far) < steps.get(self.second, far)) is self.stated

    def negated(self) -> Nearer:
        """The constraint that is true exactly when this one is false."""
        return replace(self, stated=not self.stated)


class Run(NamedTuple):
    """The group that holds one node of a graph, and the variables that count towards a total."""

    graph: Graph
    variables: tuple[Variable, ...]
    node: int

    def total(self, values: Values) -> int:
        """The total of the group's variables."""
        read = self.graph.reading(values)
        group = read.groups_from(self.node) if read.inside[self.node] else []
        return sum(values[self.variables[node]] for node in group)


@dataclass(frozen=True)
class SameTotal:
    """The groups of two nodes, each in its own graph, have the same total; with ``stated`` false, not.

    The group of a node that is out is empty.
    """

    first: Run
    second: Run
    stated: bool = True

    def scope(self) -> Iterator[Variable]:
        """The variables it speaks of."""
        for run in (self.first, self.second):
            yield from run.graph.scope()
            yield from run.variables

    def holds(self, values: Values) -> bool:
        """Whether it is true of these values."""
        return (self.first.total(values) == self.second.total(values)) is self.stated

    def negated(self) -> SameTotal:
        """The constraint that is true exactly when this one is false."""
        return replace(self, stated=not self.stated)


Grouped = (
    Connected | Joined | Separated | GroupSize | GroupSizes | GroupCount | DifferWithin | GroupTotal
)
"""Every member about groups that gives cuts."""
