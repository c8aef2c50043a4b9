"""Captions that list the digits of some cells without naming these, and then say which is which.

In Harbour Lights column five is open in its third, fourth, sixth and seventh row, which have 9, 6, 7 and
2 in some order. In Galley, of six rows, the cages of 3 and 11 hold 1 and 2 (r4c3 above r3c3: r4c3 is
the 1) and 5 and 6 (r3c1 is the 6).
"""

from __future__ import annotations

from functools import partial

import pytest

from gridassay.verify import read_file

from ...cli.run import EXAMPLES
from .cues import spoken_of
from .measure import NARRATIONS

LIGHTS = read_file(EXAMPLES / "harbour-lights.toml")
GALLEY = read_file(NARRATIONS / "puzzles" / "galley.toml")

lights = partial(spoken_of, LIGHTS)
galley = partial(spoken_of, GALLEY)

_THREE = ("r3c3 not 3 4 5 6; r4c3 not 3 4 5 6", "sound")
_ELEVEN = ("r3c1 not 1 2 3 4; r3c2 not 1 2 3 4", "sound")


def test_what_a_column_lacks_is_said_of_its_open_cells() -> None:
    left = "; ".join(f"r{row}c5 not 1 3 4 5 8" for row in (3, 4, 6, 7))
    assert lights("column five still wants two six seven and nine") == [(left, "idle")]


def test_what_a_cage_holds_is_said_of_its_cells() -> None:
    assert galley("the three cage is one and two") == [_THREE]


def test_a_cage_is_known_by_its_digits_if_no_other_has_them() -> None:
    assert galley("that eleven over there is five and six") == [_ELEVEN]


@pytest.mark.parametrize(
    ("said", "heard"),
    [
        ("the left one is the six", ("r3c1 = 6", "sound")),
        ("and the one on the right is the five", ("r3c2 = 5", "sound")),
        ("the left one is the five", ("r3c1 = 5", "wrong")),
    ],
)
def test_one_of_the_cells_that_were_listed_is_told_by_its_place(
    said: str, heard: tuple[str, str]
) -> None:
    assert galley("the eleven cage is five and six", said) == [_ELEVEN, heard]


@pytest.mark.parametrize(
    ("said", "heard"),
    [
        ("the six I'd put on the right", ("r3c2 = 6", "wrong")),
        ("the six beside the two", ("r3c2 = 6", "wrong")),
        ("the five beside the two", ("r3c2 = 5", "sound")),
    ],
)
def test_one_of_two_cells_may_be_told_by_the_digit_beside_it(
    said: str, heard: tuple[str, str]
) -> None:
    told = galley("row three column three is a two", "the eleven cage is five and six", said)
    assert told[1:] == [_ELEVEN, heard]


def test_the_second_of_two_cells_is_told_after_a_false_first() -> None:
    told = galley(
        "the eleven cage is five and six", "the five on the left", "and the six on the right"
    )
    assert told[1:] == [("r3c1 = 5", "wrong"), ("r3c2 = 6", "wrong")]


def test_the_other_one_is_the_cell_that_is_left() -> None:
    told = galley("the eleven cage is five and six", "the left one is the six", "the other is five")
    assert told[1:] == [("r3c1 = 6", "sound"), ("r3c2 = 5", "sound")]


def test_digits_that_go_to_different_places_are_no_list() -> None:
    told = lights("in box seven the nine sits under the four and six above the five in box eight")
    assert told == [("r8c1 = 9", "sound"), ("r7c5 = 6", "sound")]


def test_two_columns_of_a_row_need_no_plural_where_several_cells_are_something() -> None:
    (told,) = galley("row four column one and two are three and four")
    assert told[0] == "r4c1 not 1 2 5 6; r4c2 not 1 2 5 6"
    assert galley("row six column one and six goes in row three column one")[0] != told
