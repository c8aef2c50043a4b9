"""Disguises made and undone by hand on lines of symbols, without any code of the package."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from itertools import permutations, product
from random import Random


def disguise(line: str, size: int, box: tuple[int, int] | None, rng: Random) -> str:
    """Rows within bands, bands, columns, stacks, digits, and (square boxes) rows for columns."""
    high, wide = box or (size, size)
    rows, columns = _shuffled(size, high, rng), _shuffled(size, wide, rng)
    grid = [[line[r * size + c] for c in columns] for r in rows]
    if high == wide and rng.random() < 0.5:
        grid = [list(column) for column in zip(*grid, strict=True)]
    symbols = [str(digit) for digit in range(1, size + 1)]
    renamed = dict(zip(symbols, rng.sample(symbols, size), strict=True))
    return "".join(renamed.get(symbol, symbol) for row in grid for symbol in row)


def _shuffled(size: int, width: int, rng: Random) -> list[int]:
    starts = list(range(0, size, width))
    rng.shuffle(starts)
    return [place for start in starts for place in rng.sample(range(start, start + width), width)]


def follow(words: str, line: str, size: int) -> str:
    """Do to a line what the printed words of a transformation say, step by step."""
    grid = [list(line[at : at + size]) for at in range(0, size * size, size)]
    for step in words.split("; "):
        if step == "nothing changes":
            continue
        if step == "rows become columns (r1c2 becomes r2c1)":
            grid = [list(column) for column in zip(*grid, strict=True)]
        elif match := re.fullmatch(r"(rows|columns) ([\d ]+) become \1 1 to \d+", step):
            order = [int(number) - 1 for number in match[2].split()]
            if match[1] == "rows":
                grid = [grid[place] for place in order]
            else:
                grid = [[row[place] for place in order] for row in grid]
        elif step.startswith("rename digits "):
            renamed = {}
            for part in step.removeprefix("rename digits ").split():
                renamed[part[0]] = part[2]
                if part[1] == "↔":
                    renamed[part[2]] = part[0]
            grid = [[renamed.get(symbol, symbol) for symbol in row] for row in grid]
        else:
            grid = _turned(step, grid)
    return "".join(symbol for row in grid for symbol in row)


def _turned(name: str, grid: list[list[str]]) -> list[list[str]]:
    clockwise = [list(column) for column in zip(*grid[::-1], strict=True)]
    return {
        "half turn": [row[::-1] for row in grid[::-1]],
        "quarter turn clockwise": clockwise,
        "quarter turn anticlockwise": [row[::-1] for row in clockwise[::-1]],
        "left-right mirror": [row[::-1] for row in grid],
        "top-bottom mirror": grid[::-1],
        "falling diagonal mirror": [list(column) for column in zip(*grid, strict=True)],
        "rising diagonal mirror": clockwise[::-1],
    }[name]


def grids_of_four() -> list[str]:
    """All 4×4 grids with 2×2 boxes, by plain search."""
    found: list[str] = []

    def fill(line: str) -> None:
        if len(line) == 16:
            found.append(line)
            return
        row, column = divmod(len(line), 4)
        for digit in "1234":
            clash = any(
                line[r * 4 + c] == digit
                for r in range(4)
                for c in range(4)
                if r * 4 + c < len(line)
                and (r == row or c == column or (r // 2, c // 2) == (row // 2, column // 2))
            )
            if not clash:
                fill(line + digit)

    fill("")
    return found


def moves_of_four() -> list[tuple[int, ...]]:
    """The moves of a 4×4 grid's cells that keep rows, columns and boxes, written out: 8 × 8 × 2."""
    orders = [
        tuple(2 * band + within for band, pair in zip(bands, pairs, strict=True) for within in pair)
        for bands in permutations(range(2))
        for pairs in product(permutations(range(2)), repeat=2)
    ]
    plain = [tuple(4 * r + c for r in rows for c in cols) for rows in orders for cols in orders]
    return plain + [tuple(4 * (p % 4) + p // 4 for p in move) for move in plain]


def images(line: str, moves: Sequence[Sequence[int]], digits: str) -> Iterator[str]:
    """Every image of a line under the moves and the renamings."""
    tables = [str.maketrans(digits, "".join(order)) for order in permutations(digits)]
    for move in moves:
        moved = "".join(line[place] for place in move)
        for table in tables:
            yield moved.translate(table)
