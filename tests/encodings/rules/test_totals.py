"""Groups with equal or greater totals; magic squares as the outside check."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from gridassay.encodings.lines import PuzzleError
from gridassay.encodings.puzzle import Puzzle

from .boards import count, doublers_agree, line, with_digits
from .witnesses import bare, witnesses


def groups(kind: str, *cells: str) -> str:
    return f'[[rule]]\nkind = "{kind}"\ngroups = {list(cells)}\n'


@pytest.mark.parametrize("kind", ["equal-sums", "greater-sum"])
@pytest.mark.parametrize(
    "cells",
    [
        ("r1c1", "r1c2"),
        ("r1c1 r1c2", "r1c3 r1c4"),
        ("r1c1 r1c2 r1c3", "r1c4"),
        ("r1c1 r1c2", "r1c2 r1c3"),
        ("r1c1 r1c2", "r1c2 r1c1"),
        ("r1c1 r1c2", "r1c1"),
    ],
)
def test_witnesses(kind: str, cells: tuple[str, ...]) -> None:
    witnesses(bare(1, 4, 4, groups(kind, *cells)))
    witnesses(with_digits(1, 4, [0, 1, 5], groups(kind, *cells)))


@pytest.mark.parametrize(
    "cells", [("r1c1", "r1c2", "r1c3 r1c4"), ("r1c1 r1c2", "r1c2 r1c3", "r1c3 r1c4")]
)
def test_three_equal_sums(cells: tuple[str, ...]) -> None:
    witnesses(bare(1, 4, 4, groups("equal-sums", *cells)))


def magic(order: int, *first: int) -> Puzzle:
    """Magic squares that start with these numbers."""
    span = range(1, order + 1)
    rows = [f"r{r}c1..r{r}c{order}" for r in span]
    columns = [f"r1c{c}..r{order}c{c}" for c in span]
    diagonals = [f"r1c1..r{order}c{order}", f"r1c{order}..r{order}c1"]
    differ = f'[[rule]]\nkind = "cage"\ncells = {rows}\n'
    rule = differ + groups("equal-sums", *rows, *columns, *diagonals)
    for column, number in enumerate(first, start=1):
        rule += line("cage", f"r1c{column}", f"sum = {number}")
    return bare(order, order, order**2, rule)


def test_magic_squares_of_order_3() -> None:
    # One square (Lo Shu, antiquity) in 8 rotations and reflections.
    assert count(magic(3)) == 8


def squares_of_order_4(corner: int) -> Iterator[tuple[int, ...]]:
    """Magic squares with that number in r1c1, by plain search: a free cell, then what it forces."""
    numbers = set(range(1, 17))

    def choose(used: set[int], wanted: int = 34) -> Iterator[tuple[int, int]]:
        """Two unused numbers that total so much."""
        for first in numbers - used:
            second = wanted - first
            if second in numbers and second != first and second not in used:
                yield first, second

    a = corner
    for b in numbers - {a}:
        for c, d in choose({a, b}, 34 - a - b):
            row = {a, b, c, d}
            for e in numbers - row:
                for i, m in choose(row | {e}, 34 - a - e):
                    column = row | {e, i, m}
                    for g, j in choose(column, 34 - d - m):
                        cross = column | {g, j}
                        for f, h in choose(cross, 34 - e - g):
                            n, k = 34 - b - f - j, 34 - i - j
                            rest = cross | {f, h}
                            for o in numbers - rest:
                                square = (a, b, c, d, e, f, g, h, i, j, 34 - c - g - o, 0, m, n, o)
                                third, last = square[10], 34 - m - n - o
                                whole = (*square[:11], k - third, m, n, o, last)
                                down = d + h + whole[11] + last
                                if set(whole) == numbers and down == a + f + third + last == 34:
                                    yield whole


def test_the_search_finds_all_squares_of_order_4() -> None:
    # Frénicle 1693: 880 squares, each in 8 rotations and reflections.
    assert sum(1 for corner in range(1, 17) for _ in squares_of_order_4(corner)) == 880 * 8


def test_magic_squares_of_order_4() -> None:
    """The squares with 1 and 11 in their first cells, as the search above finds them."""
    expected = sum(1 for square in squares_of_order_4(1) if square[1] == 11)
    assert expected > 20
    assert count(magic(4, 1, 11)) == expected


def test_greater_sums_counted_by_hand() -> None:
    # A total t of two digits is made in 9 - |10 - t| ways, 2d with equal digits d in one.
    ways = {total: 9 - abs(10 - total) for total in range(2, 19)}
    expected = sum(ways[other] for digit in range(1, 10) for other in range(2, 2 * digit))
    rule = groups("greater-sum", "r1c1 r1c2", "r1c3 r1c4") + line("palindrome", "r1c1 r1c2")
    assert count(bare(1, 4, 9, rule)) == expected


@pytest.mark.parametrize("kind", ["equal-sums", "greater-sum"])
def test_doublers_count_double_in_totals(kind: str) -> None:
    assert doublers_agree(groups(kind, "r1c1 r1c2", "r2c1 r2c2")) > 0


@pytest.mark.parametrize(
    ("rule", "message"),
    [
        (groups("equal-sums", "r1c1"), "groups lists 1, but at least 2 are needed"),
        (groups("greater-sum", "r1c1", "r1c2", "r1c3"), "groups lists 3, but 2 are needed"),
        (groups("equal-sums", "r1c1", ""), "group 2 has no cells"),
        (groups("equal-sums", "r1c1", "r1c2 r1c2"), "r1c2 is listed twice"),
        (groups("equal-sums", "r1c1", "r7c1"), "r7c1 is not on the canvas"),
        (groups("equal-sums", "r1c1", "r1x1"), "'r1x1' is not a cell"),
    ],
)
def test_errors(rule: str, message: str) -> None:
    with pytest.raises(PuzzleError, match=message):
        bare(1, 4, 4, rule)
