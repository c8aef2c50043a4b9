"""Cages: witnesses on small scopes, and killer combination tables as the outside check."""

from __future__ import annotations

from itertools import combinations
from math import factorial

import pytest

from gridassay.verify.engines.sat import SatEngine

from .witnesses import CLOCK, bare, solutions, witnesses


def cage(fields: str) -> str:
    return f'[[rule]]\nkind = "cage"\n{fields}\n'


@pytest.mark.parametrize(
    "fields",
    [
        "",
        "sum = 6",
        "at-least = 5",
        "at-most = 7",
        "repeats = true\nsum = 6",
        'sum = "A"',
        "sum = 99",
    ],
)
def test_witnesses(fields: str) -> None:
    witnesses(bare(1, 3, 4, cage(f'cells = "r1c1..r1c3"\n{fields}')))


def test_a_cage_as_long_as_the_digits() -> None:
    assert witnesses(bare(1, 3, 3, cage('cells = "r1c1..r1c3"'))) == 6


@pytest.mark.parametrize(("size", "total"), [(2, 3), (2, 10), (3, 6), (3, 15), (4, 20), (5, 25)])
def test_killer_combinations(size: int, total: int) -> None:
    # Killer combination tables: k-subsets of 1..9 with that total, each in k! orders.
    expected = sum(sum(s) == total for s in combinations(range(1, 10), size)) * factorial(size)
    puzzle = bare(1, size, 9, cage(f'cells = "r1c1..r1c{size}"\nsum = {total}'))
    assert len(solutions(SatEngine(puzzle.model, CLOCK))) == expected
