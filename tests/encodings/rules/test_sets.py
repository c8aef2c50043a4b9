"""All different and copies: witnesses, falling factorials and powers as outside checks."""

from __future__ import annotations

from math import perm

import pytest

from gridassay.encodings.constraints import Permutation
from gridassay.encodings.lines import PuzzleError
from gridassay.verify.engines.sat import SatEngine

from .witnesses import CLOCK, bare, solutions, witnesses


def different(cells: str) -> str:
    return f'[[rule]]\nkind = "all-different"\ncells = "{cells}"\n'


def copy(cells: str, of: str) -> str:
    return f'[[rule]]\nkind = "copy"\ncells = "{cells}"\nof = "{of}"\n'


@pytest.mark.parametrize(("cells", "digits"), [(2, 4), (3, 4), (4, 4), (4, 3)])
def test_all_different(cells: int, digits: int) -> None:
    # k different of n in order: the falling factorial n(n−1)…(n−k+1); 0 where k is more than n.
    accepted = witnesses(bare(1, cells, digits, different(f"r1c1..r1c{cells}")))
    assert accepted == perm(digits, cells)


def test_nine_different_cells_hold_each_digit() -> None:
    puzzle = bare(1, 9, 9, different("r1c1..r1c9"))
    (part,) = puzzle.rules[0].parts(puzzle.board)
    assert isinstance(part.constraint, Permutation)


def test_all_different_speaks_of_digits_not_of_what_they_count() -> None:
    assert witnesses(bare(1, 2, 4, different("r1c1 r1c2"), "[doublers]")) == 12 * 4


@pytest.mark.parametrize(
    ("cells", "of"),
    [("r1c1 r1c2", "r2c1 r2c2"), ("r1c1 r1c2", "r1c2 r1c1"), ("r1c1..r1c2", "r1c2 r2c2")],
)
def test_copy_witnesses(cells: str, of: str) -> None:
    witnesses(bare(2, 2, 3, copy(cells, of)))
    witnesses(bare(2, 2, 2, copy(cells, of), "[doublers]"))


@pytest.mark.parametrize("k", [1, 2, 3])
def test_copy_counts(k: int) -> None:
    # The copied cells are free: nᵏ.
    puzzle = bare(2, k, 5, copy(f"r1c1..r1c{k}", f"r2c1..r2c{k}"))
    assert len(solutions(SatEngine(puzzle.model, CLOCK))) == 5**k


@pytest.mark.parametrize(
    ("rule", "message"),
    [
        (different("r1c1"), "cells lists 1, but at least 2 are needed"),
        (different("r1c1 r1c2 r1c1"), "r1c1 is listed twice"),
        (different("r1c1 r5c1"), "r5c1 is not on the canvas"),
        (copy("r1c1 r1c2", "r2c1"), "cells lists 2, and of lists 1"),
        (copy("r1c1 r1c2", "r1c1 r2c2"), "r1c1 is its own copy"),
        (copy("r1c1", "r3c3"), "r3c3 is not on the canvas"),
        (copy("r1c1 r1c2", "r2c2 r2c2"), "r2c2 is listed twice"),
    ],
)
def test_errors(rule: str, message: str) -> None:
    with pytest.raises(PuzzleError) as caught:
        bare(2, 2, 4, rule)
    assert message in str(caught.value)
