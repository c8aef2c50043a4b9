"""Members about groups of a graph in CP-SAT: parents with ranks, written apart from the clauses.

The group of a node is told by *tags*: whole numbers that agree along open ways, are at most the
node's own number, and are the node's own number exactly if it has no parent; parents have smaller
ranks. So the tag of a group is the number of its first node, whatever else is on or off.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from ortools.sat.python import cp_model

from gridassay.encodings.cp.builder import STATE, Bool, Builder
from gridassay.encodings.graphs import Graph
from gridassay.encodings.groups import (
    Connected,
    GroupCount,
    GroupSize,
    GroupSizes,
    Joined,
    Separated,
)
from gridassay.encodings.variables import Variable


def members(build: Builder, graph: Graph) -> list[Bool]:
    """A literal for each node that is true exactly when it is in."""
    key = "members", graph
    if key not in build.kept:
        build.kept[key] = [_member(build, graph, node) for node in range(len(graph.nodes))]
    found: list[Bool] = build.kept[key]
    return found


def _member(build: Builder, graph: Graph, number: int) -> Bool:
    node = graph.nodes[number]
    if node is None:
        return build.model.new_constant(1)
    literals = [build.equals(node.variable, value) for value in sorted(node.values)]
    if len(literals) == 1:
        return literals[0]
    inside = build.model.new_bool_var("")
    build.model.add(cp_model.LinearExpr.sum(literals) == inside)
    return inside


def ways_of(build: Builder, graph: Graph) -> list[tuple[int, int, list[Bool]]]:
    """Each way with the literals that are all true exactly when it joins its ends."""
    inside = members(build, graph)
    return [
        (
            first,
            second,
            [
                inside[first],
                inside[second],
                *([] if variable is None else [build.equals(variable, 1)]),
            ],
        )
        for first, second, variable in graph.ways
    ]


def _hang(build: Builder, graph: Graph, roots: Sequence[Bool], on: list[Bool]) -> None:
    """While all of ``on`` is true each node that is in is a root or has a parent of smaller rank."""
    model, inside = build.model, members(build, graph)
    count = len(inside)
    ranks = [model.new_int_var(0, count - 1, "") for _ in inside]
    options: list[list[Bool]] = [[root] for root in roots]
    for first, second, joins in ways_of(build, graph):
        for parent, child in ((first, second), (second, first)):
            choice = model.new_bool_var("")
            for literal in joins:
                model.add_implication(choice, literal)
            model.add(ranks[parent] + 1 <= ranks[child]).only_enforce_if(choice)
            options[child].append(choice)
    for is_in, either in zip(inside, options, strict=True):
        model.add_bool_or(either).only_enforce_if([is_in, *on])


def _connectivity(build: Builder, c: Connected, on: Bool | None) -> None:
    model, inside = build.model, members(build, c.graph)
    bound = [] if on is None else [on]
    if not c.stated:
        _two_sides(build, c, bound)
        return
    if c.outside is not None:
        never = model.new_constant(0)
        roots = [inside[node] if node in c.outside else never for node in range(len(inside))]
    else:
        roots = [model.new_bool_var("") for _ in inside]
        model.add(cp_model.LinearExpr.sum(roots) <= 1)
        if not c.empty:
            model.add_bool_or(inside).only_enforce_if(bound)
    _hang(build, c.graph, roots, bound)


def _two_sides(build: Builder, c: Connected, bound: list[Bool]) -> None:
    model, inside = build.model, members(build, c.graph)
    sides = [model.new_bool_var("") for _ in inside]
    for first, second, joins in ways_of(build, c.graph):
        model.add(sides[first] == sides[second]).only_enforce_if([*joins, *bound])
    shown, hidden = [], []
    for is_in, side in zip(inside, sides, strict=True):
        one, other = model.new_bool_var(""), model.new_bool_var("")
        model.add_implication(one, is_in)
        model.add_implication(one, side)
        model.add_implication(other, is_in)
        model.add_implication(other, ~side)
        shown.append(one)
        hidden.append(other)
    if c.outside is not None:
        model.add_bool_or(shown).only_enforce_if(bound)
        for node in c.outside:
            model.add(sides[node] == 0).only_enforce_if([inside[node], *bound])
        return
    nothing = model.new_bool_var("")
    if c.empty:
        model.add(nothing == 0)
    for is_in in inside:
        model.add_implication(nothing, ~is_in)
    model.add_bool_or([nothing, *shown]).only_enforce_if(bound)
    model.add_bool_or([nothing, *hidden]).only_enforce_if(bound)


class Tags:
    """For each node the number of the first node of its group; -1 if it is out."""

    def __init__(self, build: Builder, graph: Graph) -> None:
        model = build.model
        self.build, self.graph = build, graph
        self._same: dict[tuple[int, int], Bool] = {}
        self.inside = members(build, graph)
        self.tags = [model.new_int_var(-1, node, "") for node in range(len(graph.nodes))]
        self.leads = []
        for node, is_in in enumerate(self.inside):
            model.add(self.tags[node] >= 0).only_enforce_if(is_in)
            model.add(self.tags[node] == -1).only_enforce_if(~is_in)
            lead = model.new_bool_var("")
            model.add(self.tags[node] == node).only_enforce_if(lead)
            model.add(self.tags[node] != node).only_enforce_if(~lead)
            self.leads.append(lead)
        for first, second, joins in ways_of(build, graph):
            model.add(self.tags[first] == self.tags[second]).only_enforce_if(joins)
        _hang(build, graph, self.leads, [])

    def has(self, node: int, first: int) -> Bool:
        """True exactly when the group of a node begins with this one."""
        literal = self.build.model.new_bool_var("")
        self.build.model.add(self.tags[node] == first).only_enforce_if(literal)
        self.build.model.add(self.tags[node] != first).only_enforce_if(~literal)
        return literal

    def same(self, one: int, other: int) -> Bool:
        """True exactly when both nodes are in the graph and in the same group."""
        pair = (min(one, other), max(one, other))
        if pair not in self._same:
            self._same[pair] = self._tie(*pair)
        return self._same[pair]

    def _tie(self, one: int, other: int) -> Bool:
        model = self.build.model
        literal, equal = model.new_bool_var(""), model.new_bool_var("")
        model.add(self.tags[one] == self.tags[other]).only_enforce_if(equal)
        model.add(self.tags[one] != self.tags[other]).only_enforce_if(~equal)
        model.add_bool_and([equal, self.inside[one]]).only_enforce_if(literal)
        model.add_bool_or([~equal, ~self.inside[one]]).only_enforce_if(~literal)
        return literal


def tags_of(build: Builder, graph: Graph) -> Tags:
    """The tags of a graph, made once."""
    key = "tags", graph
    if key not in build.kept:
        build.kept[key] = Tags(build, graph)
    found: Tags = build.kept[key]
    return found


def _joining(build: Builder, c: Joined, on: Bool | None) -> None:
    same = tags_of(build, c.graph).same(c.first, c.second)
    build.enforce(build.model.add(same == int(c.stated)), on)


def _separation(build: Builder, c: Separated, on: Bool | None) -> None:
    tags, idle = tags_of(build, c.graph), []
    for way in c.graph.ways:
        if way.variable is not None:
            both = [tags.same(way.first, way.second), ~build.equals(way.variable, 1)]
            literal = build.model.new_bool_var("")
            build.model.add_bool_and(both).only_enforce_if(literal)
            build.model.add_bool_or([~one for one in both]).only_enforce_if(~literal)
            idle.append(literal)
    number = cp_model.LinearExpr.sum(idle)
    build.enforce(build.model.add(number == 0) if c.stated else build.model.add(number >= 1), on)


def _number(
    build: Builder,
    literals: Sequence[Bool],
    counts: frozenset[int] | Variable,
    stated: bool,
    bound: list[Bool],
) -> None:
    number = cp_model.LinearExpr.sum(list(literals))
    if not isinstance(counts, frozenset):
        wanted = build.variables[counts]
        fits = build.model.add(number == wanted) if stated else build.model.add(number != wanted)
        fits.only_enforce_if(bound)
        return
    allowed = [n for n in range(len(literals) + 1) if (n in counts) is stated]
    if allowed:
        domain = cp_model.Domain.from_values(allowed)
        build.model.add_linear_expression_in_domain(number, domain).only_enforce_if(bound)
    else:
        build.model.add_bool_or([~one for one in bound])


def _group_size(build: Builder, c: GroupSize, on: Bool | None) -> None:
    tags, bound = tags_of(build, c.graph), [] if on is None else [on]
    group = [tags.same(c.node, other) for other in range(len(tags.inside))]
    inside = tags.inside[c.node]
    if c.stated:
        build.model.add_bool_and([inside]).only_enforce_if(bound)
        _number(build, group, c.sizes, True, bound)
    else:
        _number(build, group, c.sizes, False, [*bound, inside])


def _group_count(build: Builder, c: GroupCount, on: Bool | None) -> None:
    leads = tags_of(build, c.graph).leads
    _number(build, leads, c.counts, c.stated, [] if on is None else [on])


def _group_sizes(build: Builder, c: GroupSizes, on: Bool | None) -> None:
    """Every size that groups may have at all is counted, and held to the list."""
    tags, model, bound = tags_of(build, c.graph), build.model, [] if on is None else [on]
    nodes = range(len(tags.inside))
    wanted = Counter(c.sizes)
    number = []
    for first in nodes:
        group = [tags.has(node, first) for node in nodes if node >= first]
        reached = model.new_int_var(0, len(nodes), "")
        model.add(reached == cp_model.LinearExpr.sum(group))
        number.append(reached)
    wrong = []
    for size in range(1, len(nodes) + 1):
        having = []
        for reached in number:
            literal = model.new_bool_var("")
            model.add(reached == size).only_enforce_if(literal)
            model.add(reached != size).only_enforce_if(~literal)
            having.append(literal)
        other = model.new_bool_var("")
        total = cp_model.LinearExpr.sum(having)
        model.add(total == wanted[size]).only_enforce_if(~other)
        model.add(total != wanted[size]).only_enforce_if(other)
        wrong.append(other)
    if any(size > len(nodes) for size in wanted) or any(size < 1 for size in wanted):
        wrong.append(model.new_constant(1))
    if c.stated:
        model.add_bool_and([~one for one in wrong]).only_enforce_if(bound)
    else:
        model.add_bool_or(wrong).only_enforce_if(bound)


STATE |= {
    Connected: _connectivity,
    Joined: _joining,
    Separated: _separation,
    GroupSize: _group_size,
    GroupSizes: _group_sizes,
    GroupCount: _group_count,
}
