"""Members about groups of a graph: by support from roots, by sides, by labels, and by cuts.

*Connected* is support from one root that is chosen, or from the outside; its negation shows two
*sides*, each with a node that is in, with no open way between them. The others read
*labels*: each node that is in carries the number of the first node of its group, which is defined once
for a graph and is a function of what is shown. Both use one of the encodings of
support (``support.py``), after which the encoding is named.

*Cuts* writes only a note: the engine must check every solution against the plain meaning of the
member, and add the cuts that it gives while it is broken (``Writer.noted``). If no engine can
do that, complete encodings are written.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from typing import Any

from gridassay.encodings.cnf.at_most_one import at_most_one
from gridassay.encodings.cnf.counts import count_literals
from gridassay.encodings.cnf.registry import ENCODERS, Encoder
from gridassay.encodings.cnf.support import SUPPORTS, Arc, Support
from gridassay.encodings.cnf.writer import DEFAULTS, FALSE, TRUE, Writer
from gridassay.encodings.graphs import Cut, Graph
from gridassay.encodings.groups import (
    Connected,
    GroupCount,
    GroupSize,
    GroupSizes,
    Joined,
    Separated,
)
from gridassay.encodings.on_graphs import Grouped, GroupTotal
from gridassay.encodings.variables import Variable

COMPLETE = "elimination"
"""The default where cuts cannot be had; see docs/benchmarks.md."""


def members(writer: Writer, graph: Graph) -> list[int]:
    """A literal for each node that is true exactly when it is in."""
    found = []
    for node in graph.nodes:
        if node is None:
            found.append(TRUE)
            continue
        domain = writer.domains[node.variable]
        inside = [value for value in domain if value in node.values]
        outside = [value for value in domain if value not in node.values]
        if not inside or not outside:
            found.append(TRUE if inside else FALSE)
        elif len(inside) == 1:
            found.append(writer.literal(node.variable, inside[0]))
        elif len(outside) == 1:
            found.append(-writer.literal(node.variable, outside[0]))
        else:
            helper = writer.fresh()
            literals = [writer.literal(node.variable, value) for value in inside]
            writer.define(-helper, *literals)
            for literal in literals:
                writer.define(-literal, helper)
            found.append(helper)
    return found


def open_way(writer: Writer, variable: Variable | None) -> int:
    """A literal that is true exactly when the way is open."""
    return TRUE if variable is None else writer.literal(variable, 1)


def _arcs(writer: Writer, graph: Graph) -> list[Arc]:
    arcs = []
    for first, second, variable in graph.ways:
        carries = open_way(writer, variable)
        arcs += [(first, second, carries), (second, first, carries)]
    return arcs


def _connectivity(writer: Writer, c: Connected, support: Support) -> None:
    inside = members(writer, c.graph)
    if not c.stated:
        _two_sides(writer, c, inside)
        return
    if c.outside is not None:
        roots = [is_in if node in c.outside else FALSE for node, is_in in enumerate(inside)]
    else:
        roots = [writer.fresh() for _ in inside]
        at_most_one(writer, roots)
        for root, is_in in zip(roots, inside, strict=True):
            writer.add(-root, is_in)
        if not c.empty:
            writer.add(*inside)
    support(writer, inside, _arcs(writer, c.graph), roots)


def _two_sides(writer: Writer, c: Connected, inside: Sequence[int]) -> None:
    """A node that is in on one side, and one on the other (or: and the outside); or none is in."""
    sides = [writer.fresh() for _ in inside]
    for first, second, variable in c.graph.ways:
        apart = (-inside[first], -inside[second], -open_way(writer, variable))
        writer.add(*apart, -sides[first], sides[second])
        writer.add(*apart, sides[first], -sides[second])
    witnesses = [writer.fresh() for _ in inside]
    for witness, is_in, side in zip(witnesses, inside, sides, strict=True):
        writer.add(-witness, is_in)
        writer.add(-witness, side)
    if c.outside is not None:
        writer.add(*witnesses)
        for node in c.outside:
            writer.add(-inside[node], -sides[node])
        return
    others = [writer.fresh() for _ in inside]
    for other, is_in, side in zip(others, inside, sides, strict=True):
        writer.add(-other, is_in)
        writer.add(-other, -side)
    none = FALSE
    if not c.empty:
        none = writer.fresh()
        for is_in in inside:
            writer.add(-none, -is_in)
    writer.add(none, *witnesses)
    writer.add(none, *others)


class Labels:
    """For each node the literals that it belongs to the group whose first node is this one."""

    def __init__(self, writer: Writer, graph: Graph, support: Support) -> None:
        with writer.under():
            self.inside = members(writer, graph)
            self.of = [
                {first: writer.fresh() for first in range(node + 1)}
                for node in range(len(graph.nodes))
            ]
            self.leads = [self.of[node][node] for node in range(len(graph.nodes))]
            for is_in, own in zip(self.inside, self.of, strict=True):
                writer.add(-is_in, *own.values())
                at_most_one(writer, list(own.values()))
                for label in own.values():
                    writer.add(-label, is_in)
            for one, other, variable in graph.ways:
                both = (-self.inside[one], -self.inside[other], -open_way(writer, variable))
                for first in range(max(one, other) + 1):
                    label, same = self.label(one, first), self.label(other, first)
                    writer.add(*both, -label, same)
                    writer.add(*both, -same, label)
            support(writer, self.inside, _arcs(writer, graph), self.leads)

    def label(self, node: int, first: int) -> int:
        """A literal: the group of a node begins with this one."""
        return self.of[node].get(first, FALSE)


def labels_of(writer: Writer, graph: Graph, support: Support) -> Labels:
    """The labels of a graph, made once."""
    key = "labels", graph
    if key not in writer.kept:
        writer.kept[key] = Labels(writer, graph, support)
    found = writer.kept[key]
    assert isinstance(found, Labels)
    return found


def both(writer: Writer, first: int, second: int) -> int:
    """A literal that is true exactly when both are."""
    if FALSE in (first, second):
        return FALSE
    if first == TRUE:
        return second
    if second == TRUE or first == second:
        return first
    helper = writer.fresh()
    writer.define(-helper, first)
    writer.define(-helper, second)
    writer.define(helper, -first, -second)
    return helper


def some(writer: Writer, literals: Sequence[int]) -> int:
    """A literal that is true exactly when one of them is."""
    known = [literal for literal in literals if literal != FALSE]
    if TRUE in known:
        return TRUE
    if len(known) < 2:
        return known[0] if known else FALSE
    helper = writer.fresh()
    writer.define(-helper, *known)
    for literal in known:
        writer.define(-literal, helper)
    return helper


def same_group(writer: Writer, labels: Labels, one: int, other: int) -> int:
    """A literal that is true exactly when two nodes are in, and in one group."""
    if one == other:
        return labels.inside[one]
    shared = range(min(one, other) + 1)
    return some(writer, [both(writer, labels.of[one][f], labels.of[other][f]) for f in shared])


def _others(literals: Sequence[int], counts: frozenset[int]) -> frozenset[int]:
    return frozenset(range(len(literals) + 1)) - counts


def _number(
    writer: Writer,
    literals: Sequence[int],
    counts: frozenset[int] | Variable,
    stated: bool,
) -> None:
    """As many of the literals are true as a set or a variable says, or not so."""
    if isinstance(counts, frozenset):
        count_literals(writer, literals, counts if stated else _others(literals, counts))
        return
    for value in writer.domains[counts]:
        with writer.under(*writer.guard, -writer.literal(counts, value)):
            alone = frozenset({value})
            count_literals(writer, literals, alone if stated else _others(literals, alone))


def _joining(writer: Writer, c: Joined, support: Support) -> None:
    same = same_group(writer, labels_of(writer, c.graph, support), c.first, c.second)
    writer.add(same if c.stated else -same)


def _separation(writer: Writer, c: Separated, support: Support) -> None:
    labels = labels_of(writer, c.graph, support)
    idle = []
    for one, other, variable in c.graph.ways:
        if variable is not None:
            same = same_group(writer, labels, one, other)
            if c.stated:
                writer.add(-same, open_way(writer, variable))
            else:
                idle.append(both(writer, same, -open_way(writer, variable)))
    if not c.stated:
        writer.add(*idle)


def _group_size(writer: Writer, c: GroupSize, support: Support) -> None:
    labels = labels_of(writer, c.graph, support)
    inside = labels.inside[c.node]
    group = [same_group(writer, labels, c.node, other) for other in range(len(labels.of))]
    if c.stated:
        writer.add(inside)
        _number(writer, group, c.sizes, stated=True)
    elif inside != FALSE:
        with (
            writer.under(*writer.guard, -inside) if inside != TRUE else writer.under(*writer.guard)
        ):
            _number(writer, group, c.sizes, stated=False)


def _group_count(writer: Writer, c: GroupCount, support: Support) -> None:
    labels = labels_of(writer, c.graph, support)
    _number(writer, labels.leads, c.counts, c.stated)


def _group_sizes(writer: Writer, c: GroupSizes, support: Support) -> None:
    """For each first node and each size a literal: it leads a group of that size."""
    labels = labels_of(writer, c.graph, support)
    nodes = range(len(labels.of))
    wanted = Counter(c.sizes)
    of_size: dict[int, list[int]] = {size: [] for size in wanted}
    fits: list[list[int]] = []
    for first in nodes:
        group = [labels.of[node][first] for node in nodes if node >= first]
        own = []
        for size in wanted:
            has = writer.fresh()
            with writer.under(-has):
                count_literals(writer, group, frozenset({size}))
            with writer.under(has):
                count_literals(writer, group, _others(group, frozenset({size})))
            of_size[size].append(has)
            own.append(has)
        fits.append(own)
    if c.stated:
        for first in nodes:
            writer.add(-labels.leads[first], *fits[first])
        for size, times in wanted.items():
            count_literals(writer, of_size[size], frozenset({times}))
        return
    options = []
    for first in nodes:
        odd = writer.fresh()
        writer.define(-odd, labels.leads[first])
        for has in fits[first]:
            writer.define(-odd, -has)
        options.append(odd)
    for size, times in wanted.items():
        other = writer.fresh()
        with writer.under(-other):
            count_literals(writer, of_size[size], _others(of_size[size], frozenset({times})))
        options.append(other)
    writer.add(*options)


def note(writer: Writer, constraint: Grouped) -> None:
    """Write only a note of it with its guard, or all of it if there can be no cuts."""
    if writer.noted is None or not constraint.has_cuts:
        ENCODERS[type(constraint).__name__][COMPLETE](writer, constraint)
    else:
        writer.noted.append((writer.guard, constraint))


def clause_of(writer: Writer, cut: Cut) -> list[int]:
    """The literals of which a cut demands one."""
    literals = []
    for variable, values, inside in cut:
        if inside:
            literals += [writer.literal(variable, value) for value in values]
        elif len(values) == 1:
            literals += [-writer.literal(variable, value) for value in values]
        else:
            others = set(writer.domains[variable]) - values
            literals += [writer.literal(variable, value) for value in others]
    return [literal for literal in dict.fromkeys(literals) if literal != FALSE]


Write = Callable[[Writer, Any, Support], None]

_WRITE: dict[type, Write] = {
    Connected: _connectivity,
    Joined: _joining,
    Separated: _separation,
    GroupSize: _group_size,
    GroupSizes: _group_sizes,
    GroupCount: _group_count,
}


def _encoder(write: Write, support: Support) -> Encoder:
    return lambda writer, constraint: write(writer, constraint, support)


def _default(constraint: Grouped, writer: Writer) -> str:
    """Cuts if the engine checks solutions against them.

    Measured to two on 9×9 boards: two colours take 1.9 ms by cuts and 3.0 by elimination, with one
    solution 3.3 and 9.9; caves 5.3 and 4.3, with one solution 5.6 and 10; border loops on 10×10 20 and
    820. That a few cells part others is proved hundreds of times as fast by cuts.
    """
    if writer.noted is None or not constraint.has_cuts:
        return COMPLETE
    if isinstance(constraint, GroupTotal) and len(constraint.graph.nodes) <= 16:
        return COMPLETE  # the runs of a loop within a box
    return "cuts"


def register(kind: type, write: Write) -> None:
    """Register a member with every encoding of support, and with cuts."""
    own = ENCODERS.setdefault(kind.__name__, {})
    for name, support in SUPPORTS.items():
        own[name] = _encoder(write, support)
    own["cuts"] = note
    DEFAULTS[kind.__name__] = _default


for _kind, _write in _WRITE.items():
    register(_kind, _write)
