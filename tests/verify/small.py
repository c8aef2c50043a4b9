"""All 4×4 grids, and puzzles on them solved by looking through all of them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cache
from itertools import combinations, permutations

from gridassay.encodings.grid import Cell, classic
from gridassay.encodings.puzzle import Fact, Puzzle, Solution

CELLS = classic(4).cells


@cache
def all_grids() -> tuple[Solution, ...]:
    """The 288 grids (the published number), row by row from permutations."""
    rows = list(permutations((1, 2, 3, 4)))
    halves = [
        (*top, *low)
        for top in rows
        for low in rows
        if {*top[:2], *low[:2]} == {*top[2:], *low[2:]} == {1, 2, 3, 4}
    ]
    grids = tuple(
        (*upper, *lower)
        for upper in halves
        for lower in halves
        if all(len({upper[c], upper[c + 4], lower[c], lower[c + 4]}) == 4 for c in range(4))
    )
    assert len(grids) == 288
    return grids


def puzzle_of(grid: Solution, places: Iterable[int]) -> Puzzle:
    """The puzzle with these cells of a grid given, numbered from 0 in reading order."""
    return Puzzle(classic(4), tuple(Fact(CELLS[p], grid[p]) for p in sorted(places)))


def fitting(givens: Iterable[Fact]) -> list[Solution]:
    """The grids in which all givens are true."""
    facts = [(CELLS.index(Cell(*fact.variable)), fact.value) for fact in givens]  # type: ignore[misc]
    return [grid for grid in all_grids() if all(grid[p] == digit for p, digit in facts)]


def smallest_keepers(grid: Solution, places: Sequence[int]) -> list[frozenset[int]]:
    """The smallest sets of these places that no other grid agrees with, by trying all sets."""
    agreeing = [
        sum(1 << p for p in range(16) if other[p] == grid[p])
        for other in all_grids()
        if other != grid
    ]
    for size in range(len(places) + 1):
        found = [
            frozenset(chosen)
            for chosen in combinations(places, size)
            if (mask := sum(1 << p for p in chosen)) >= 0
            and all(mask & ~agreed for agreed in agreeing)
        ]
        if found:
            return found
    raise AssertionError("another grid agrees with all places")
