"""The builder: a CP-SAT model under construction, and the table of how each member is stated."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from ortools.sat.python import cp_model

from gridassay.encodings.constraints import Constraint, Variable
from gridassay.encodings.pace import pace, room

MOST_ROWS = 5_000_000
"""Rows of tables and moves of automata in one model; in CP-SAT they are some 500 MB."""

Bool = Any  # an ortools literal: a Boolean variable or its negation


@dataclass
class Builder:
    """A CP-SAT model under construction over variables with given domains.

    ``kept`` holds helpers that several constraints share.
    """

    domains: Mapping[Variable, Sequence[int]]
    model: cp_model.CpModel = field(default_factory=cp_model.CpModel)
    variables: dict[Variable, cp_model.IntVar] = field(default_factory=dict)
    kept: dict[Hashable, Any] = field(default_factory=dict)
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
        STATE[type(constraint)](self, constraint, on)

    def implied_by(self, constraint: Constraint) -> Bool:
        """A literal whose truth makes the constraint hold."""
        literal = self.model.new_bool_var("")
        self.require(constraint, literal)
        return literal

    def enforce(self, statement: cp_model.Constraint, on: Bool | None) -> None:
        """Put under the literal a statement that CP-SAT can enforce."""
        if on is not None:
            statement.only_enforce_if(on)

    def loose(self, variables: Sequence[Variable], on: Bool) -> tuple[list[cp_model.IntVar], int]:
        """Copies of variables that equal them while the literal is true.

        Otherwise each copy is the number given with it, which no variable has; whatever is stated
        on the copies must allow that number. (Left free, they would multiply solutions.)
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
        """State that the literal is false."""
        self.model.add_bool_or([] if on is None else [~on])


STATE: dict[type, Callable[[Builder, Any, Bool | None], None]] = {}
"""How each member of the language is stated, filled in by the files of members."""
