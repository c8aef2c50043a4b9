"""Automata that read the cells of a row or column one after the other, and end with a clue's number.

An automaton reads the mark of each cell, which is its digit and its value. A letter clue is an extra
variable at the end of the line, read after the cells.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Sequence
from typing import TypeVar

from gridassay.encodings.automata import Dfa, LateDfa
from gridassay.encodings.board import Board
from gridassay.encodings.constraints import Automaton, Letter
from gridassay.encodings.counted import NoValueError
from gridassay.encodings.grid import Cell
from gridassay.encodings.pace import pace, room

State = TypeVar("State", bound=Hashable)
Step = Callable[[State, int, int], State | None]
"""The state after a cell, from the state before it and the cell's digit and value."""

MOST_MOVES = 4_000_000
"""The most steps of one automaton, more than any line of 35 cells takes."""


class Reach:
    """Decides whether a total can still reach the clue's number, to keep automata small."""

    def __init__(self, clue: int | str, board: Board) -> None:
        numbers = board.letters[clue] if isinstance(clue, str) else (clue,)
        self._least, self._most = numbers[0], numbers[-1]
        self._low, self._high = board.value_domain[0], board.value_domain[-1]

    def can_be_made(self, total: int, left: int) -> bool:
        """Whether this many more values can make up the difference."""
        return self._least - left * self._high <= total <= self._most - left * self._low


def most_of(clue: int | str, board: Board) -> int:
    """The greatest number that the clue can be."""
    return board.letters[clue][-1] if isinstance(clue, str) else clue


def read_along(
    kind: str,
    board: Board,
    cells: Sequence[Cell],
    clue: int | str,
    start: State,
    step: Step[State],
    result: Callable[[State], int | None],
) -> Automaton:
    """The automaton that reads the cells in order and ends with the clue's number as the result.

    Its states include their place on the line, so that a letter, read last, cannot be mistaken for
    a mark. ``kind`` says which rule the step and result belong to: rules of the same kind, on lines
    of the same length and with the same clue, share an automaton.
    """
    number = board.letters[clue] if isinstance(clue, str) else clue
    key = kind, number, len(cells), board.marks, board.counting
    last = (Letter(clue),) if isinstance(clue, str) else ()
    dfa = LateDfa(key, lambda: _unroll(board, len(cells), clue, start, step, result))
    return Automaton((*(board.mark(cell) for cell in cells), *last), dfa)


def _unroll(
    board: Board,
    length: int,
    clue: int | str,
    start: State,
    step: Step[State],
    result: Callable[[State], int | None],
) -> Dfa:
    moves: dict[tuple[int, int], int] = {}
    layer: dict[State, int] = {start: 0}
    known = 1
    for _ in range(length):
        following: dict[State, int] = {}
        room(len(moves), MOST_MOVES, "steps of one automaton")
        for state, number in layer.items():
            pace()
            for mark in board.marks:
                try:
                    after = step(state, *board.read(mark))
                except NoValueError:
                    continue
                if after is not None:
                    if after not in following:
                        following[after] = known
                        known += 1
                    moves[number, mark] = following[after]
        layer = following
    if not isinstance(clue, str):
        ends = frozenset(number for state, number in layer.items() if result(state) == clue)
        return Dfa(0, ends, moves)
    for state, number in layer.items():
        found = result(state)
        if found is not None:
            moves[number, found] = known
    return Dfa(0, frozenset({known}), moves)
