"""Captions that tell a cell beside a digit in loose words, on Harbour Lights and on a small grid.

The first hidden singles of Harbour Lights are r1c6 = 6, r5c2 = 8, r5c9 = 2, r7c5 = 6, r7c9 = 1 and
r8c1 = 9. Its givens have a 4 in r1c5 and r7c1, a 2 in r6c2, a 5 in r8c5 and a 1 in r8c2.
"""

from __future__ import annotations

from functools import partial

import pytest

from gridassay.verify import read_file
from gridassay.verify.listening.numbered_houses import lines_by_place

from ...cli.run import EXAMPLES
from .cues import spoken_of
from .measure import NARRATIONS

LIGHTS = read_file(EXAMPLES / "harbour-lights.toml")
SMALL = read_file(NARRATIONS / "puzzles" / "galley.toml")
"""Six rows and six columns."""

spoken = partial(spoken_of, LIGHTS)


@pytest.mark.parametrize(
    "said",
    [
        "the nine in box seven goes left of the one and the six goes above the five in box eight",
        "the nine goes in the bottom left box middle left of that one and the six over in box eight"
        " is on top of me five",
    ],
)
def test_a_digit_after_and_may_begin_something_new(said: str) -> None:
    assert spoken(said) == [("r8c1 = 9", "sound"), ("r7c5 = 6", "sound")]


def test_the_digit_beside_a_cell_may_have_a_word_before_it() -> None:
    told = spoken("so the six in the top row is beside me four", "eight on top of the given two")
    assert told == [("r1c6 = 6", "sound"), ("r5c2 = 8", "sound")]


def test_lines_by_their_place_are_those_of_the_grid() -> None:
    assert lines_by_place(SMALL.canvas)["bottom"] == "row 6"
    assert lines_by_place(LIGHTS.canvas)["middle column"] == "column 5"


def test_words_that_tell_too_little_mean_the_one_place_where_the_digit_can_go() -> None:
    assert spoken("so nine next to him") == [("r8c1 = 9", "sound")]


def test_what_stands_on_the_board_is_no_claim() -> None:
    assert spoken("there's a four next to him in row seven") == []


def test_a_digit_that_is_only_recalled_is_not_called_wrong() -> None:
    told = spoken("the top left corner of box two with a six already in that box")
    assert "wrong" not in {result for _, result in told}


@pytest.mark.parametrize(
    ("said", "means"),
    [
        ("in box seven the nine is at the left hand end of the middle row", "r8c1 = 9"),
        ("box eight has its six in the very top at the middle", "r7c5 = 6"),
    ],
)
def test_ends_and_storeys_are_places(said: str, means: str) -> None:
    assert [one for one, _ in spoken(said)] == [means]
