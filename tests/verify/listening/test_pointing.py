"""Captions that only point at cells of Harbour Lights: at rows, at boxes by where they lie.

The truth is the puzzle's: its first hidden singles are r1c6 = 6, r5c2 = 8, r5c9 = 2, r7c5 = 6, r7c9 = 1
and r8c1 = 9, each the only place of its digit in a house.
"""

from __future__ import annotations

from functools import partial

import pytest

from gridassay.encodings.grid import classic
from gridassay.verify import read_file
from gridassay.verify.listening.box_places import beside_box, box_along, box_at, corner_boxes
from gridassay.verify.listening.hearing import hearer_of
from gridassay.verify.solving.board.position import layout_of

from ...cli.run import EXAMPLES
from .cues import spoken_of

LIGHTS = read_file(EXAMPLES / "harbour-lights.toml")


spoken = partial(spoken_of, LIGHTS)


def test_a_digit_is_denied_of_the_cell_where_a_row_and_a_column_cross() -> None:
    said = "so the middle of row five's bit in column two isn't {}"
    assert spoken(said.format("an eight")) == [("r5c2 not 8", "wrong")]
    assert spoken(said.format("a three")) == []


@pytest.mark.parametrize(
    ("said", "means"),
    [
        ("the top row still wants a six", "r1c6 = 6"),
        ("six belongs in this block eight, on its top row", "r7c5 = 6"),
        ("the final column gets a two", "r5c9 = 2"),
        ("a two is at home in the last column", "r5c9 = 2"),
        ("in the middle row there's an eight to place", "r5c2 = 8"),
        ("left column and it wants a nine", "r8c1 = 9"),
    ],
)
def test_a_row_is_one_of_the_grid_unless_a_box_is_spoken_of(said: str, means: str) -> None:
    assert spoken(said) == [(means, "sound")]


@pytest.mark.parametrize(
    ("said", "means"),
    [
        ("the eight of the left-hand block sits right in the middle", "r5c2 = 8"),
        ("two in the block on the right", "r5c9 = 2"),
        ("the bottom box gets its six", "r7c5 = 6"),
        ("six goes in the middle block at the bottom", "r7c5 = 6"),
        ("a one fits in the corner block", "r7c9 = 1"),
        ("row seven puts its one in the right-hand box", "r7c9 = 1"),
    ],
)
def test_a_box_is_told_by_where_it_lies(said: str, means: str) -> None:
    assert spoken(said) == [(means, "sound")]


def test_a_house_that_was_not_said_makes_no_claim_wider() -> None:
    told = spoken("six goes in row one column six", "then a nine over on the left")
    assert told == [("r1c6 = 6", "sound"), ("r8c1 = 9", "sound")]


def test_a_house_that_was_said_does() -> None:
    told = spoken("six goes in row one column six", "then in box two a nine over on the left")
    assert told[1][1] != "sound"


def test_boxes_are_counted_on_every_grid() -> None:
    nine, six = classic(9), classic(6)
    assert [box_at(nine, place) for place in (1, 2, 6, 8)] == ["box 1", "box 2", "box 6", "box 8"]
    assert [box_at(six, place) for place in (1, 3, 5, 6, 9)] == [
        "box 1",
        "box 2",
        "",
        "box 4",
        "box 6",
    ]
    assert corner_boxes(nine) == ("box 1", "box 3", "box 7", "box 9")
    assert corner_boxes(six) == ("box 1", "box 2", "box 5", "box 6")
    assert [beside_box(nine, "box 5", side) for side in ("top", "right")] == ["box 2", "box 6"]
    assert beside_box(nine, "box 2", "top") == ""
    assert [box_along(nine, "box 4", line) for line in ("row 1", "row 5", "row 9")] == [
        "box 1",
        "box 4",
        "box 7",
    ]
    assert box_along(nine, "box 8", "column 2") == "box 7"


def test_without_boxes_in_rows_there_are_none_to_point_at() -> None:
    bare = classic(5)
    assert box_at(bare, 1) == ""
    assert corner_boxes(bare) == ()


@pytest.mark.parametrize(
    ("said", "means"),
    [
        ("so an eight over here", "r5c2 = 8"),
        ("this one's a two", "r5c9 = 2"),
        ("and the nine", "r8c1 = 9"),
        ("oh lovely there's a one there", "r7c9 = 1"),
    ],
)
def test_a_hand_points_at_the_one_single_of_a_digit(said: str, means: str) -> None:
    assert spoken(said) == [(means, "sound")]


def test_a_hand_stays_in_the_house_that_was_said() -> None:
    assert spoken("in row eight the nine goes first", "and row seven has a six", "then a one")[
        1:
    ] == [
        ("r7c5 = 6", "sound"),
        ("r7c9 = 1", "sound"),
    ]


def test_a_hand_that_may_point_at_two_cells_is_not_understood() -> None:
    assert spoken("this has to be a six") == [("", "unclear")]


@pytest.mark.parametrize("said", ["this one is a seven", "a five here", "then a three"])
def test_a_hand_is_never_wrong(said: str) -> None:
    assert {result for _, result in spoken(said)} <= {"unclear"}


def test_this_one_after_something_not_understood_may_be_any() -> None:
    assert spoken("no five can go anywhere up there", "so this one is a two")[-1] == ("", "unclear")


@pytest.mark.parametrize(
    ("said", "means"),
    [
        ("which leaves this cell as a two", "r5c9 = 2"),
        ("and that makes this an eight", "r5c2 = 8"),
        ("the rightmost column still needs a two", "r5c9 = 2"),
        ("in the far left column there's a nine to place", "r8c1 = 9"),
        ("the topmost row gets a six", "r1c6 = 6"),
    ],
)
def test_what_makes_this_a_digit_and_the_outermost_rows(said: str, means: str) -> None:
    assert spoken(said) == [(means, "sound")]


def test_a_last_cell_has_the_digit_after_its_verb() -> None:
    hearer = hearer_of(LIGHTS, layout_of(LIGHTS), spoken=True)
    claims, _ = hearer.hear("it gets its four and the last one in box five is a six")
    assert [(claim.digits, claim.houses) for claim in claims if claim.technique] == [
        ((6,), ("box 5",))
    ]
