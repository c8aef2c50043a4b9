"""Captions of which only some words are known, on Harbour Lights.

The truth is the puzzle's: its first hidden singles are r1c6 = 6, r5c2 = 8, r5c9 = 2, r7c5 = 6, r7c9 = 1
and r8c1 = 9. Its givens have a 4 in r1c5 and r7c1 and a 1 in r8c2.
"""

from __future__ import annotations

from functools import partial

import pytest

from gridassay.verify import read_file

from ...cli.run import EXAMPLES
from .cues import spoken_of

LIGHTS = read_file(EXAMPLES / "harbour-lights.toml")

spoken = partial(spoken_of, LIGHTS)

TWO = "the two of the middle right box near the lamp somewhere in its middle row on the right"


@pytest.mark.parametrize(
    ("said", "means"),
    [
        (TWO, "r5c9 = 2"),
        ("the lamp box six two on its right edge", "r5c9 = 2"),
        ("in box seven the nine goes straight after the four", "r8c1 = 9"),
        ("the eight goes up from the two", "r5c2 = 8"),
    ],
)
def test_the_cell_that_fits_best_was_meant(said: str, means: str) -> None:
    assert spoken(said) == [(means, "sound")]


def test_a_cell_that_was_found_by_what_fits_best_may_be_named_later() -> None:
    told = spoken(TWO, "row five column nine is the two")
    assert set(told) == {("r5c9 = 2", "sound")}


def test_digits_that_are_only_listed_are_placed_nowhere() -> None:
    told = spoken("in box four eight nine and two are missing on the right")
    assert all(not means for means, _ in told)


def test_a_digit_without_a_place_is_placed_nowhere() -> None:
    assert all(not means for means, _ in spoken("a nine somewhere by the door"))


def test_numbers_of_several_houses_are_no_digits() -> None:
    told = spoken("columns four and six are full", "box six with the lamp two on its right edge")
    assert [one for one in told if one[0]] == [("r5c9 = 2", "sound")]
