"""All 4×4 grids, and puzzles on them, made at random too, solved by looking through all of them."""

from __future__ import annotations

import random
from collections.abc import Iterable, Sequence
from functools import cache
from itertools import combinations, permutations

from gridassay.encodings.documents import read_document
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


def random_puzzle(seed: int, givens: int, wrong: int = 0, rules: int = 0) -> Puzzle:
    """A 4×4 puzzle cut from a grid, some of its clues made wrong at random."""
    chance = random.Random(seed)
    grid = list(chance.choice(all_grids()))
    text = ["."] * 16
    places = chance.sample(range(16), givens)
    for number, place in enumerate(places):
        text[place] = str(chance.randint(1, 4) if number < wrong else grid[place])
    tables = []
    for number in range(rules):
        row, column = chance.randrange(4), chance.randrange(3)
        cells = f"r{row + 1}c{column + 1} r{row + 1}c{column + 2}"
        first, second = grid[4 * row + column], grid[4 * row + column + 1]
        if chance.random() < 0.5:
            total = first + second + (number < wrong)
            tables.append(f'[[rule]]\nkind = "cage"\ncells = "{cells}"\nsum = {total}\n')
        else:
            rising = (first < second) != (number < wrong)
            ordered = cells if rising else " ".join(reversed(cells.split()))
            tables.append(f'[[rule]]\nkind = "thermometer"\ncells = "{ordered}"\n')
    return read_document(f'size = 4\ngivens = "{"".join(text)}"\n' + "".join(tables), "small.toml")


def keeps(puzzle: Puzzle, grid: Solution) -> frozenset[str]:
    """The givens and rules that a full grid keeps, by plain reading."""
    broken = set(puzzle.violations(grid))
    clues = (*map(str, puzzle.givens), *puzzle.rule_names)
    return frozenset(clue for clue in clues if clue not in broken)


def solutions(puzzle: Puzzle) -> list[Solution]:
    """Every solution of a 4×4 puzzle."""
    clues = len(puzzle.givens) + len(puzzle.rules)
    return [grid for grid in all_grids() if len(keeps(puzzle, grid)) == clues]
