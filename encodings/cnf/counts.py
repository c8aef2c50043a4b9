"""Automata, counts and combinations of constraints, all of them paths or plain clauses."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from gridassay.encodings.cnf.at_most_one import at_most_one
from gridassay.encodings.cnf.networks import count_by_network
from gridassay.encodings.cnf.paths import require_path
from gridassay.encodings.cnf.registry import encoding
from gridassay.encodings.cnf.writer import DEFAULTS, FALSE, TRUE, Writer
from gridassay.encodings.constraints import (
    AllOf,
    AnyOf,
    Automaton,
    Constraint,
    Count,
    HowMany,
    In,
)
from gridassay.encodings.pace import pacing

MOST_STATES = 50_000
"""States of a counter beyond which a sorting network counts."""


@encoding(Automaton, "unrolled")
def automaton_unrolled(writer: Writer, constraint: Automaton) -> None:
    """A path through the automaton's states; a rejected word is one that leaves or ends badly."""
    layers = [
        [(value, writer.literal(variable, value)) for value in writer.domains[variable]]
        for variable in constraint.variables
    ]
    dfa = constraint.dfa
    after = dfa.step.get
    # After a missing move the word is lost; to reject such words they stay in a state of their own.
    lost = None if constraint.accepted else max(dfa.states) + 1
    domains = {tuple(writer.domains[variable]) for variable in constraint.variables}
    require_path(
        writer,
        layers,
        dfa.start,
        lambda layer, state, value: after((state, value), lost),
        lambda state: (state in dfa.accepting) is constraint.accepted,
        steady=len(domains) == 1,
        needs=dfa.needs if constraint.accepted else None,
    )


@encoding(Count, "counter")
def count_by_counter(writer: Writer, constraint: Count) -> None:
    """A sequential counter (Sinz 2005) as a path, pruned to the counts that still matter.

    If at-most-one is left to the solver, so are bounds that hold without a guard.
    """
    taken = _all_taken(writer, constraint)
    counts = {count for count in constraint.counts if 0 <= count <= len(taken)}
    native = writer.choices.get("AtMostOne") == "native" and not writer.guard
    if (
        native
        and counts
        and counts == set(range(min(counts, default=1), max(counts, default=0) + 1))
    ):
        _state_bounds(writer, taken, min(counts), max(counts))
    else:
        count_literals(writer, taken, constraint.counts)


@encoding(Count, "network")
def count_by_sorting(writer: Writer, constraint: Count) -> None:
    """A sorting network (``networks.py``)."""
    _count_sorted(writer, _all_taken(writer, constraint), constraint.counts)


def _state_bounds(writer: Writer, literals: Sequence[int], least: int, most: int) -> None:
    """At least and at most this many are true, as the solver's own constraints."""
    known = sum(literal == TRUE for literal in literals)
    open_ones = [literal for literal in literals if literal not in (TRUE, FALSE)]
    for signed, bound in (
        (open_ones, most - known),
        ([-literal for literal in open_ones], len(open_ones) - least + known),
    ):
        if bound < 0:
            writer.add()
        elif bound == 0:
            for literal in signed:
                writer.add(-literal)
        elif bound == len(signed) - 1:
            writer.add(*[-literal for literal in signed])
        elif bound < len(signed):
            writer.cardinalities.append((signed, bound))


@encoding(Count, "clause")
def count_by_clause(writer: Writer, constraint: Count) -> None:
    """One clause, if the constraint only asks that some variable takes one of the values."""
    if not _asks_for_some(constraint):
        count_by_counter(writer, constraint)
        return
    literals = [
        writer.literal(variable, value)
        for variable in constraint.variables
        for value in sorted(constraint.values)
    ]
    writer.add(*literals)


@encoding(Count, "one")
def count_up_to_one(writer: Writer, constraint: Count) -> None:
    """Exactly or at most one, if the constraint asks only that (``at_most_one.py``)."""
    taken = _all_taken(writer, constraint)
    open_ones = [literal for literal in taken if literal != FALSE]
    if not _asks_for_one(constraint) or TRUE in open_ones:
        count_literals(writer, taken, constraint.counts)
        return
    at_most_one(writer, open_ones)
    if 0 not in constraint.counts:
        writer.add(*open_ones)


def _asks_for_one(constraint: Count) -> bool:
    return constraint.counts in (frozenset({1}), frozenset({0, 1}))


def _asks_for_some(constraint: Count) -> bool:
    counts = constraint.counts
    return 0 not in counts and counts.issuperset(range(1, len(constraint.variables) + 1))


def _all_taken(writer: Writer, constraint: Count) -> list[int]:
    return [_takes(writer, constraint, place) for place in range(len(constraint.variables))]


def _takes(writer: Writer, constraint: Count, place: int) -> int:
    """A literal that is true exactly when the variable takes one of the values."""
    variable = constraint.variables[place]
    literals = [
        literal
        for value in constraint.values
        if (literal := writer.literal(variable, value)) != FALSE
    ]
    if not literals:
        return FALSE
    if len(literals) == 1:
        return literals[0]
    if len(literals) == len(writer.domains[variable]):
        return TRUE
    helper = writer.fresh()
    writer.define(-helper, *literals)
    for literal in literals:
        writer.define(-literal, helper)
    return helper


def count_literals(writer: Writer, literals: Sequence[int], counts: frozenset[int]) -> None:
    """Write, under the guard, that the number of true literals is one of the counts."""
    known = sum(literal == TRUE for literal in literals)
    open_ones = [literal for literal in literals if literal not in (TRUE, FALSE)]
    require_path(
        writer,
        [[(1, literal), (0, -literal)] for literal in open_ones],
        known,
        lambda layer, reached, step: reached + step,
        lambda reached: reached in counts,
    )


def _count_sorted(writer: Writer, literals: Sequence[int], counts: frozenset[int]) -> None:
    known = sum(literal == TRUE for literal in literals)
    open_ones = [literal for literal in literals if literal not in (TRUE, FALSE)]
    count_by_network(writer, open_ones, frozenset(count - known for count in counts))


def _states(counted: int, counts: frozenset[int]) -> int:
    """Roughly how many states a counter has: it can stop once nothing can change."""
    return counted * (1 + min(max(counts, default=0), counted - min(counts, default=0)))


@encoding(AnyOf, "selectors")
def any_of(writer: Writer, constraint: AnyOf) -> None:
    """One clause of literals; a member that is more than a literal gets a helper that implies it."""
    writer.add(*_choices(writer, constraint.members))


def _choices(writer: Writer, members: Sequence[Constraint]) -> list[int]:
    choices: list[int] = []
    for member in members:
        if isinstance(member, AnyOf):
            choices += _choices(writer, member.members)
        elif isinstance(member, In):
            domain = writer.domains[member.variable]
            chosen = [v for v in domain if (v in member.values) is member.inside]
            left_out = [v for v in domain if (v in member.values) is not member.inside]
            if len(left_out) == 1:
                choices.append(-writer.literal(member.variable, left_out[0]))
            elif left_out:
                choices += [writer.literal(member.variable, v) for v in chosen]
            else:
                choices.append(TRUE)
        else:
            choices.append(writer.implied_by(member))
    return choices


@encoding(AllOf, "each")
def all_of(writer: Writer, constraint: AllOf) -> None:
    """Every member under the same guard."""
    for member in constraint.members:
        writer.require(member)


@encoding(HowMany, "counter")
def how_many(writer: Writer, constraint: HowMany) -> None:
    """A helper for each member, tied to it in the directions that the counts need, and counted."""
    _how_many(writer, constraint, count_literals)


@encoding(HowMany, "network")
def how_many_sorted(writer: Writer, constraint: HowMany) -> None:
    """The same helpers, counted by a sorting network (``networks.py``)."""
    _how_many(writer, constraint, _count_sorted)


def _how_many(
    writer: Writer,
    constraint: HowMany,
    count: Callable[[Writer, Sequence[int], frozenset[int]], None],
) -> None:
    counts = {count for count in constraint.counts if 0 <= count <= len(constraint.members)}
    grows = counts == set(range(min(counts, default=0), len(constraint.members) + 1))
    shrinks = counts == set(range(max(counts, default=-1) + 1))
    literals = []
    for member in pacing(constraint.members):
        helper = writer.fresh()
        if not shrinks:
            with writer.under(-helper):
                writer.require(member)
        if not grows:
            with writer.under(helper):
                writer.require(member.negated())
        literals.append(helper)
    count(writer, literals, frozenset(counts))


def _counting(counted: int, counts: frozenset[int]) -> str:
    return "counter" if _states(counted, counts) <= MOST_STATES else "network"


DEFAULTS["Automaton"] = lambda constraint, writer: "unrolled"
DEFAULTS["Count"] = lambda constraint, writer: (
    "clause"
    if _asks_for_some(constraint)
    else "one"
    if _asks_for_one(constraint)
    else _counting(len(constraint.variables), constraint.counts)
)
DEFAULTS["AnyOf"] = lambda constraint, writer: "selectors"
DEFAULTS["AllOf"] = lambda constraint, writer: "each"
DEFAULTS["HowMany"] = lambda constraint, writer: _counting(
    len(constraint.members), constraint.counts
)
