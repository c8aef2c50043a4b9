"""Lines that order their cells or are bounded by their ends, and what all lines share."""

from __future__ import annotations

from math import comb

import pytest

from gridassay.encodings.lines import PuzzleError
from gridassay.encodings.rules.end_lines import OutsideEnds

from .boards import count, doublers_agree, line
from .witnesses import bare, witnesses


@pytest.mark.parametrize("kind", ["thermometer", "slow-thermometer", "between-ends"])
@pytest.mark.parametrize("cells", ["r1c1..r1c3", "r1c3 r1c1 r1c4 r1c2"])
def test_witnesses(kind: str, cells: str) -> None:
    witnesses(bare(1, 4, 3, line(kind, cells)))


@pytest.mark.parametrize("kind", ["thermometer", "slow-thermometer", "between-ends"])
def test_witnesses_with_five_digits(kind: str) -> None:
    assert witnesses(bare(1, 3, 5, line(kind, "r1c1..r1c3"))) > 0


@pytest.mark.parametrize("difference", ["", "difference = 0", "difference = 3", "difference = 9"])
def test_outside_ends(difference: str) -> None:
    witnesses(bare(1, 3, 6, line("outside-ends", "r1c1..r1c3", difference)))
    witnesses(bare(1, 4, 4, line("outside-ends", "r1c4 r1c2 r1c1 r1c3", difference)))


@pytest.mark.parametrize(("length", "digits"), [(2, 9), (4, 6), (3, 9), (6, 5)])
def test_thermometers_are_chosen_digits(length: int, digits: int) -> None:
    # Subsets and multisets of k of n digits, each in the one order: C(n,k) and C(n+k-1,k).
    cells = f"r1c1..r1c{length}"
    strict, slow = (
        count(bare(1, length, digits, line(kind, cells)))
        for kind in ("thermometer", "slow-thermometer")
    )
    assert strict == comb(digits, length)
    assert slow == comb(digits + length - 1, length)


def test_between_ends_counted_by_hand() -> None:
    # Ends g apart (9 - g pairs, two ways round) leave g - 1 digits for each of two cells inside.
    expected = 2 * sum((9 - gap) * (gap - 1) ** 2 for gap in range(2, 9))
    assert count(bare(1, 4, 9, line("between-ends", "r1c1..r1c4"))) == expected


def test_outside_ends_counted_by_hand() -> None:
    # Ends g >= 4 apart (9 - g pairs, two ways round) leave 8 - g digits for each cell inside.
    expected = 2 * sum((9 - gap) * (8 - gap) ** 2 for gap in range(4, 9))
    assert count(bare(1, 4, 9, line("outside-ends", "r1c1..r1c4"))) == expected


@pytest.mark.parametrize(
    "kind", ["thermometer", "slow-thermometer", "between-ends", "outside-ends"]
)
def test_doublers_count_double_in_comparisons(kind: str) -> None:
    fields = "difference = 3" if kind == "outside-ends" else ""
    assert doublers_agree(line(kind, "r1c1 r1c2 r2c2", fields)) > 0


@pytest.mark.parametrize(
    ("rule", "message"),
    [
        (line("thermometer", "r1c1"), "cells lists 1, but at least 2 are needed"),
        (line("between-ends", "r1c1 r1c2"), "cells lists 2, but at least 3 are needed"),
        (line("slow-thermometer", "r1c1 r1c2 r1c1"), "r1c1 is listed twice"),
        (line("outside-ends", "r1c1 r1c2 r9c9"), "r9c9 is not on the canvas"),
        (line("thermometer", "r1c1 r1c2", "closed = true"), "there is no field 'closed'"),
        (line("renban", "r1c1 r1c2", "closed = true"), "cells lists 2, but at least 3 are needed"),
        (
            line("renban", "r1c1 r1c2 r1c3", "closed = true"),
            "closed = true, but r1c3 and r1c1 are not neighbours",
        ),
    ],
)
def test_errors(rule: str, message: str) -> None:
    with pytest.raises(PuzzleError, match=message):
        bare(2, 4, 4, rule)


def test_the_sentence_names_its_difference() -> None:
    rule = OutsideEnds.model_validate({"cells": "r1c1 r1c2 r1c3", "difference": 2})
    assert "differ by at least 2," in rule.wording()
