"""Members about the numbers on a graph, using the labels of ``groups.py``; and distances.

Whether the root is nearer to one node than to another is read from *levels*: for each node and
number of steps, a helper says whether the root reaches it within that many. They are defined once
for a graph and its root. They are a function of the shown variables, so there is no second encoding
and no cut.
"""

from __future__ import annotations

from collections.abc import Sequence

from gridassay.encodings.cnf.at_most_one import at_most_one
from gridassay.encodings.cnf.groups import (
    COMPLETE,
    both,
    labels_of,
    members,
    open_way,
    register,
    same_group,
    some,
)
from gridassay.encodings.cnf.paths import require_path
from gridassay.encodings.cnf.registry import encoding
from gridassay.encodings.cnf.support import SUPPORTS, Support
from gridassay.encodings.cnf.writer import DEFAULTS, FALSE, TRUE, Writer
from gridassay.encodings.graphs import Graph
from gridassay.encodings.on_graphs import DifferWithin, GroupTotal, Nearer, Run, SameTotal
from gridassay.encodings.variables import Variable


def _differ_within(writer: Writer, c: DifferWithin, support: Support) -> None:
    """In each group at most one node has the value: a row of helpers, "one before had it"."""
    labels = labels_of(writer, c.graph, support)
    nodes = range(len(labels.of))
    having = [writer.literal(variable, c.value) for variable in c.variables]
    twice = []
    for first in nodes:
        seen = FALSE
        for node in nodes[first:]:
            own = both(writer, labels.of[node][first], having[node])
            if c.stated:
                writer.add(-own, -seen)
            else:
                twice.append(both(writer, own, seen))
            seen = some(writer, [seen, own])
    if not c.stated:
        writer.add(*twice)


def _group_total(writer: Writer, c: GroupTotal, support: Support) -> None:
    """The running total of the values of a group's nodes, as a path (``paths.py``)."""
    labels = labels_of(writer, c.graph, support)
    nodes = range(len(labels.of))
    if c.node is not None:
        inside = labels.inside[c.node]
        group = [same_group(writer, labels, c.node, other) for other in nodes]
        if c.stated:
            writer.add(inside)
            _total(writer, c, group)
        else:
            with writer.under(*writer.guard, *_unless(inside)):
                _total(writer, c, group)
        return
    options = []
    for first in nodes:
        group = [labels.label(node, first) for node in nodes]
        if c.stated:
            with writer.under(*writer.guard, -labels.leads[first]):
                _total(writer, c, group)
        else:
            other = writer.fresh()
            writer.define(-other, labels.leads[first])
            with writer.under(-other):
                _total(writer, c, group)
            options.append(other)
    if not c.stated:
        writer.add(*options)


def _unless(literal: int) -> list[int]:
    """The guard under which something binds while the literal (which is not always false) is true."""
    return [] if literal == TRUE else [-literal]


def _total(writer: Writer, c: GroupTotal, group: Sequence[int]) -> None:
    """The nodes whose literal is true have the total that is meant or, negated, another total."""
    layers = []
    for literal, variable in zip(group, c.variables, strict=True):
        if literal == FALSE:
            continue
        options = [(0, -literal)] if literal != TRUE else []
        values = writer.domains[variable]
        options += [(n, both(writer, literal, writer.literal(variable, n))) for n in values]
        merged: dict[int, list[int]] = {}
        for number, one in options:
            merged.setdefault(number, []).append(one)
        layers.append([(number, some(writer, ones)) for number, ones in merged.items()])
    allowed: frozenset[int] | None = None
    start = 0
    if isinstance(c.totals, frozenset):
        allowed = c.totals
    else:
        # The required total is read first, and then what is left of it after each node.
        wanted = c.totals
        layers.insert(0, [(-n, writer.literal(wanted, n)) for n in writer.domains[wanted]])
        allowed = frozenset({0})
    most = [0]
    least = [0]
    for layer in reversed(layers):
        most.append(most[-1] + max(number for number, _ in layer))
        least.append(least[-1] + min(number for number, _ in layer))
    high, low = max(allowed, default=0), min(allowed, default=0)

    def step(layer: int, reached: int, number: int) -> int | None:
        after = reached + number
        left = len(layers) - layer - 1
        if c.stated and (after + least[left] > high or after + most[left] < low):
            return None
        return after

    require_path(
        writer, layers, start, step, lambda reached: (reached in allowed) is c.stated, steady=False
    )


def _levels(writer: Writer, graph: Graph, root: int) -> list[list[int]]:
    """For each number of steps and each node, a literal: the root reaches it within that many."""
    key = "levels", graph, root
    if key not in writer.kept:
        with writer.under():
            inside = members(writer, graph)
            reached = [FALSE] * len(inside)
            reached[root] = inside[root]
            levels = [reached]
            for _ in inside[2:]:
                reached = [_step(writer, graph, inside, levels[-1], n) for n in range(len(inside))]
                levels.append(reached)
        writer.kept[key] = levels
    found = writer.kept[key]
    assert isinstance(found, list)
    return found


def _step(
    writer: Writer, graph: Graph, inside: Sequence[int], reached: Sequence[int], node: int
) -> int:
    """A node is reached with one more step."""
    if reached[node] == TRUE:
        return TRUE
    coming = [
        both(writer, reached[other], both(writer, open_way(writer, variable), inside[node]))
        for other, variable in graph.around[node]
        if reached[other] != FALSE
    ]
    return some(writer, [reached[node], *coming])


@encoding(Nearer, "levels")
def nearer(writer: Writer, c: Nearer) -> None:
    """At some number of steps the first is reached, and the second is not."""
    levels = _levels(writer, c.graph, c.root)
    pairs = [(level[c.first], -level[c.second]) for level in levels]
    if c.stated:
        writer.add(*[both(writer, *pair) for pair in pairs])
        return
    for near, far in pairs:
        writer.add(-near, -far)


def _totals(writer: Writer, run: Run) -> dict[int, int]:
    """For each possible total of a node's group, a literal; exactly the one for its total is true."""
    key = "totals", run
    if key not in writer.kept:
        labels = labels_of(writer, run.graph, SUPPORTS[COMPLETE])
        with writer.under():
            states = {0: TRUE}
            for other, variable in enumerate(run.variables):
                near = same_group(writer, labels, run.node, other)
                if near != FALSE:
                    states = _add_to_totals(writer, states, near, variable)
            at_most_one(writer, [one for one in states.values() if one != TRUE])
        writer.kept[key] = states
    found = writer.kept[key]
    assert isinstance(found, dict)
    return found


def _add_to_totals(
    writer: Writer, states: dict[int, int], near: int, variable: Variable
) -> dict[int, int]:
    """The possible totals with one more variable, which counts while a literal is true."""
    after: dict[int, int] = {}
    for reached, literal in states.items():
        options = [(n, writer.literal(variable, n), near) for n in writer.domains[variable]]
        if near != TRUE:
            options.append((0, TRUE, -near))
        for number, has, counts in options:
            if reached + number not in after:
                after[reached + number] = writer.fresh()
            reasons = [-one for one in (literal, has, counts) if one != TRUE]
            writer.add(*reasons, after[reached + number])
    return after


@encoding(SameTotal, "totals")
def same_total(writer: Writer, c: SameTotal) -> None:
    """The totals of both groups, number by number."""
    first, second = _totals(writer, c.first), _totals(writer, c.second)
    for total, literal in first.items():
        other = second.get(total, FALSE)
        if c.stated:
            writer.add(-literal, other)
        elif other != FALSE:
            writer.add(-literal, -other)


DEFAULTS["SameTotal"] = lambda constraint, writer: "totals"
DEFAULTS["Nearer"] = lambda constraint, writer: "levels"
register(DifferWithin, _differ_within)
register(GroupTotal, _group_total)
