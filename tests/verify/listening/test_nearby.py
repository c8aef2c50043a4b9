"""Captions that tell a cell by what lies around it, on Harbour Lights.

The truth is the puzzle's: its first hidden singles are r1c6 = 6, r5c2 = 8, r5c9 = 2, r7c5 = 6, r7c9 = 1
and r8c1 = 9. Its givens have a 4 in r1c5 and r7c1, a 2 in r6c2, a 5 in r8c5 and a 1 in r8c2.
"""

from __future__ import annotations

from functools import partial

import pytest

from gridassay.verify import read_file
from gridassay.verify.listening.talk import audit_talk

from ...cli.run import EXAMPLES
from .cues import spoken_of

LIGHTS = read_file(EXAMPLES / "harbour-lights.toml")


spoken = partial(spoken_of, LIGHTS)


@pytest.mark.parametrize(
    ("said", "means"),
    [
        ("the six goes next to the four in the first row", "r1c6 = 6"),
        ("the nine stands left of the one in box seven", "r8c1 = 9"),
        ("box four has its eight on top of the two", "r5c2 = 8"),
        ("in box eight the six is above the five", "r7c5 = 6"),
        ("in box seven the nine sits under the four", "r8c1 = 9"),
    ],
)
def test_a_cell_is_told_by_the_digit_beside_it(said: str, means: str) -> None:
    assert spoken(said) == [(means, "sound")]


@pytest.mark.parametrize(
    "said",
    [
        "in box seven the nine is under the three",
        "in box four the eight sits left of the two",
        "the six in box two goes next to the eight",
    ],
)
def test_a_claim_that_lies_beside_another_digit_than_was_said_is_unclear(said: str) -> None:
    assert spoken(said) == [("", "unclear")]


def test_a_sentence_goes_on_in_the_next_cue() -> None:
    assert spoken("box eight", "the six goes", "above the five") == [("r7c5 = 6", "sound")]


def test_the_digit_that_something_lies_beside_is_no_claim_of_its_own() -> None:
    told = spoken("then the nine", "goes under the four in box seven")
    assert told == [("r8c1 = 9", "sound")]


def test_one_may_stand_for_a_cell() -> None:
    assert spoken("the one under the four is a nine") == [("r8c1 = 9", "sound")]


def test_a_place_in_a_house_that_was_said_is_taken_at_its_word() -> None:
    assert spoken("the last row has a four at the start") == [("r9c1 = 4", "wrong")]


def test_another_house_that_has_the_digit_is_no_place_for_it() -> None:
    told = spoken("a six in box two well row three has one so it's up there next to the four")
    assert told == [("r1c6 = 6", "sound")]


@pytest.mark.parametrize(
    ("said", "heard"),
    [
        ("row seven has its six in the fifth cell", ("r7c5 = 6", "sound")),
        ("row nine has a four in its fourth cell", ("r9c4 = 4", "wrong")),
    ],
)
def test_a_cell_is_counted_in_its_house(said: str, heard: tuple[str, str]) -> None:
    assert spoken(said) == [heard]


def test_a_place_said_after_a_breath_is_that_of_the_digit() -> None:
    """Between the cues lie 0.3 seconds; the 6 of box 2 is in r1c6."""

    def breathed(*cues: str) -> list[tuple[str, str]]:
        times = (
            f"00:00:{3 * at:02}.{3 if at else 0}00 --> 00:00:{3 * at + 3:02}.000\n{said}\n"
            for at, said in enumerate(cues)
        )
        steps = audit_talk(LIGHTS, "WEBVTT\n\n" + "\n".join(times)).steps
        return [((step.means or "").partition(" because ")[0], step.result) for step in steps]

    told = breathed("now six in box two", "it's in the bottom left", "that will do")
    assert told == [("r3c4 = 6", "wrong")]
    told = breathed("now six in box two", "it's in the top right", "that will do")
    assert told == [("r1c6 = 6", "sound")]


@pytest.mark.parametrize(("digit", "result"), [("six", "sound"), ("three", "wrong")])
def test_the_last_cell_of_the_box_spoken_of_has_its_digit(digit: str, result: str) -> None:
    """In box 7 the 7, 2, 9 and 5 are filled in first; its last cell is r9c1, a 6."""
    told = spoken(
        "row seven column two is seven",
        "row seven column three is two",
        "row eight column one is nine",
        "row nine column two is five",
        f"and the last cell of that box takes a {digit}",
    )
    assert told[-1] == (f"r9c1 = {6 if digit == 'six' else 3}", result)
