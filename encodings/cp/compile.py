"""A model as a CP-SAT model: the second, independent translation of the constraint language.

Written for agreement, not for speed: each constraint is stated with the member of CP-SAT that is
nearest to it. Where CP-SAT cannot enforce a member under a literal, the member is put on copies of
the variables that are tied to them only while the literal is true.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import combinations

from ortools.sat.python import cp_model

from gridassay.encodings.constraints import (
    AllDifferent,
    AllOf,
    AnyOf,
    Automaton,
    Compare,
    Count,
    HowMany,
    In,
    Permutation,
    Sum,
    Table,
)
from gridassay.encodings.cp import on_graphs  # noqa: F401  (it registers)
from gridassay.encodings.cp.builder import STATE, Bool
from gridassay.encodings.cp.builder import Builder as Builder
from gridassay.encodings.model import Model
from gridassay.encodings.pace import TooLarge, pace, pace_with, pacing


def _in(build: Builder, c: In, on: Bool | None) -> None:
    domain = [v for v in build.domains[c.variable] if (v in c.values) is c.inside]
    if not domain:
        build.never(on)
        return
    values = cp_model.Domain.from_values(domain)
    build.enforce(
        build.model.add_linear_expression_in_domain(build.variables[c.variable], values), on
    )


def _compare(build: Builder, c: Compare, on: Bool | None) -> None:
    left, right = build.variables[c.left], build.variables[c.right] + c.offset
    if c.relation == "<=":
        build.enforce(build.model.add(left <= right), on)
    elif c.relation == "==":
        build.enforce(build.model.add(left == right), on)
    else:
        build.enforce(build.model.add(left != right), on)


def _all_different(build: Builder, c: AllDifferent, on: Bool | None) -> None:
    numbers = [build.variables[variable] for variable in c.variables]
    if on is None:
        build.model.add_all_different(numbers)
        return
    for first, second in combinations(numbers, 2):
        build.model.add(first != second).only_enforce_if(on)


def _permutation(build: Builder, c: Permutation, on: Bool | None) -> None:
    _all_different(build, AllDifferent(c.variables), on)
    for variable in c.variables:
        if not set(build.domains[variable]) <= c.values:
            _in(build, In(variable, c.values), on)


def _sum(build: Builder, c: Sum, on: Bool | None) -> None:
    if c.distinct:
        _all_different(build, AllDifferent(c.variables), on)
    numbers = [build.variables[variable] for variable in c.variables]
    reached = cp_model.LinearExpr.weighted_sum(numbers, list(c.coefficients))
    if c.relation == "==":
        build.enforce(build.model.add(reached == c.total), on)
    elif c.relation == "!=":
        build.enforce(build.model.add(reached != c.total), on)
    elif c.relation == "<=":
        build.enforce(build.model.add(reached <= c.total), on)
    else:
        build.enforce(build.model.add(reached >= c.total), on)


def _table(build: Builder, c: Table, on: Bool | None) -> None:
    domains = [build.domains[variable] for variable in c.variables]
    rows = [
        list(row)
        for row in c.rows
        if all(value in domain for value, domain in zip(row, domains, strict=True))
    ]
    if not rows:
        if c.listed:
            build.never(on)
        return
    build.take(len(rows))
    numbers = [build.variables[variable] for variable in c.variables]
    if on is not None:
        numbers, escape = build.loose(c.variables, on)
        rows += [[escape] * len(numbers)] if c.listed else []
    if c.listed:
        build.model.add_allowed_assignments(numbers, rows)
    else:
        build.model.add_forbidden_assignments(numbers, rows)


def _automaton(build: Builder, c: Automaton, on: Bool | None) -> None:
    """A total automaton: missing moves lead to a state that is never left."""
    alphabet = sorted({value for variable in c.variables for value in build.domains[variable]})
    known = c.dfa.states
    lost, steps = max(known) + 1, c.dfa.step
    build.take(len(known) * len(alphabet))
    moves = [
        (state, value, steps.get((state, value), lost))
        for state in pacing((*known, lost))
        for value in alphabet
    ]
    final = [state for state in (*known, lost) if (state in c.dfa.accepting) is c.accepted]
    if not final or not (c.variables or c.dfa.start in final):
        build.never(on)
        return
    if not c.variables:
        return
    numbers = [build.variables[variable] for variable in c.variables]
    if on is not None:
        numbers, escape = build.loose(c.variables, on)
        free = lost + 1
        moves += [(c.dfa.start, escape, free), (free, escape, free)]
        final.append(free)
    build.model.add_automaton(numbers, c.dfa.start, final, moves)


def _number_of(
    build: Builder, literals: Sequence[Bool], counts: frozenset[int], on: Bool | None
) -> None:
    wanted = sorted(count for count in counts if 0 <= count <= len(literals))
    if not wanted:
        build.never(on)
        return
    domain = cp_model.Domain.from_values(wanted)
    number = cp_model.LinearExpr.sum(list(literals))
    build.enforce(build.model.add_linear_expression_in_domain(number, domain), on)


def _count(build: Builder, c: Count, on: Bool | None) -> None:
    taken = []
    for variable in c.variables:
        literals = [build.equals(variable, value) for value in sorted(c.values)]
        taken.append(cp_model.LinearExpr.sum(literals))
    _number_of(build, taken, c.counts, on)


def _any_of(build: Builder, c: AnyOf, on: Bool | None) -> None:
    """One member is chosen and holds (others may, too), so that there are few combinations of helpers."""
    members = [build.implied_by(member) for member in c.members]
    if not members:
        build.never(on)
        return
    build.model.add(cp_model.LinearExpr.sum(members) == (1 if on is None else on))


def _all_of(build: Builder, c: AllOf, on: Bool | None) -> None:
    for member in c.members:
        build.require(member, on)


def _how_many(build: Builder, c: HowMany, on: Bool | None) -> None:
    literals = []
    for member in c.members:
        literal = build.implied_by(member)
        build.require(member.negated(), ~literal)
        literals.append(literal)
    _number_of(build, literals, c.counts, on)


STATE |= {
    In: _in,
    Compare: _compare,
    AllDifferent: _all_different,
    Permutation: _permutation,
    Sum: _sum,
    Table: _table,
    Automaton: _automaton,
    Count: _count,
    AnyOf: _any_of,
    AllOf: _all_of,
    HowMany: _how_many,
}


def build_model(
    model: Model,
    parts_on: Callable[[str, int], bool],
    tick: Callable[[], None] = lambda: None,
) -> Builder:
    """State a model with the parts of premises for which ``parts_on(name, number)`` is true.

    ``tick`` is called again and again and may raise to stop (a budget). Raises TooLarge.
    """
    with pace_with(tick):
        return _build(model, parts_on)


def _build(model: Model, parts_on: Callable[[str, int], bool]) -> Builder:
    build = Builder(model.domains)
    for definition in model.definitions:
        build.require(definition)
    on = [
        (premise, part)
        for premise in model.premises
        for number, part in enumerate(premise.parts)
        if parts_on(premise.name, number)
    ]
    active = {premise.name for premise, _ in on}
    idle = {letter for letter, names in model.mentions.items() if not active.intersection(names)}
    for _, part in on:
        pace()
        if not idle.intersection(part.letters):
            try:
                build.require(part.constraint)
            except TooLarge as error:
                raise TooLarge(f"{part.label}: {error}") from None
    for letter in idle:
        build.model.add(build.variables[letter] == model.domains[letter][0])
    return build
