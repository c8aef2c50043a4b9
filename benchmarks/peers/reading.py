"""The facts that both peers read from a puzzle of the corpus before they state it in their own terms."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import lru_cache
from itertools import groupby
from typing import Any, TypeVar

from gridassay.encodings.grid import Canvas, Cell
from gridassay.encodings.patterns import pattern as read_pattern
from gridassay.encodings.puzzle import Puzzle

Item = TypeVar("Item")

MOVES = {
    "anti-knight": ((1, -2), (1, 2), (2, -1), (2, 1)),
    "anti-king": ((0, 1), (1, -1), (1, 0), (1, 1)),
}
_SHAPES = {
    "row neighbours": [[(0, 1)]],
    "orthogonal neighbours": [[(0, 1)], [(1, 0)]],
    "diagonal neighbours": [[(1, -1)], [(1, 1)]],
    "2x2 squares": [[(0, 1), (1, 0), (1, 1)]],
}


@lru_cache
def neighbourhoods(canvas: Canvas, each: str) -> list[tuple[Cell, ...]]:
    """Pairs or squares of neighbouring cells."""
    return [
        group
        for cell in canvas.cells
        for shape in _SHAPES[each]
        if set(group := (cell, *(cell.step(*step) for step in shape))) <= canvas.index.keys()
    ]


def crossings(canvas: Canvas) -> Iterator[list[Cell]]:
    """Every diagonal of two cells or more."""
    for sign in (-1, 1):
        lines: dict[int, list[Cell]] = {}
        for cell in canvas.cells:
            lines.setdefault(cell.row + sign * cell.column, []).append(cell)
        yield from (line for line in lines.values() if len(line) > 1)


def marked_pairs(puzzle: Puzzle, kinds: Sequence[str]) -> set[frozenset[Cell]]:
    """The pairs on which a mark of one of the kinds is drawn."""
    return {frozenset(rule.where()) for rule in puzzle.rules if rule.kind in kinds}


def spans(items: Sequence[Item], count: int) -> Iterator[Sequence[Item]]:
    """Windows of so many neighbours, or all if there are fewer."""
    yield from (items[at : at + count] for at in range(max(1, len(items) - count + 1)))


def pieces(canvas: Canvas, cells: Sequence[Cell]) -> list[list[Cell]]:
    """A line, cut if it leaves a box."""
    box_of = {cell: box.name for box in canvas.grids[0].areas for cell in box.cells}
    return [list(piece) for _, piece in groupby(cells, key=box_of.__getitem__)]


def cuts(total: int, digits: Sequence[int]) -> list[tuple[int, int, int]]:
    """Moves of the automaton whose state is the running total, back to 0 when it is made."""
    return [
        (reached, digit, (reached + digit) % total)
        for reached in range(total)
        for digit in digits
        if reached + digit <= total
    ]


@lru_cache
def pattern(
    text: str, digits: tuple[int, ...]
) -> tuple[int, list[int], list[tuple[int, int, int]]]:
    """Start, accepting states and moves of a pattern's automaton, taken as given."""
    dfa = read_pattern(text, {str(digit): digit for digit in digits})
    moves = [(state, digit, after) for (state, digit), after in dfa.step.items()]
    return dfa.start, sorted(dfa.accepting), moves


@lru_cache
def subtractions(operation: str, target: int, digits: tuple[int, ...], count: int) -> list[Any]:
    """The rows for which the largest less, or divided by, all the others makes the target."""
    rows: list[tuple[int, ...]] = [()]
    for _ in range(count):
        rows = [(*row, digit) for row in rows for digit in digits]
    fitting = []
    for row in rows:
        *rest, most = sorted(row)
        made = target
        for number in rest:
            made = made + number if operation == "-" else made * number
        if made == most:
            fitting.append(row)
    return fitting
