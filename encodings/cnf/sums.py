"""Sums as clauses: three encodings side by side.

=========  ==================================================================================
sets       one selector for each set of values with the right total: for variables that all
           differ, have one domain and count once each. Few sets, short clauses, and the sets
           are what people reason with.
order      a totalizer on order literals, halves merged pairwise (Bailleux and Boufkhad 2003;
           weights as in the generalized totalizer, Joshi, Martins and Manquinho 2015), each
           partial total kept within what the rest of the sum leaves it.
diagram    a path through the partial sums (``paths.py``): dynamic programming, exact for any
           coefficients and relations.
=========  ==================================================================================

Why ``order`` is the default wherever ``sets`` does not fit: random 9×9 boards with houses, a few
givens and connected groups of cells whose digits may repeat, two solves each, geometric means. The
time of ``diagram`` over that of ``order`` for groups of k cells:

======================================  ====  ====  ====  ====  ====  ====  ====  ====
k                                          2     3     4     5     6     7     8     9
======================================  ====  ====  ====  ====  ====  ====  ====  ====
one group makes a number                 1.4   4.9   1.7   2.0   3.9   3.0   6.9  26
two groups differ by a number            1.9   4.1   2.0   3.6   1.6   5.3   1.7
two groups differ by at least a number   1.3   1.3   1.6   1.8
======================================  ====  ====  ====  ====  ====  ====  ====  ====

Building takes the same time; the clauses of the whole board are 1.0 to 1.4 times as many (1.5 to 1.9
for "at least"). Keeping partial totals in bounds halves the clauses of a totalizer without it.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from itertools import combinations, pairwise
from math import comb

from gridassay.encodings.cnf.paths import require_path
from gridassay.encodings.cnf.registry import encoding
from gridassay.encodings.cnf.writer import DEFAULTS, FALSE, TRUE, Writer
from gridassay.encodings.constraints import AllDifferent, Sum, relation_holds

MOST_SETS = 200
"""More sets than this and a totalizer is the default."""
MOST_TRIED = 100_000
"""More subsets of the domain than this are not even looked through."""


def _sets(constraint: Sum, domain: Sequence[int]) -> list[tuple[int, ...]]:
    size = len(constraint.variables)
    return [
        values
        for values in combinations(domain, size)
        if relation_holds(sum(values), constraint.relation, constraint.total)
    ]


def _alike(constraint: Sum, writer: Writer) -> bool:
    domains = {tuple(writer.domains[variable]) for variable in constraint.variables}
    return constraint.distinct and len(domains) == 1 and set(constraint.coefficients) == {1}


@encoding(Sum, "sets")
def sum_by_sets(writer: Writer, constraint: Sum) -> None:
    """One selector per set: it keeps other values out and each value of the set in."""
    if not _alike(constraint, writer):
        sum_by_diagram(writer, constraint)
        return
    variables = constraint.variables
    domain = writer.domains[variables[0]]
    sets = _sets(constraint, domain)
    writer.require(AllDifferent(variables))
    possible = {value for values in sets for value in values}
    certain = {value for value in possible if all(value in values for values in sets)}
    for value in domain:
        if value not in possible:
            for variable in variables:
                writer.add(-writer.literal(variable, value))
        elif value in certain:
            writer.add(*[writer.literal(variable, value) for variable in variables])
    if len(sets) == 1:
        return
    selectors = [writer.fresh() for _ in sets]
    writer.add(*selectors)
    for selector, values in zip(selectors, sets, strict=True):
        for value in sorted(possible - certain):
            literals = [writer.literal(variable, value) for variable in variables]
            if value in values:
                writer.define(-selector, *literals)
            else:
                for literal in literals:
                    writer.define(-selector, -literal)


@encoding(Sum, "diagram")
def sum_by_diagram(writer: Writer, constraint: Sum) -> None:
    """A path through partial sums, variables of the widest span last."""
    if constraint.distinct:
        writer.require(AllDifferent(constraint.variables))
    relation, total = constraint.relation, constraint.total
    terms = sorted(
        zip(constraint.coefficients, constraint.variables, strict=True),
        key=lambda term: len(writer.domains[term[1]]) * abs(term[0]),
    )
    layers = [
        [
            (coefficient * value, writer.literal(variable, value))
            for value in writer.domains[variable]
        ]
        for coefficient, variable in terms
    ]
    require_path(
        writer,
        layers,
        0,
        lambda layer, reached, step: reached + step,
        lambda reached: relation_holds(reached, relation, total),
    )


@encoding(Sum, "order")
def sum_by_order(writer: Writer, constraint: Sum) -> None:
    """A totalizer: order literals of halves merged, each total kept within what the rest allows."""
    if constraint.distinct:
        writer.require(AllDifferent(constraint.variables))
    relation, total = constraint.relation, constraint.total
    if relation == "!=" or not constraint.variables:
        sum_by_diagram(writer, Sum(constraint.variables, relation, total, constraint.coefficients))
        return
    leaves: list[_Total] = []
    for coefficient, variable in zip(constraint.coefficients, constraint.variables, strict=True):
        leaf = {
            coefficient * value: writer.at_least(variable, value)
            if coefficient > 0
            else -writer.at_least(variable, value + 1)
            for value in writer.domains[variable]
        }
        leaves.append(dict(sorted(leaf.items())))
    least = total if relation in ("==", ">=") else sum(min(leaf) for leaf in leaves)
    most = total if relation in ("==", "<=") else sum(max(leaf) for leaf in leaves)
    _merge(writer, leaves, least, most)


_Total = dict[int, int]
"""A rising map from each number that a total can be to the literal "at least this number"."""


def _merge(writer: Writer, parts: list[_Total], least: int, most: int) -> _Total:
    """Merge totals into one between ``least`` and ``most``, halves first.

    Each half is kept within what the other leaves it. Only the clauses that keep it there restrict
    and carry the guard. The others define: whatever the variables are, they are kept by giving each
    helper the truth of "at least this number" about totals moved to the nearest one in bounds.
    """
    if len(parts) == 1:
        return _clip(writer, parts[0], least, most)
    left, right = parts[: len(parts) // 2], parts[len(parts) // 2 :]
    lows = sum(min(part) for part in left), sum(min(part) for part in right)
    highs = sum(max(part) for part in left), sum(max(part) for part in right)
    merged_left = _merge(writer, left, least - highs[1], most - lows[1])
    merged_right = _merge(writer, right, least - highs[0], most - lows[0])
    sums = sorted({a + b for a in merged_left for b in merged_right if least <= a + b <= most})
    if not sums:
        writer.add()
        return {least: TRUE}
    total = {number: writer.fresh() if place else TRUE for place, number in enumerate(sums)}
    for low, high in pairwise(sums):
        writer.define(-total[high], total[low])
    _grow(writer, merged_left, merged_right, total)
    _shrink(writer, merged_left, merged_right, total)
    return total


def _clip(writer: Writer, part: _Total, least: int, most: int) -> _Total:
    """A total of one variable, the variable kept within the bounds."""
    kept = [number for number in part if least <= number <= most]
    if not kept:
        writer.add()
        return {least: TRUE}
    writer.add(part[kept[0]])
    for number, literal in part.items():
        if number > most:
            writer.add(-literal)
            break
    return {number: part[number] if place else TRUE for place, number in enumerate(kept)}


def _grow(writer: Writer, left: _Total, right: _Total, total: _Total) -> None:
    """At least a and at least b make at least a + b, which may be too much."""
    most = max(total)
    for a, at_a in left.items():
        for b, at_b in right.items():
            if a + b > most:
                writer.add(-at_a, -at_b)
                break
            if a + b in total:
                writer.define(-at_a, -at_b, total[a + b])


def _shrink(writer: Writer, left: _Total, right: _Total, total: _Total) -> None:
    """At most a and at most b make at most a + b, which may be too little."""
    least, numbers = min(total), list(total)
    for a, above_a in zip(left, [*list(left.values())[1:], FALSE], strict=True):
        for b, above_b in reversed([*zip(right, [*list(right.values())[1:], FALSE], strict=True)]):
            if a + b < least:
                writer.add(above_a, above_b)
                break
            place = bisect_right(numbers, a + b)
            if place < len(numbers):
                writer.define(above_a, above_b, -total[numbers[place]])


def _default(constraint: Sum, writer: Writer) -> str:
    if constraint.relation == "!=":
        return "diagram"
    if not _alike(constraint, writer):
        return "order"
    domain = writer.domains[constraint.variables[0]]
    if comb(len(domain), len(constraint.variables)) > MOST_TRIED:
        return "order"
    return "sets" if len(_sets(constraint, domain)) <= MOST_SETS else "order"


DEFAULTS["Sum"] = _default
