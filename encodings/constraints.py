"""The small language in which every house and rule is stated.

A constraint says something about *variables*: cells, whose values are digits, and unknowns, whose
values are whole numbers. Each member is a frozen value that knows three things: the variables it
speaks of, what it means (``holds``, read off plain values) and its negation, which is again a
member (the language is closed, so that "exactly two of these clues are true" needs nothing
special). How a member becomes clauses or a CP-SAT model is not said here: see ``cnf/`` and ``cp/``.
The members about groups of a graph are in ``groups.py`` and ``on_graphs.py``.

===============  ==========================================================================
In               the variable has one of these values (or none of them)
Compare          left ``== != <=`` right + offset
AllDifferent     no value twice
Permutation      every one of these values exactly once
Sum              coefficients times variables total ``== != <= >=`` a number; ``distinct``
                 adds that the variables all differ
Table            the tuple of values is listed (or is not)
Automaton        a deterministic automaton accepts the word of values (or does not)
Count            how many variables take one of these values: one of the listed numbers
AnyOf, AllOf     at least one member holds; all do
HowMany          how many members hold: one of the listed numbers
Connected        the nodes of a graph that are in are one group, or each reaches the outside
Joined           two nodes are in, and in one group (or are not)
Separated        a closed way leads between two groups
GroupSize        a node is in, in a group of one of these sizes, or of a variable's size
GroupSizes       the sizes of all groups are these
GroupCount       the number of groups is one of these
DifferWithin     no group has a value twice
GroupTotal       a node's group (or every one) totals one of these numbers, or a variable
SameTotal        the groups of two nodes have one total
Nearer           the root reaches one node in fewer steps than another
===============  ==========================================================================
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import TYPE_CHECKING, Literal, TypeAlias

from gridassay.encodings.automata import Dfa
from gridassay.encodings.variables import CellMark as CellMark
from gridassay.encodings.variables import CellValue as CellValue
from gridassay.encodings.variables import Doubler as Doubler
from gridassay.encodings.variables import Letter as Letter
from gridassay.encodings.variables import Unknown as Unknown
from gridassay.encodings.variables import Values as Values
from gridassay.encodings.variables import Variable as Variable

if TYPE_CHECKING:
    # Few puzzles have any of these: the layers and rules that state them read their files.
    from gridassay.encodings.groups import (
        Connected,
        GroupCount,
        GroupSize,
        GroupSizes,
        Joined,
        Separated,
    )
    from gridassay.encodings.on_graphs import DifferWithin, GroupTotal, Nearer, SameTotal

Relation = Literal["==", "!=", "<=", ">="]

_OPPOSITE: dict[Relation, tuple[Relation, int]] = {
    "==": ("!=", 0),
    "!=": ("==", 0),
    "<=": (">=", 1),
    ">=": ("<=", -1),
}


def relation_holds(left: int, relation: Relation, right: int) -> bool:
    """Whether the relation holds between two numbers."""
    if relation == "==":
        return left == right
    if relation == "!=":
        return left != right
    return left <= right if relation == "<=" else left >= right


@dataclass(frozen=True)
class In:
    """The variable has one of the values; with ``inside`` false, none of them."""

    variable: Variable
    values: frozenset[int]
    inside: bool = True

    def scope(self) -> Iterator[Variable]:
        """The variables it speaks of."""
        yield self.variable

    def holds(self, values: Values) -> bool:
        """Whether it is true of these values."""
        return (values[self.variable] in self.values) is self.inside

    def negated(self) -> Constraint:
        """The constraint that is true exactly when this one is false."""
        return In(self.variable, self.values, not self.inside)


@dataclass(frozen=True)
class Compare:
    """``left`` is equal to, different from or at most ``right + offset``."""

    left: Variable
    relation: Literal["==", "!=", "<="]
    right: Variable
    offset: int = 0

    def scope(self) -> Iterator[Variable]:
        """The variables it speaks of."""
        yield self.left
        yield self.right

    def holds(self, values: Values) -> bool:
        """Whether it is true of these values."""
        return relation_holds(values[self.left], self.relation, values[self.right] + self.offset)

    def negated(self) -> Constraint:
        """The constraint that is true exactly when this one is false."""
        if self.relation == "<=":
            return Compare(self.right, "<=", self.left, -self.offset - 1)
        return Compare(self.left, "!=" if self.relation == "==" else "==", self.right, self.offset)


@dataclass(frozen=True)
class AllDifferent:
    """No two of the variables have the same value."""

    variables: tuple[Variable, ...]

    def scope(self) -> Iterator[Variable]:
        """The variables it speaks of."""
        yield from self.variables

    def holds(self, values: Values) -> bool:
        """Whether it is true of these values."""
        return len({values[variable] for variable in self.variables}) == len(self.variables)

    def negated(self) -> Constraint:
        """The constraint that is true exactly when this one is false."""
        return some_equal(self.variables)


@dataclass(frozen=True)
class Permutation:
    """The variables, as many as the values, hold each of the values exactly once."""

    variables: tuple[Variable, ...]
    values: frozenset[int]

    def __post_init__(self) -> None:
        if len(self.variables) != len(self.values):
            raise ValueError("a permutation needs as many variables as values")

    def scope(self) -> Iterator[Variable]:
        """The variables it speaks of."""
        yield from self.variables

    def holds(self, values: Values) -> bool:
        """Whether it is true of these values."""
        return {values[variable] for variable in self.variables} == self.values

    def negated(self) -> Constraint:
        """The constraint that is true exactly when this one is false."""
        strangers = (In(variable, self.values, inside=False) for variable in self.variables)
        return AnyOf((some_equal(self.variables), *strangers))


@dataclass(frozen=True)
class Sum:
    """Coefficients times variables total ``relation`` the number ``total``.

    With ``distinct`` the variables must all differ as well: one member, because the two together
    can be encoded more tightly than apart, and one switch then controls both.
    """

    variables: tuple[Variable, ...]
    relation: Relation
    total: int
    coefficients: tuple[int, ...] = ()
    distinct: bool = False

    def __post_init__(self) -> None:
        if not self.coefficients:
            object.__setattr__(self, "coefficients", (1,) * len(self.variables))
        if len(self.coefficients) != len(self.variables):
            raise ValueError("a sum needs as many coefficients as variables")

    def scope(self) -> Iterator[Variable]:
        """The variables it speaks of."""
        yield from self.variables

    def holds(self, values: Values) -> bool:
        """Whether it is true of these values."""
        numbers = [values[variable] for variable in self.variables]
        reached = sum(c * n for c, n in zip(self.coefficients, numbers, strict=True))
        differ = not self.distinct or len(set(numbers)) == len(numbers)
        return differ and relation_holds(reached, self.relation, self.total)

    def negated(self) -> Constraint:
        """The constraint that is true exactly when this one is false."""
        relation, shift = _OPPOSITE[self.relation]
        other = Sum(self.variables, relation, self.total + shift, self.coefficients)
        return AnyOf((some_equal(self.variables), other)) if self.distinct else other


@dataclass(frozen=True)
class Table:
    """The values, in order, are one of the rows; with ``listed`` false, none of them."""

    variables: tuple[Variable, ...]
    rows: frozenset[tuple[int, ...]]
    listed: bool = True

    def scope(self) -> Iterator[Variable]:
        """The variables it speaks of."""
        yield from self.variables

    def holds(self, values: Values) -> bool:
        """Whether it is true of these values."""
        row = tuple(values[variable] for variable in self.variables)
        return (row in self.rows) is self.listed

    def negated(self) -> Constraint:
        """The constraint that is true exactly when this one is false."""
        return Table(self.variables, self.rows, not self.listed)


@dataclass(frozen=True)
class Automaton:
    """The automaton accepts the values in order; with ``accepted`` false, it does not."""

    variables: tuple[Variable, ...]
    dfa: Dfa
    accepted: bool = True

    def scope(self) -> Iterator[Variable]:
        """The variables it speaks of."""
        yield from self.variables

    def holds(self, values: Values) -> bool:
        """Whether it is true of these values."""
        return self.dfa.accepts([values[variable] for variable in self.variables]) is self.accepted

    def negated(self) -> Constraint:
        """The constraint that is true exactly when this one is false."""
        return Automaton(self.variables, self.dfa, not self.accepted)


@dataclass(frozen=True)
class Count:
    """The number of variables that take one of ``values`` is one of ``counts``."""

    variables: tuple[Variable, ...]
    values: frozenset[int]
    counts: frozenset[int]

    def scope(self) -> Iterator[Variable]:
        """The variables it speaks of."""
        yield from self.variables

    def holds(self, values: Values) -> bool:
        """Whether it is true of these values."""
        return sum(values[v] in self.values for v in self.variables) in self.counts

    def negated(self) -> Constraint:
        """The constraint that is true exactly when this one is false."""
        return Count(self.variables, self.values, _others(self.variables, self.counts))


@dataclass(frozen=True)
class AnyOf:
    """At least one of the members holds; without members this is false."""

    members: tuple[Constraint, ...]

    def scope(self) -> Iterator[Variable]:
        """The variables it speaks of."""
        for member in self.members:
            yield from member.scope()

    def holds(self, values: Values) -> bool:
        """Whether it is true of these values."""
        return any(member.holds(values) for member in self.members)

    def negated(self) -> Constraint:
        """The constraint that is true exactly when this one is false."""
        return AllOf(tuple(member.negated() for member in self.members))


@dataclass(frozen=True)
class AllOf:
    """Every member holds."""

    members: tuple[Constraint, ...]

    def scope(self) -> Iterator[Variable]:
        """The variables it speaks of."""
        for member in self.members:
            yield from member.scope()

    def holds(self, values: Values) -> bool:
        """Whether it is true of these values."""
        return all(member.holds(values) for member in self.members)

    def negated(self) -> Constraint:
        """The constraint that is true exactly when this one is false."""
        return AnyOf(tuple(member.negated() for member in self.members))


@dataclass(frozen=True)
class HowMany:
    """The number of members that hold is one of ``counts``."""

    members: tuple[Constraint, ...]
    counts: frozenset[int]

    def scope(self) -> Iterator[Variable]:
        """The variables it speaks of."""
        for member in self.members:
            yield from member.scope()

    def holds(self, values: Values) -> bool:
        """Whether it is true of these values."""
        return sum(member.holds(values) for member in self.members) in self.counts

    def negated(self) -> Constraint:
        """The constraint that is true exactly when this one is false."""
        return HowMany(self.members, _others(self.members, self.counts))


Constraint: TypeAlias = (
    "In | Compare | AllDifferent | Permutation | Sum | Table | Automaton | Count"
    " | AnyOf | AllOf | HowMany | Connected | DifferWithin | GroupTotal | Nearer | SameTotal"
    " | Joined | Separated | GroupSize | GroupSizes | GroupCount"
)


def some_equal(variables: Sequence[Variable]) -> Constraint:
    """Two of the variables have the same value."""
    return AnyOf(tuple(Compare(a, "==", b) for a, b in combinations(variables, 2)))


def _others(counted: Sequence[object], counts: frozenset[int]) -> frozenset[int]:
    return frozenset(range(len(counted) + 1)) - counts
