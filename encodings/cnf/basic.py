"""In, AllDifferent, Permutation, Compare: written on direct and order literals."""

from __future__ import annotations

from gridassay.encodings.cnf.at_most_one import at_most_one
from gridassay.encodings.cnf.registry import encoding
from gridassay.encodings.cnf.writer import DEFAULTS, FALSE, Writer
from gridassay.encodings.constraints import AllDifferent, Compare, In, Permutation


@encoding(In, "direct")
def in_direct(writer: Writer, constraint: In) -> None:
    """One clause for the values it may have, or a unit clause for each that it may not."""
    literals = [writer.literal(constraint.variable, value) for value in constraint.values]
    if constraint.inside:
        writer.add(*literals)
    else:
        for literal in literals:
            if literal != FALSE:
                writer.add(-literal)


@encoding(AllDifferent, "by value")
def all_different(writer: Writer, constraint: AllDifferent) -> None:
    """For each value, at most one of the variables has it.

    If there are no more values than variables each of them is taken: a pigeonhole that resolution
    does not see by itself (Haken 1985).
    """
    values = sorted({v for variable in constraint.variables for v in writer.domains[variable]})
    for value in values:
        held = [writer.literal(variable, value) for variable in constraint.variables]
        literals = tuple(literal for literal in held if literal != FALSE)
        at_most_one(writer, literals)
        if len(values) <= len(constraint.variables):
            writer.add(*literals)


@encoding(Permutation, "by value")
def permutation(writer: Writer, constraint: Permutation) -> None:
    """For each value, exactly one of the variables has it; none has another.

    Both halves matter: without the at-least-one clauses hard 9×9 grids take 20 times as long.
    """
    rows = [writer.literals(variable) for variable in constraint.variables]
    if all(set(writer.domains[variable]) == constraint.values for variable in constraint.variables):
        for literals in zip(*rows, strict=True):
            writer.add(*literals)
            at_most_one(writer, literals)
        return
    for value in sorted(constraint.values):
        held = [writer.literal(variable, value) for variable in constraint.variables]
        literals = tuple(literal for literal in held if literal != FALSE)
        writer.add(*literals)
        at_most_one(writer, literals)
    for variable in constraint.variables:
        for value in writer.domains[variable]:
            if value not in constraint.values:
                writer.add(-writer.literal(variable, value))


@encoding(Compare, "order")
def compare_order(writer: Writer, constraint: Compare) -> None:
    """``left <= right + offset`` bound by bound on order literals; equality on direct ones.

    Tamura et al. 2009 for the bounds; each is one binary clause.
    """
    left, right, offset = constraint.left, constraint.right, constraint.offset
    if constraint.relation == "<=":
        for value in writer.domains[left]:
            below = writer.at_least(left, value)
            writer.add(-below, writer.at_least(right, value - offset))
    else:
        compare_direct(writer, constraint)


@encoding(Compare, "direct")
def compare_direct(writer: Writer, constraint: Compare) -> None:
    """On direct literals alone: each value of one side needs, or forbids, values of the other."""
    left, right, offset = constraint.left, constraint.right, constraint.offset
    for value in writer.domains[left]:
        literal, same = writer.literal(left, value), writer.literal(right, value - offset)
        if constraint.relation == "!=":
            if same != FALSE:
                writer.add(-literal, -same)
        elif constraint.relation == "==":
            writer.add(-literal, same)
        else:
            enough = [
                writer.literal(right, v) for v in writer.domains[right] if v + offset >= value
            ]
            writer.add(-literal, *enough)
    if constraint.relation == "==":
        for value in writer.domains[right]:
            writer.add(-writer.literal(right, value), writer.literal(left, value + offset))


DEFAULTS["In"] = lambda constraint, writer: "direct"
DEFAULTS["AllDifferent"] = lambda constraint, writer: "by value"
DEFAULTS["Permutation"] = lambda constraint, writer: "by value"
DEFAULTS["Compare"] = lambda constraint, writer: "order"
