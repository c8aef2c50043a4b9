"""Calculation cages: witnesses, and brute force written with Fraction."""

from __future__ import annotations

from fractions import Fraction
from itertools import permutations, product

import pytest

from gridassay.encodings.lines import PuzzleError
from gridassay.encodings.rules.calculations import OPERATIONS

from .boards import count, doublers_agree, with_digits
from .witnesses import bare, witnesses


def cage(cells: str, operation: str, target: object) -> str:
    given = f'operation = "{operation}"\n' if operation else ""
    written = f'"{target}"' if isinstance(target, str) else target
    return f'[[rule]]\nkind = "calculation-cage"\ncells = "{cells}"\n{given}target = {written}\n'


@pytest.mark.parametrize("operation", [*OPERATIONS, ""])
@pytest.mark.parametrize("target", [0, 1, 2, 6, -2, 999])
def test_witnesses(operation: str, target: int) -> None:
    witnesses(bare(1, 3, 4, cage("r1c1..r1c3", operation, target)))
    witnesses(with_digits(1, 3, [0, 1, 2, 6], cage("r1c1..r1c3", operation, target)))


@pytest.mark.parametrize("operation", [*OPERATIONS, ""])
@pytest.mark.parametrize("length", [1, 2])
def test_letters(operation: str, length: int) -> None:
    cells = f"r1c1..r1c{length}"
    witnesses(bare(1, length, 3, cage(cells, operation, "A")))
    witnesses(with_digits(1, length, [0, 1, 3], cage(cells, operation, "A")))


@pytest.mark.parametrize("operation", [*OPERATIONS, ""])
def test_a_cage_of_one_cell(operation: str) -> None:
    for target in (0, 2, 7):
        accepted = witnesses(with_digits(1, 2, [0, 1, 2], cage("r1c1", operation, target)))
        assert accepted == (3 if target < 3 else 0)


def results(values: tuple[int, ...], operation: str) -> set[Fraction]:
    """The results of every order of the values, worked out from left to right in exact arithmetic."""
    found = set()
    for first, *rest in permutations(map(Fraction, values)):
        for value in rest:
            if operation == "+":
                first += value
            elif operation == "-":
                first -= value
            elif operation == "*":
                first *= value
            else:
                first /= value
        found.add(first)
    return found


@pytest.mark.parametrize("operation", OPERATIONS)
@pytest.mark.parametrize("target", [1, 2, 3, 12])
def test_some_order_gives_the_target(operation: str, target: int) -> None:
    # For a target of 1 or more, "start from the largest" and "in some order" come to the same.
    expected = sum(
        target in results(values, operation) for values in product(range(1, 7), repeat=3)
    )
    assert count(bare(1, 3, 6, cage("r1c1..r1c3", operation, target))) == expected


@pytest.mark.parametrize(("operation", "target"), [("+", 7), ("-", 2), ("*", 8), ("/", 2), ("", 4)])
def test_doublers_count_double_in_calculations(operation: str, target: int) -> None:
    assert doublers_agree(cage("r1c1 r1c2 r2c2", operation, target)) > 0


@pytest.mark.parametrize(
    ("rule", "message"),
    [
        (cage("", "+", 4), "cells lists 0, but at least 1 are needed"),
        (cage("r1c1 r1c1", "+", 4), "r1c1 is listed twice"),
        (cage("r1c1", "%", 4), "operation: '%' is not"),
        (cage("r1c1", "+", "1x"), "'1x' is neither a number nor a letter"),
        (cage("r1c1..r1c5", "*", "A"), "target = 'A' could be 59,049 numbers"),
    ],
)
def test_errors(rule: str, message: str) -> None:
    with pytest.raises(PuzzleError, match=message):
        bare(1, 5, 9, rule)
