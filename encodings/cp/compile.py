"""A model as a CP-SAT model: the second, independent translation of the constraint language.

Written for agreement, not for speed: each constraint is stated with the member of CP-SAT that is
nearest to it. Where CP-SAT cannot enforce a member under a literal, the member is put on copies of
the variables that are tied to them only while the literal is true.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from itertools import combinations
from typing import TYPE_CHECKING, Any

from ortools.sat.python import cp_model

from gridassay.encodings.constraints import (
    AllDifferent,
    AllOf,
    AnyOf,
    Automaton,
    Compare,
    Constraint,
    Count,
    HowMany,
    In,
    Permutation,
    Sum,
    Table,
    Variable,
)
from gridassay.encodings.pace import TooLarge, pace, paced, pacing, room
from gridassay.encodings.puzzle import Model

if TYPE_CHECKING:
    from collections.abc import Mapping

MOST_ROWS = 5_000_000
"""Rows of tables and moves of automata in one model; in CP-SAT they are some 500 MB."""

Bool = Any  # an ortools literal: a Boolean variable or its negation


@dataclass
class Builder:
    """A CP-SAT model under construction over variables with given domains."""

    domains: Mapping[Variable, Sequence[int]]
    model: cp_model.CpModel = field(default_factory=cp_model.CpModel)
    variables: dict[Variable, cp_model.IntVar] = field(default_factory=dict)
    _equals: dict[tuple[Variable, int], Bool] = field(default_factory=dict)
    _taken: int = 0

    def __post_init__(self) -> None:
        for variable, domain in self.domains.items():
            values = cp_model.Domain.from_values(list(domain))
            self.variables[variable] = self.model.new_int_var_from_domain(values, str(variable))

    def equals(self, variable: Variable, value: int) -> Bool:
        """A literal that is true exactly when the variable has the value."""
        key = variable, value
        if key not in self._equals:
            literal = self.model.new_bool_var(f"{variable}={value}")
            if value in self.domains[variable]:
                self.model.add(self.variables[variable] == value).only_enforce_if(literal)
                self.model.add(self.variables[variable] != value).only_enforce_if(~literal)
            else:
                self.model.add(literal == 0)
            self._equals[key] = literal
        return self._equals[key]

    def require(self, constraint: Constraint, on: Bool | None = None) -> None:
        """State a constraint; with ``on``, only while that literal is true."""
        pace()
        _STATE[type(constraint)](self, constraint, on)

    def implied_by(self, constraint: Constraint) -> Bool:
        """A literal whose truth makes the constraint hold."""
        literal = self.model.new_bool_var("")
        self.require(constraint, literal)
        return literal

    def enforce(self, statement: cp_model.Constraint, on: Bool | None) -> None:
        """Put a statement that CP-SAT can enforce under the literal."""
        if on is not None:
            statement.only_enforce_if(on)

    def loose(self, variables: Sequence[Variable], on: Bool) -> tuple[list[cp_model.IntVar], int]:
        """Copies of variables that equal them while the literal is true.

        Each is else the number given with them, which no variable has: whatever is stated on the
        copies must allow it in all of them. (Left free, they would multiply solutions.)
        """
        escape = 1 + max((max(self.domains[variable]) for variable in variables), default=0)
        copies = []
        for variable in variables:
            values = cp_model.Domain.from_values([*self.domains[variable], escape])
            copy = self.model.new_int_var_from_domain(values, "")
            self.model.add(copy == self.variables[variable]).only_enforce_if(on)
            self.model.add(copy == escape).only_enforce_if(~on)
            copies.append(copy)
        return copies, escape

    def take(self, rows: int) -> None:
        """Count rows of tables and moves of automata. Raises TooLarge when there are too many."""
        self._taken += rows
        room(self._taken, MOST_ROWS, "rows of tables and automata")

    def never(self, on: Bool | None) -> None:
        """State that what the literal stands for cannot be."""
        self.model.add_bool_or([] if on is None else [~on])


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
    """One member is chosen and holds (others may, too), so that helpers multiply little."""
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


_STATE: dict[type, Callable[[Builder, Any, Bool | None], None]] = {
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
    with paced(tick):
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
