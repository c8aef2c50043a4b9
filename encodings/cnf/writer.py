"""The writer: literals for variables, clauses under a guard, and the table of encodings by name.

Literals are DIMACS integers. A variable with the values v₀ < v₁ < … has one *direct* literal per value
(true when the variable has it), numbered in a row from 1 in the order of the variables, and, once a
constraint asks for them, *order* literals (true when the variable is at least vᵢ), defined from the
direct ones once.

A constraint is always written under the writer's *guard*: literals added to each clause that
restricts, so that the constraint binds only when all of them are false. Clauses that merely define
helper variables hold always and carry no guard; whatever the guard says, every assignment to the
variables can be extended to the helpers, so a constraint that is switched off has no effect.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Hashable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from copy import copy
from itertools import combinations
from typing import TYPE_CHECKING, Any

from gridassay.encodings.cnf.plugins import outside_encoder
from gridassay.encodings.cnf.registry import ENCODERS, Encoder, every_encoder
from gridassay.encodings.constraints import Constraint, Variable
from gridassay.encodings.pace import pace, room

if TYPE_CHECKING:
    from gridassay.encodings.on_graphs import Grouped

Clause = Sequence[int]
TRUE = 1 << 60
FALSE = -TRUE
"""Stand-ins for literals whose truth is known; they never reach a clause."""

MOST_CLAUSES = 10_000_000
"""What a puzzle may take. In a solver they are some 700 MB, ten times what a 35×35 grid takes."""

MOST_KEPT = 4_000_000
"""The limit if all clauses are kept at once, as text or for a proof."""

_LOOK = 1 << 10  # clauses between two checks that someone still waits for them
_TOGETHER = 200_000  # clauses that are handed on together

DEFAULTS: dict[str, Callable[[Any, Writer], str]] = {}
"""The choice among them for one constraint, by measured rules; see docs in each file."""


class Writer:
    """Collects the clauses of constraints over variables with given domains.

    If there is ``take``, clauses are given to it in large batches and forgotten.
    ``choices`` names the encoding to use for a kind of constraint (``{"Sum": "order"}``, and
    ``"AtMostOne"``) if it should not be the default. ``noted``, if it is a list, collects
    members of groups with their guards that are not written at all: the engine checks each
    solution against those whose guard is false in it, and adds their cuts. ``kept`` holds
    helpers that several constraints share.
    """

    def __init__(
        self, domains: Mapping[Variable, Sequence[int]], choices: Mapping[str, str] | None = None
    ) -> None:
        self.domains = domains
        self.choices = dict(choices or {})
        self.clauses: list[Clause] = []
        self.channels: list[Clause] = []
        self.cardinalities: list[tuple[list[int], int]] = []
        self.noted: list[tuple[tuple[int, ...], Grouped]] | None = None
        self.kept: dict[Hashable, object] = {}
        self.guard: tuple[int, ...] = ()
        self.take: Callable[[list[Clause]], None] | None = None
        self._handed_on = 0
        self._outside: dict[tuple[str, str], Encoder] = {}
        self.top = 0
        self._first: dict[Variable, int] = {}
        self._places: dict[Variable, Mapping[int, int]] = {}
        self._order: dict[Variable, int] = {}
        self._reserved: dict[Variable, int] = {}
        shared: dict[tuple[int, ...], dict[int, int]] = {}
        for variable, domain in domains.items():
            values = tuple(domain)
            self._first[variable] = self.top + 1
            self._places[variable] = shared.setdefault(
                values, {value: place for place, value in enumerate(values)}
            )
            self.top += len(values)

    def above(self, top: int) -> Writer:
        """A writer for more clauses over the same variables, its helpers numbered above ``top``.

        It knows this writer's order literals; the clauses of other literals with reserved numbers
        are in its ``channels``, and this one learns of them with ``share``.
        """
        other = copy(self)
        other.clauses, other.channels, other.cardinalities, other.kept = [], [], [], {}
        other.take, other._handed_on = None, 0
        other._order, other.top = dict(self._order), top
        return other

    def share(self, other: Writer) -> None:
        """Learn of the order literals with reserved numbers that another writer has made."""
        made = self._reserved.keys() & other._order.keys()
        self._order |= {variable: self._reserved[variable] for variable in made}

    def fresh(self) -> int:
        """A new helper variable, as its positive literal."""
        self.top += 1
        return self.top

    def literal(self, variable: Variable, value: int) -> int:
        """True when the variable has the value."""
        place = self._places[variable].get(value)
        return FALSE if place is None else self._first[variable] + place

    def literals(self, variable: Variable) -> range:
        """The direct literals of a variable, in rising order of its values."""
        first = self._first[variable]
        return range(first, first + len(self._places[variable]))

    def at_least(self, variable: Variable, bound: int) -> int:
        """True when the variable is ``bound`` or more (order encoding, made on first use).

        Crawford and Baker 1994; Tamura et al., "Compiling finite linear CSP into SAT", 2009.
        """
        domain = self.domains[variable]
        place = bisect_left(domain, bound)
        if place == len(domain):
            return FALSE
        if place == 0:
            return TRUE
        base = self._order.get(variable)
        if base is None:
            base = self._make_order(variable, len(domain))
        return base + place

    def _make_order(self, variable: Variable, count: int) -> int:
        base = self._reserved.get(variable)
        if base is None:
            base, into = self.top, self.clauses
            self.top += count - 1
        else:
            into = self.channels
        into += _channel(self._first[variable], base, count)
        self._order[variable] = base
        return base

    def reserve(self) -> None:
        """Reserve numbers for the order literals of all variables, to be shared with ``above``.

        Their clauses are kept apart from then on, in ``channels``.
        """
        for variable, domain in self.domains.items():
            if variable not in self._order:
                self._reserved[variable] = self.top
                self.top += len(domain) - 1

    def add(self, *literals: int) -> None:
        """Write a clause that restricts: it binds under the guard."""
        if TRUE not in literals:
            if FALSE in literals:
                literals = tuple([x for x in literals if x != FALSE])
            self.clauses.append(literals + self.guard)
            if not len(self.clauses) % _LOOK:
                self._look()

    def define(self, *literals: int) -> None:
        """Write a clause that defines a helper: it holds always."""
        if TRUE not in literals:
            if FALSE in literals:
                literals = tuple([x for x in literals if x != FALSE])
            self.clauses.append(literals)
            if not len(self.clauses) % _LOOK:
                self._look()

    def define_all(self, clauses: Iterable[Clause]) -> None:
        """Write many clauses that define helpers."""
        self.clauses += [
            clause if FALSE not in clause else tuple([x for x in clause if x != FALSE])
            for clause in clauses
            if TRUE not in clause
        ]
        self._look()

    def _look(self) -> None:
        """Raise if nobody is waiting any longer, or there is no room for more (TooLarge)."""
        pace()
        most = MOST_KEPT if self.take is None else MOST_CLAUSES
        room(self._handed_on + len(self.clauses), most, "clauses")
        if self.take is not None and len(self.clauses) > _TOGETHER:
            self.take(self.clauses)
            self._handed_on += len(self.clauses)
            self.clauses.clear()

    def not_both(self, literals: Iterable[int]) -> None:
        """Write that no two of the literals are true, pair by pair."""
        self._look()
        negative = [-x for x in literals]
        guard = self.guard
        if not guard:
            self.clauses.extend(combinations(negative, 2))
        elif len(guard) == 1:
            only = guard[0]
            self.clauses.extend([(a, b, only) for a, b in combinations(negative, 2)])
        else:
            self.clauses.extend([(a, b, *guard) for a, b in combinations(negative, 2)])

    @contextmanager
    def under(self, *guard: int) -> Iterator[None]:
        """Write what follows under exactly this guard: it binds while all of these are false."""
        outer, self.guard = self.guard, guard
        try:
            yield
        finally:
            self.guard = outer

    def require(self, constraint: Constraint) -> None:
        """Write a constraint under the guard, in the encoding chosen for it."""
        kind = type(constraint).__name__
        if kind not in ENCODERS:
            every_encoder()
        name = self.choices.get(kind) or DEFAULTS[kind](constraint, self)
        self.encoder(kind, name, ENCODERS[kind])(self, constraint)

    def encoder(self, kind: str, name: str, built_in: Mapping[str, Encoder]) -> Encoder:
        """The encoding of a constraint by its name. Those of other packages are looked for only once.

        Raises EncodingError if there is none of that name.
        """
        found = built_in.get(name) or self._outside.get((kind, name))
        if found is None:
            found = self._outside[kind, name] = outside_encoder(kind, name)
        return found

    def implied_by(self, constraint: Constraint) -> int:
        """A literal whose truth makes the constraint bind."""
        helper = self.fresh()
        with self.under(-helper):
            self.require(constraint)
        return helper


def _channel(first: int, base: int, count: int) -> list[Clause]:
    """Tie order literals, numbered from ``base`` + 1, to ``count`` direct ones from ``first``."""
    low, high, between, chain = [], [], [], []
    for place in range(1, count):
        value, rung = first + place, base + place
        low.append((-value, rung))
        high.append((1 - value, -rung))
        if place < count - 1:
            between.append((-rung, rung + 1, value))
            chain.append((-rung - 1, rung))
    ends = ((base + 1, first), (-base - count + 1, first + count - 1))
    return [*low, *high, *between, *chain, *ends]
