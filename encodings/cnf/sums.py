"""Sums as clauses: three encodings side by side.

=========  ==================================================================================
sets       one selector for each set of values with the right total: for variables that all
           differ, have one domain and count once each. Few sets, short clauses, and the sets
           are what people reason with.
diagram    a path through the partial sums (``paths.py``): dynamic programming, exact for any
           coefficients and relations.
order      a totalizer on order literals, halves merged pairwise (Bailleux and Boufkhad 2003;
           weights as in the generalized totalizer, Joshi, Martins and Manquinho 2015).
=========  ==================================================================================
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations, pairwise
from math import comb

from gridassay.encodings.cnf.paths import require_path
from gridassay.encodings.cnf.writer import DEFAULTS, FALSE, TRUE, Writer, encoding
from gridassay.encodings.constraints import AllDifferent, Sum, related

MOST_SETS = 200
"""More sets than this and a diagram is the default."""
MOST_TRIED = 100_000
"""More subsets of the domain than this are not even looked through."""


def _sets(constraint: Sum, domain: Sequence[int]) -> list[tuple[int, ...]]:
    size = len(constraint.variables)
    return [
        values
        for values in combinations(domain, size)
        if related(sum(values), constraint.relation, constraint.total)
    ]


def _alike(constraint: Sum, writer: Writer) -> bool:
    domains = {tuple(writer.domains[variable]) for variable in constraint.variables}
    return constraint.distinct and len(domains) == 1 and set(constraint.coefficients) == {1}


@encoding(Sum, "sets")
def sum_by_sets(writer: Writer, constraint: Sum) -> None:
    """A selector a set: it keeps other values out and each of its own in."""
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
        lambda reached: related(reached, relation, total),
    )


@encoding(Sum, "order")
def sum_by_order(writer: Writer, constraint: Sum) -> None:
    """A totalizer: order literals of halves merged, both directions only where both are needed."""
    if constraint.distinct:
        writer.require(AllDifferent(constraint.variables))
    if constraint.relation == "!=":
        sum_by_diagram(
            writer, Sum(constraint.variables, "!=", constraint.total, constraint.coefficients)
        )
        return
    up, down = constraint.relation in ("==", "<="), constraint.relation in ("==", ">=")
    leaves = []
    for coefficient, variable in zip(constraint.coefficients, constraint.variables, strict=True):
        values = sorted(coefficient * value for value in writer.domains[variable])
        leaves.append(
            {
                value: writer.at_least(variable, value // coefficient)
                if coefficient > 0
                else -writer.at_least(variable, value // coefficient + 1)
                for value in values
            }
        )
    root = _merge(writer, leaves, up, down)
    if up:
        for reached, literal in root.items():
            if reached > constraint.total:
                writer.add(-literal)
                break
    if down:
        enough = [literal for reached, literal in root.items() if reached >= constraint.total]
        writer.add(enough[0] if enough else FALSE)


def _merge(writer: Writer, parts: list[dict[int, int]], up: bool, down: bool) -> dict[int, int]:
    """Merge totals, each a rising map from a reachable number to "at least this number"."""
    if len(parts) == 1:
        return parts[0]
    middle = len(parts) // 2
    left = _merge(writer, parts[:middle], up, down)
    right = _merge(writer, parts[middle:], up, down)
    sums = sorted({a + b for a in left for b in right})
    total = {number: TRUE if not place else writer.fresh() for place, number in enumerate(sums)}
    for low, high in pairwise(sums):
        writer.define(-total[high], total[low])
    lefts, rights = list(left.items()), list(right.items())
    if up:
        for a, at_a in lefts:
            for b, at_b in rights:
                writer.define(-at_a, -at_b, total[a + b])
    if down:
        for (a, _), (_, above_a) in zip(lefts, [*lefts[1:], (0, FALSE)], strict=True):
            for (b, _), (_, above_b) in zip(rights, [*rights[1:], (0, FALSE)], strict=True):
                over = next((total[number] for number in sums if number > a + b), FALSE)
                writer.define(above_a, above_b, -over)
    return total


def _default(constraint: Sum, writer: Writer) -> str:
    if not _alike(constraint, writer):
        return "diagram"
    domain = writer.domains[constraint.variables[0]]
    if comb(len(domain), len(constraint.variables)) > MOST_TRIED:
        return "diagram"
    return "sets" if len(_sets(constraint, domain)) <= MOST_SETS else "diagram"


DEFAULTS["Sum"] = _default
