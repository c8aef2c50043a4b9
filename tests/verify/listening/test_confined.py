"""Digits that captions only say to lie in another house: nothing is placed, and what follows is judged.

Which cells of the first house have the digit is read off the grid beside each case.
"""

from __future__ import annotations

from functools import partial
from pathlib import Path

import pytest

from gridassay.verify import read_file

from .cues import spoken_of

HERON = read_file(Path(__file__).parent / "narrations" / "puzzles" / "heron.txt")


results = partial(spoken_of, HERON)


CONFINED = [
    # column 1 has a 5 only in r4c1 and r5c1, both in box 4
    (("the five of column one is in box four", "so row five column three can't be five"),
     [("r5c3 not 5", "sound")]),
    (("in column one the five sits somewhere in box four so", "row five column three isn't a five"),
     [("r5c3 not 5", "sound")]),
    (("the fives of column one are all over in box four, so", "row five column three isn't a five"),
     [("r5c3 not 5", "sound")]),
    # row 9 has an 8 only in r9c7 and r9c9, both in box 9
    (("in row nine the eights are both in box nine", "so row seven column seven loses the eight"),
     [("r7c7 not 8", "sound")]),
    (("the eight in row nine is in box nine", "row two column six is a two"), [("r2c6 = 2", "sound")]),
]  # fmt: skip


@pytest.mark.parametrize(("cues", "meant"), CONFINED)
def test_a_digit_with_several_places_is_only_confined(
    cues: tuple[str, ...], meant: list[tuple[str, str]]
) -> None:
    assert results(*cues) == meant


def test_a_digit_with_one_place_is_placed() -> None:
    """The 2 of row 2 has one place, r2c6."""
    assert results("the two in row two is in box two") == [("r2c6 = 2", "sound")]


def test_a_digit_with_places_elsewhere_is_not_confined() -> None:
    """The 2 of box 1 has places in rows 1 and 3: to say that it is in row 3 is to place it."""
    (step,) = results("the two in box one is in row three")
    assert step[0] == "r3c1 = 2"
