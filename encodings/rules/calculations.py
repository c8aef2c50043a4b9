"""Cages with the result of a calculation."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import combinations_with_replacement
from math import prod
from typing import ClassVar, Literal

from pydantic import Field

from gridassay.encodings.automata import Dfa, explore
from gridassay.encodings.board import Board, Filled, Part
from gridassay.encodings.constraints import (
    AllOf,
    AnyOf,
    Automaton,
    Compare,
    Constraint,
    In,
    Letter,
    Sum,
    Variable,
)
from gridassay.encodings.grid import Cell
from gridassay.encodings.rules.base import (
    Cells,
    Clue,
    Rule,
    RuleError,
    Shape,
    distinct_cells,
    length_between,
    spell,
)
from gridassay.encodings.wording import in_pieces

Operation = Literal["+", "-", "*", "/"]
OPERATIONS: tuple[Operation, ...] = ("+", "-", "*", "/")
SIGNS: Mapping[str, str] = {"+": "+", "-": "−", "*": "×", "/": "÷"}

MOST_RESULTS = 10_000
"""A letter for a result that could be more numbers than this is refused."""


class CalculationCage(Rule):
    """The values in the cage make ``target`` with ``operation``: ``+``, ``-``, ``*`` or ``/``.

    ``+`` and ``*`` are their total and product. ``-`` is the largest less all the others, ``/`` the
    largest divided by all the others (which must be a whole number, and nothing is divided by 0),
    in any order. Without an operation one of the four gives it, and the solver has to find which.
    Digits may repeat if houses allow it. A cage of one cell holds its target.

    Example: `kind = "calculation-cage"`, `cells = "r1c1 r1c2"`, `operation = "/"`, `target = 4` in
    a 6×6 grid leaves 1 and 4 in either order.
    """

    kind: Literal["calculation-cage"] = "calculation-cage"
    cells: Cells
    operation: Operation | None = None
    target: Clue = Field(description="the result, a whole number or a letter for one")

    sentence: ClassVar[str] = (
        "The digits in a cage make the number in its corner by the operation beside it; − and ÷ begin "
        "with the largest digit. Digits may repeat in a cage."
    )

    def wording(self) -> str:
        """Whether an operation is given, and whether there is anything to calculate."""
        if len(self.cells) == 1:
            return "A cage of one cell holds the number in its corner."
        if self.operation is not None:
            return self.sentence
        return (
            "The digits in a cage with no operation beside its number make that number by one of "
            "+, −, × and ÷; − and ÷ begin with the largest digit. Digits may repeat in a cage."
        )

    def where(self) -> tuple[Cell, ...]:
        """Its cells."""
        return self.cells

    def doubts(self) -> Iterator[str]:
        """Words for an outline that is in pieces."""
        return in_pieces(self.cells)

    def check(self, board: Board) -> None:
        """The cells are on the canvas, none twice; a letter does not have too many possible numbers."""
        super().check(board)
        length_between(self.cells, 1)
        distinct_cells(self.cells)
        for letter, (low, high) in self.letters(board).items():
            if high - low >= MOST_RESULTS:
                raise RuleError(
                    f"target = {letter!r} could be {high - low + 1:,} numbers, but at most"
                    f" {MOST_RESULTS:,} are allowed; give a number, or fewer cells"
                )

    def _operations(self) -> tuple[Operation, ...]:
        return OPERATIONS if self.operation is None else (self.operation,)

    def letters(self, board: Board) -> Mapping[str, tuple[int, int]]:
        """Its target, if a letter stands for it."""
        if not isinstance(self.target, str):
            return {}
        low, high, count = board.value_domain[0], board.value_domain[-1], len(self.cells)
        products = [low**lows * high ** (count - lows) for lows in range(count + 1)]
        farthest = max(-low, high)
        spans: dict[Operation, tuple[int, int]] = {
            "+": (count * low, count * high),
            "-": (high - (count - 1) * high, high - (count - 1) * low),
            "*": (min(products), max(products)),
            "/": (0 if low >= 0 else -farthest, farthest),
        }
        if count == 1:
            return {self.target: (low, high)}
        chosen = [spans[operation] for operation in self._operations()]
        return {self.target: (min(low for low, _ in chosen), max(high for _, high in chosen))}

    def holds(self, filled: Filled) -> bool:
        """One of the operations gives the target."""
        target = filled.number(self.target)
        *others, largest = sorted(filled.values(self.cells))
        results = {
            "+": [largest + sum(others)],
            "-": [largest - sum(others)],
            "*": [largest * prod(others)],
            "/": [largest // prod(others)] if prod(others) and not largest % prod(others) else [],
        }
        return any(target in results[operation] for operation in self._operations())

    def parts(self, board: Board) -> Iterator[Part]:
        """One part."""
        statements = {
            "+": self._total,
            "-": self._difference,
            "*": self._product,
            "/": self._quotient,
        }
        options = tuple(statements[operation](board) for operation in self._operations())
        whole = options[0] if len(options) == 1 else AnyOf(options)
        yield Part(f"calculation-cage {spell(self.cells)}", whole)

    def _sum(self, variables: Sequence[Variable], signs: tuple[int, ...]) -> Sum:
        """Variables with signs add up to the target."""
        if isinstance(self.target, int):
            return Sum(tuple(variables), "==", self.target, signs)
        return Sum((*variables, Letter(self.target)), "==", 0, (*signs, -1))

    def _total(self, board: Board) -> Constraint:
        return self._sum(board.values(self.cells), (1,) * len(self.cells))

    def _difference(self, board: Board) -> Constraint:
        options = []
        for largest, others in _each_as_largest(board.values(self.cells)):
            less = (Compare(other, "<=", largest) for other in others)
            signs = (1,) + (-1,) * len(others)
            options.append(AllOf((*less, self._sum((largest, *others), signs))))
        return AnyOf(tuple(options))

    def _product(self, board: Board) -> Constraint:
        variables, numbers = board.values(self.cells), board.value_domain
        nothing = AnyOf(tuple(In(variable, frozenset({0})) for variable in variables))
        if isinstance(self.target, int):
            if self.target == 0:
                return nothing
            return Automaton(variables, _divided_out(numbers, [self.target]))
        letter = Letter(self.target)
        results = {prod(row) for row in combinations_with_replacement(numbers, len(variables))}
        others = _divided_out(numbers, sorted(results - {0}), read_first=True)
        options = (
            AllOf((In(letter, frozenset({0})), nothing)),
            Automaton((letter, *variables), others),
        )
        return AnyOf(options)

    def _quotient(self, board: Board) -> Constraint:
        """The largest is target times the others: those are read first, then the largest.

        That it is the largest follows from the product, unless a value is below 0.
        """
        numbers, options = board.value_domain, []
        for largest, others in _each_as_largest(board.values(self.cells)):
            said: list[Constraint] = []
            if isinstance(self.target, int):
                dfa = _multiplied_up(numbers, len(others), self.target)
                said.append(Automaton((*others, largest), dfa))
            else:
                dfa = _multiplied_up(numbers, len(others), None)
                said.append(Automaton((Letter(self.target), *others, largest), dfa))
            if numbers[0] < 0:
                said += [Compare(other, "<=", largest) for other in others]
            options.append(said[0] if len(said) == 1 else AllOf(tuple(said)))
        return AnyOf(tuple(options))

    def shapes(self, board: Board) -> Iterator[Shape]:
        """An outline with target and operation in its corner."""
        yield Shape("cage", self.cells, self.sign())

    def sign(self) -> str:
        """Its target, and its operation if there is something to calculate."""
        operation = SIGNS[self.operation] if self.operation and len(self.cells) > 1 else ""
        return f"{self.target}{operation}"

    @property
    def seen_as(self) -> str:
        """A cage of one cell, with an operation, or with a number alone."""
        if len(self.cells) == 1:
            return "cage of one cell"
        return "cage 1" if self.operation is None else "cage with an operation"


def _each_as_largest(
    variables: Sequence[Variable],
) -> Iterator[tuple[Variable, tuple[Variable, ...]]]:
    """Each variable with all the others."""
    for place, variable in enumerate(variables):
        yield variable, (*variables[:place], *variables[place + 1 :])


def _divided_out(
    numbers: Sequence[int], targets: Sequence[int], *, read_first: bool = False
) -> Dfa:
    """Reads factors of a target other than 0 and divides it by each, down to 1.

    The target is the only one of ``targets``, or the first number that is read. A state is what
    is left, which is never 0: that is the start that reads the target.
    """
    steps = {(0, target): target for target in targets} if read_first else {}
    waiting = list(targets)
    met = set(waiting)
    while waiting:
        left = waiting.pop()
        for number in numbers:
            if number and left % number == 0:
                steps[left, number] = left // number
                if left // number not in met:
                    met.add(left // number)
                    waiting.append(left // number)
    return Dfa(0 if read_first else targets[0], frozenset({1}), steps)


def _multiplied_up(numbers: Sequence[int], count: int, target: int | None) -> Dfa:
    """Reads ``count`` factors other than 0, and then their product with the target.

    Without a target, the target is read first. A state is how many factors are still to be read and
    the product so far; products farther from 0 than any number are rejected. So is a target of 0 if
    no number is below 0, as it is then never a quotient (without factors there is nothing to divide,
    and it may be 0).
    """
    largest = max(map(abs, numbers))
    least = -largest if numbers[0] < 0 else 1 if count else 0

    def step(state: tuple[int, int], number: int) -> tuple[int, int] | None:
        factors, product = state
        if factors > count:
            return (count, number) if least <= number <= largest else None
        if factors > 0:
            after = product * number
            return (factors - 1, after) if number and abs(after) <= largest else None
        return done if factors == 0 and number == product else None

    done = (-1, 0)
    if target is None:
        read = range(min(0, numbers[0], least), largest + 1)
        return explore((count + 1, 0), read, step, done.__eq__)
    if not least <= target <= largest:
        return Dfa(0, frozenset(), {})
    return explore((count, target), numbers, step, done.__eq__)
