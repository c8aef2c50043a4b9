"""Well-founded support: every node that is in is tied to a root by a chain of parents.

This is what makes "connected" more than "has a neighbour": support must not go round in a circle. The
encodings side by side:

===========  ==========================================================================
levels       a node is reached in so many steps: n·n helpers, propagates forward (the unrolling
             of reachability, as in bounded model checking, Biere et al. 1999)
parents      each node chooses a parent whose number in an order, written in binary, is smaller
             (Prosser's circuit order; Velev and Gao, "Efficient SAT techniques for absolute
             encoding of permutation problems", 2009, for the order): n·log n helpers
elimination  each node chooses a parent, and the choice has no cycle by eliminating the vertices of
             the graph one by one (Rankooh and Rintanen, "Propositional encodings of acyclicity and
             reachability by using vertex elimination", AAAI 2022): helpers for the fill-in
===========  ==========================================================================

Each writes under the writer's guard, so that it may stand under a switch or, with no guard, define.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from gridassay.encodings.cnf.writer import FALSE, TRUE, Writer

Arc = tuple[int, int, int]
"""From node, to node, and the literal that is true while it may carry support."""

Support = Callable[[Writer, Sequence[int], Sequence[Arc], Sequence[int]], None]


def levels(
    writer: Writer, inside: Sequence[int], arcs: Sequence[Arc], roots: Sequence[int]
) -> None:
    """A node that is in is reached from a root in fewer steps than there are nodes."""
    coming: list[list[tuple[int, int]]] = [[] for _ in inside]
    for first, second, carries in arcs:
        coming[second].append((first, carries))
    reached = list(roots)
    for _ in range(len(inside) - 1):
        following = []
        for node, before in enumerate(reached):
            if before == TRUE or not coming[node]:
                following.append(before)
                continue
            after = writer.fresh()
            options = [before]
            for other, carries in coming[node]:
                if reached[other] == FALSE or carries == FALSE:
                    continue
                step = reached[other]
                if carries != TRUE:
                    step = writer.fresh()
                    writer.add(-step, reached[other])
                    writer.add(-step, carries)
                options.append(step)
            writer.add(-after, *options)
            writer.add(-after, inside[node])
            following.append(after)
        reached = following
    for is_in, after in zip(inside, reached, strict=True):
        writer.add(-is_in, after)


def _choose_parents(
    writer: Writer, inside: Sequence[int], arcs: Sequence[Arc], roots: Sequence[int]
) -> list[tuple[int, int, int]]:
    """Each node that is in is a root or has a parent; return the arcs with their literals."""
    chosen = []
    options: list[list[int]] = [[root] for root in roots]
    for first, second, carries in arcs:
        if carries == FALSE:
            continue
        choice = writer.fresh()
        writer.add(-choice, inside[first])
        writer.add(-choice, carries)
        options[second].append(choice)
        chosen.append((first, second, choice))
    for is_in, either in zip(inside, options, strict=True):
        writer.add(-is_in, *either)
    return chosen


def parents(
    writer: Writer, inside: Sequence[int], arcs: Sequence[Arc], roots: Sequence[int]
) -> None:
    """A parent's binary number is smaller than its child's."""
    width = max(1, (len(inside) - 1).bit_length())
    orders = [[writer.fresh() for _ in range(width)] for _ in inside]
    for first, second, choice in _choose_parents(writer, inside, arcs, roots):
        # From the highest bit on: equal so far (a prefix), and smaller at some place.
        equal = choice
        for place, (low, high) in enumerate(zip(orders[first], orders[second], strict=True)):
            writer.add(-equal, -low, high)
            if place == width - 1:
                writer.add(-equal, -low)
                writer.add(-equal, high)
                break
            onward = writer.fresh()
            writer.add(-equal, -low, -high, onward)
            writer.add(-equal, low, high, onward)
            equal = onward


def elimination(
    writer: Writer, inside: Sequence[int], arcs: Sequence[Arc], roots: Sequence[int]
) -> None:
    """The chosen parents have no cycle, by vertex elimination with the smallest degree first."""
    after: dict[tuple[int, int], int] = {}
    beside: list[set[int]] = [set() for _ in inside]
    for first, second, choice in _choose_parents(writer, inside, arcs, roots):
        # A separate helper: that one node comes after another does not mean that it is its parent.
        after[first, second] = writer.fresh()
        writer.add(-choice, after[first, second])
        beside[first].add(second)
        beside[second].add(first)
    left = set(range(len(inside)))
    while left:
        node = min(left, key=lambda one: (len(beside[one]), one))
        left.remove(node)
        others = sorted(beside[node])
        for other in others:
            into, out = after.get((other, node)), after.get((node, other))
            if into is not None and out is not None:
                writer.add(-into, -out)
        for first in others:
            into = after.get((first, node))
            if into is None:
                continue
            for second in others:
                out = after.get((node, second))
                if second == first or out is None:
                    continue
                if (first, second) not in after:
                    after[first, second] = writer.fresh()
                writer.add(-into, -out, after[first, second])
        for first in others:
            beside[first].discard(node)
            beside[first].update(other for other in others if other != first)


SUPPORTS: dict[str, Support] = {
    "levels": levels,
    "parents": parents,
    "elimination": elimination,
}
"""Every way to say it by its name."""
