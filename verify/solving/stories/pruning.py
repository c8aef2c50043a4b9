"""Early checks of cells filled so far: totals, lines read in order, choices.

Fillings are listed cell by cell. A *check* follows one constraint: at each cell it takes the number put
there, and says whether the constraint can still hold. What it knew before the cell is kept for each of
its places, so that another number can be tried there.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from typing import Protocol

from gridassay.encodings.constraints import Automaton, Constraint, Sum, Variable

Values = Mapping[Variable, int]
Numbers = Mapping[Variable, Collection[int]]
"""The numbers that variables may have."""

_MOST_STATES = 2000
"""States of an automaton, cell by cell, up to which it is worked out which of them lead to an end."""


class Check(Protocol):
    """One constraint, followed while cells are filled in order."""

    places: Sequence[int]
    """The places that it constrains, in ascending order."""

    def begin(self, numbers: Numbers) -> None:
        """Make ready for variables that may have these numbers."""

    def take(self, place: int, values: Values) -> bool:
        """Whether it can still hold; ``values`` are those so far, the ones of this place included."""


class SumCheck:
    """A sum, from the least and the most that the cells to come can add.

    Each of its variables has its number once a place is filled: ``places``, in their order.
    """

    def __init__(self, said: Sum, places: Sequence[int]) -> None:
        self._terms: dict[int, list[tuple[int, Variable]]] = {}
        for place, weight, name in zip(places, said.coefficients, said.variables, strict=True):
            self._terms.setdefault(place, []).append((weight, name))
        self.places: Sequence[int] = sorted(self._terms)
        self._least = said.relation != "<="
        self._most = said.relation != ">="
        self._total = said.total
        self._number = {place: number for number, place in enumerate(self.places)}
        self._made = [0] * (len(self.places) + 1)
        self._rest: list[tuple[int, int]] = []

    def begin(self, numbers: Numbers) -> None:
        """Work out what the cells from each place on can add."""
        low = high = 0
        rest = [(0, 0)]
        for place in reversed(self.places):
            for weight, name in self._terms[place]:
                added = [weight * number for number in numbers[name]] or [0]
                low, high = low + min(added), high + max(added)
            rest.append((low, high))
        self._rest = rest[::-1]

    def take(self, place: int, values: Values) -> bool:
        """Whether the others can make up the rest."""
        at = self._number[place]
        made = self._made[at]
        for weight, name in self._terms[place]:
            made += weight * values[name]
        self._made[at + 1] = made
        low, high = self._rest[at + 1]
        return not (
            (self._most and made + low > self._total) or (self._least and made + high < self._total)
        )


class AutomatonCheck:
    """An automaton that reads its cells in the order in which they are filled."""

    def __init__(self, said: Automaton, places: Sequence[int]) -> None:
        self.places: Sequence[int] = places
        self._variables = said.variables
        self._dfa = said.dfa
        self._number = {place: number for number, place in enumerate(places)}
        self._state = [0] * (len(places) + 1)
        self._leading: list[set[int]] | None = None

    def begin(self, numbers: Numbers) -> None:
        """Find the states before each cell from which the rest can be read to an end."""
        step = self._step = self._dfa.step
        self._accepting = self._dfa.accepting
        self._state[0] = self._dfa.start
        self._leading = None
        layers, known = [{self._dfa.start}], 0
        for name in self._variables:
            after = {step.get((state, number)) for state in layers[-1] for number in numbers[name]}
            layers.append({state for state in after if state is not None})
            known += len(layers[-1])
            if known > _MOST_STATES:
                return
        leading = [layers[-1] & self._accepting]
        for name, layer in zip(reversed(self._variables), layers[-2::-1], strict=True):
            ends = leading[-1]
            leading.append(
                {s for s in layer if any(step.get((s, number)) in ends for number in numbers[name])}
            )
        self._leading = leading[::-1]

    def take(self, place: int, values: Values) -> bool:
        """Whether a state is reached from which the rest can be read."""
        at = self._number[place] + 1
        state = self._step.get((self._state[at - 1], values[self._variables[at - 1]]))
        if state is None:
            return False
        self._state[at] = state
        if self._leading is not None:
            return state in self._leading[at]
        return at < len(self.places) or state in self._accepting


class Choices:
    """A choice of several possibilities, each of several statements: those that are not refuted yet.

    ``statements`` lists for each possibility its statements, each with the place after which all its
    cells are filled.
    """

    def __init__(self, statements: Sequence[Sequence[tuple[int, Constraint]]]) -> None:
        at: dict[int, dict[int, list[Constraint]]] = {}
        for number, some in enumerate(statements):
            for place, one in some:
                at.setdefault(place, {}).setdefault(number, []).append(one)
        self.places: Sequence[int] = sorted(at)
        self._at = at
        self._number = {place: number for number, place in enumerate(self.places)}
        self._left = [frozenset[int]()] * (len(self.places) + 1)
        self._left[0] = frozenset(range(len(statements)))

    def begin(self, numbers: Numbers) -> None:
        """Nothing depends on the numbers that are left."""

    def take(self, place: int, values: Values) -> bool:
        """Whether a possibility is left."""
        at, asked = self._number[place], self._at[place]
        left = frozenset(
            one for one in self._left[at] if all(said.holds(values) for said in asked.get(one, ()))
        )
        self._left[at + 1] = left
        return bool(left)
