"""All 288 grids of size 4, and random 4×4 puzzles, for answers that a brute force can check."""

from __future__ import annotations

import random
from functools import cache
from itertools import permutations, product

from gridassay.encodings.documents import read_document
from gridassay.encodings.puzzle import Puzzle, Solution


@cache
def all_grids() -> tuple[Solution, ...]:
    """Every 4×4 grid with 2×2 boxes, by trying all rows."""
    rows = list(permutations((1, 2, 3, 4)))
    grids = []
    for lines in product(rows, repeat=4):
        columns = zip(*lines, strict=True)
        if any(len(set(column)) < 4 for column in columns):
            continue
        boxes = [
            {lines[top + down][left + right] for down in (0, 1) for right in (0, 1)}
            for top in (0, 2)
            for left in (0, 2)
        ]
        if all(len(box) == 4 for box in boxes):
            grids.append(tuple(digit for line in lines for digit in line))
    return tuple(grids)


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
    broken = set(puzzle.broken(grid))
    clues = (*map(str, puzzle.givens), *puzzle.rule_names)
    return frozenset(clue for clue in clues if clue not in broken)


def solutions(puzzle: Puzzle) -> list[Solution]:
    """Every solution of a 4×4 puzzle."""
    clues = len(puzzle.givens) + len(puzzle.rules)
    return [grid for grid in all_grids() if len(keeps(puzzle, grid)) == clues]
