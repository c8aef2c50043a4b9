"""Groups with equal or greater totals; magic squares as the outside check."""

from __future__ import annotations

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


def magic(order: int, extra: str = "") -> Puzzle:
    span = range(1, order + 1)
    rows = [f"r{r}c1..r{r}c{order}" for r in span]
    columns = [f"r1c{c}..r{order}c{c}" for c in span]
    diagonals = [f"r1c1..r{order}c{order}", f"r1c{order}..r{order}c1"]
    differ = f'[[rule]]\nkind = "cage"\ncells = {rows}\n'
    rule = differ + groups("equal-sums", *rows, *columns, *diagonals) + extra
    return bare(order, order, order**2, rule)


def test_magic_squares_of_order_3() -> None:
    # One square (Lo Shu, antiquity) in 8 rotations and reflections.
    assert count(magic(3)) == 8


@pytest.mark.slow
def test_magic_squares_of_order_4() -> None:
    # Frénicle 1693: 880 squares in his standard form, where r1c1 is the least corner and r1c2 is
    # less than r2c1; each stands for 8, hence 7,040.
    form = ["r1c1 r1c4", "r1c1 r4c1", "r1c1 r4c4", "r1c2 r2c1"]
    standard = "".join(line("thermometer", cells) for cells in form)
    assert count(magic(4, standard)) == 880


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
        (groups("equal-sums", "r1c1"), "groups lists 1, and at least 2 are needed"),
        (groups("greater-sum", "r1c1", "r1c2", "r1c3"), "groups lists 3, and 2 are needed"),
        (groups("equal-sums", "r1c1", ""), "group 2 has no cells"),
        (groups("equal-sums", "r1c1", "r1c2 r1c2"), "r1c2 is listed twice"),
        (groups("equal-sums", "r1c1", "r7c1"), "r7c1 is not on the canvas"),
        (groups("equal-sums", "r1c1", "r1x1"), "'r1x1' is no cell"),
    ],
)
def test_errors(rule: str, message: str) -> None:
    with pytest.raises(PuzzleError, match=message):
        bare(1, 4, 4, rule)
