"""Rules that total what is between the lowest and the highest digit of a line, known by their meaning.

The automaton of a line is walked side by side with one that adds up between the two digits: it is such a
rule if they accept the same fillings.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from gridassay.encodings.automata import Dfa
from gridassay.encodings.constraints import Automaton
from gridassay.encodings.grid import Cell
from gridassay.verify.engines.by_thread import kept_by_thread
from gridassay.verify.engines.questions import Switch
from gridassay.verify.solving.board.position import Layout
from gridassay.verify.solving.rule_meaning.pieces import Piece


@dataclass(frozen=True)
class Between:
    """The cells of a line, in order; those between its lowest and its highest digit make the amount."""

    cells: tuple[int, ...]
    amount: int

    def inside(self, one: int, other: int) -> tuple[int, ...]:
        """The cells between two cells."""
        first, last = sorted((self.cells.index(one), self.cells.index(other)))
        return self.cells[first + 1 : last]


def between_in(layout: Layout, piece: Piece) -> Between | None:
    """The line and total of a piece of a rule, if it is such a rule."""
    known = _readings(layout)
    if piece.switch not in known:
        known[piece.switch] = _read(layout, piece)
    return known[piece.switch]


@kept_by_thread(16)
def _readings(layout: Layout) -> dict[Switch, Between | None]:
    """The rules of a layout that have been read, and those found to say something else."""
    return {}


def _read(layout: Layout, piece: Piece) -> Between | None:
    constraints = [part.constraint for part in piece.premise.parts]
    if len(constraints) != 1 or not isinstance(constraints[0], Automaton):
        return None
    (line,) = constraints
    assert isinstance(line, Automaton)
    names = [one for one in line.variables if isinstance(one, Cell)]
    if not line.accepted or len(names) != len(line.variables) or len(layout.digits) < 3:
        return None
    for amount in _amounts(line.dfa, layout.digits, len(names)):
        if _is_between(line.dfa, layout.digits, len(names), amount):
            return Between(tuple(layout.index[one] for one in names), amount)
        return None
    return None


def _amounts(dfa: Dfa, digits: tuple[int, ...], length: int) -> Iterator[int]:
    """The totals that are accepted after the lowest digit, before the highest one and any others."""
    low, *middle, high = digits
    reached = {0: dfa.step.get((dfa.start, low))}
    for place in range(1, length):
        for total, state in reached.items():
            after = None if state is None else dfa.step.get((state, high))
            for _ in range(place + 1, length):
                after = None if after is None else dfa.step.get((after, middle[0]))
            if after in dfa.accepting:
                yield total
        reached = {
            total + digit: None if state is None else dfa.step.get((state, digit))
            for total, state in reached.items()
            for digit in middle
        }


State = tuple[int, int]
"""The end that is awaited (0: either, 1: the lowest, 2: the highest digit, -1: none), and the total."""


def _after(state: State, digit: int, digits: tuple[int, ...], amount: int) -> State | None:
    awaited, total = state
    ends = {digits[0]: 1, digits[-1]: 2}
    if digit in ends:
        if awaited == 0:
            return 3 - ends[digit], total
        return (-1, total) if awaited == ends[digit] else None
    if awaited in (0, -1):
        return state
    return (awaited, total + digit) if total + digit <= amount else None


def _is_between(dfa: Dfa, digits: tuple[int, ...], length: int, amount: int) -> bool:
    """Whether the automaton accepts just the fillings with that total between the two digits."""
    pairs: set[tuple[int | None, State | None]] = {(dfa.start, (0, 0))}
    for _ in range(length):
        pairs = {
            (
                None if one is None else dfa.step.get((one, digit)),
                None if other is None else _after(other, digit, digits, amount),
            )
            for one, other in pairs
            for digit in digits
        }
        pairs.discard((None, None))
    return all((one in dfa.accepting) is (other == (-1, amount)) for one, other in pairs)
