"""Small boards for the attack, each with every grid that its houses allow; nothing here is gridassay's.

A *world* is one way to fill a board: the digit of each cell, and the values of the unknowns.
"""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from functools import cache
from itertools import permutations, product

Cell = tuple[int, int]


@dataclass(frozen=True)
class Board:
    """A board: the head of its puzzle file, its cells, digits, houses and every filling of them.

    ``grids`` holds (top row, left column, size, box) of each grid on it; ``worlds`` the digits in the
    order of ``cells``. ``doublers`` lists, if there are any, for each filling if they may lie.
    """

    name: str
    head: str
    rows: int
    columns: int
    digits: tuple[int, ...]
    cells: tuple[Cell, ...]
    houses: tuple[tuple[Cell, ...], ...]
    grids: tuple[tuple[int, int, int, tuple[int, int] | None], ...]
    worlds: tuple[tuple[int, ...], ...]
    regions: tuple[tuple[Cell, ...], ...] = ()
    doublers: tuple[tuple[tuple[int, ...], ...], ...] = field(default=(), compare=False)

    def symbol(self, digit: int) -> str:
        """How a digit is written among givens."""
        return str(digit) if digit < 10 else chr(55 + digit)


def cells_of(rows: int, columns: int, at: Cell = (1, 1)) -> tuple[Cell, ...]:
    """The cells of a rectangle in reading order."""
    return tuple((at[0] + r, at[1] + c) for r in range(rows) for c in range(columns))


@cache
def latin(size: int) -> tuple[tuple[int, ...], ...]:
    """Every Latin square of 0 to size − 1, row by row."""
    rows = list(permutations(range(size)))

    def grow(square: tuple[int, ...], depth: int) -> Iterator[tuple[int, ...]]:
        if depth == size:
            yield square
            return
        for row in rows:
            if all(row[c] != square[r * size + c] for r in range(depth) for c in range(size)):
                yield from grow(square + row, depth + 1)

    return tuple(grow((), 0))


def _with_regions(regions: Sequence[Sequence[int]], size: int) -> list[tuple[int, ...]]:
    """The Latin squares in which each region, by places, holds every digit."""
    return [g for g in latin(size) if all(len({g[p] for p in one}) == size for one in regions)]


BOXES = ((0, 1, 4, 5), (2, 3, 6, 7), (8, 9, 12, 13), (10, 11, 14, 15))
CROOKED = "aaabacbbccbdcddd"


def _crooked() -> tuple[tuple[int, ...], ...]:
    pieces = {letter: [p for p in range(16) if CROOKED[p] == letter] for letter in "abcd"}
    return tuple(tuple(piece) for piece in pieces.values())


def _square(
    name: str, head: str, digits: tuple[int, ...], regions: Sequence[Sequence[int]]
) -> Board:
    cells = cells_of(4, 4)
    lines = [cells[4 * r : 4 * r + 4] for r in range(4)] + [cells[c::4] for c in range(4)]
    parts = tuple(tuple(cells[p] for p in one) for one in regions)
    worlds = tuple(tuple(digits[d] for d in grid) for grid in _with_regions(regions, 4))
    box = (2, 2) if regions == BOXES else None
    return Board(
        name, head, 4, 4, digits, cells, (*lines, *parts), ((1, 1, 4, box),), worlds, parts
    )


def _bare(rows: int, columns: int, digits: tuple[int, ...]) -> Board:
    cells = cells_of(rows, columns)
    head = f'rows = {rows}\ncolumns = {columns}\nhouses = "none"\ndigits = {list(digits)}\n'
    worlds = tuple(product(digits, repeat=len(cells)))
    name = f"bare {rows}x{columns} of {len(digits)}"
    return Board(name, head, rows, columns, digits, cells, (), (), worlds)


def _pair() -> Board:
    """Two grids that share a box."""
    cells = tuple(dict.fromkeys((*cells_of(4, 4), *cells_of(4, 4, (3, 3)))))
    cells = tuple(sorted(cells))
    squares = [tuple(d + 1 for d in grid) for grid in _with_regions(BOXES, 4)]
    worlds = []
    for first in squares:
        for second in squares:
            if [first[p] for p in BOXES[3]] == [second[p] for p in BOXES[0]]:
                held = dict(zip(cells_of(4, 4), first, strict=True))
                held |= dict(zip(cells_of(4, 4, (3, 3)), second, strict=True))
                worlds.append(tuple(held[cell] for cell in cells))
    houses = []
    for corner in ((1, 1), (3, 3)):
        own = cells_of(4, 4, corner)
        houses += [own[4 * r : 4 * r + 4] for r in range(4)] + [own[c::4] for c in range(4)]
        houses += [tuple(own[p] for p in box) for box in BOXES]
    head = '[[grid]]\nat = "r1c1"\nsize = 4\n[[grid]]\nat = "r3c3"\nsize = 4\n'
    grids = ((1, 1, 4, (2, 2)), (3, 3, 4, (2, 2)))
    kept = tuple(random.Random(1).sample(worlds, len(worlds)))
    return Board("two grids", head, 6, 6, (1, 2, 3, 4), cells, tuple(houses), grids, kept)


def _doubled() -> Board:
    """A 4×4 grid with doublers: each filling with the places that they may have in it."""
    plain = _square("", "", (1, 2, 3, 4), BOXES)
    placements = [
        places
        for columns in permutations(range(4))
        if len({(r // 2, c // 2) for r, c in enumerate(columns)}) == 4
        for places in [tuple(4 * r + c for r, c in enumerate(columns))]
    ]
    worlds, doubled = [], []
    for grid in plain.worlds:
        allowed = tuple(p for p in placements if len({grid[place] for place in p}) == 4)
        if allowed:
            worlds.append(grid)
            doubled.append(allowed)
    return Board(
        "doublers",
        "size = 4\n",
        4,
        4,
        plain.digits,
        plain.cells,
        plain.houses,
        plain.grids,
        tuple(worlds),
        plain.regions,
        tuple(doubled),
    )


@cache
def boards() -> tuple[tuple[Board, int], ...]:
    """The boards, each with its weight when one is chosen."""
    one_to_four = (1, 2, 3, 4)
    rows = "\n".join(CROOKED[4 * r : 4 * r + 4] for r in range(4))
    return (
        (_square("grid", "size = 4\n", one_to_four, BOXES), 30),
        (_square("latin", 'size = 4\nbox = "none"\n', one_to_four, ()), 12),
        (_square("regions", f'size = 4\nregions = """\n{rows}\n"""\n', one_to_four, _crooked()), 8),
        (_square("from 0", "size = 4\ndigits = [0, 1, 2, 3]\n", (0, 1, 2, 3), BOXES), 8),
        (_square("gaps", "size = 4\ndigits = [2, 3, 6, 9]\n", (2, 3, 6, 9), BOXES), 6),
        (_bare(2, 3, (1, 2, 3)), 8),
        (_bare(1, 5, one_to_four), 8),
        (_bare(2, 2, (1, 2, 3, 4, 5, 6)), 8),
        (_bare(3, 2, (0, 1, 2)), 6),
        (_doubled(), 6),
        (_pair(), 1),
    )
