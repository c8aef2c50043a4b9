"""Prose that tells a cell by what lies around it, on Harbour Lights.

The truth is the puzzle's: among its first hidden singles are r1c6 = 6, r5c2 = 8, r7c5 = 6 and r8c1 = 9.
Its givens have a 4 in r1c5 and r7c1, a 2 in r6c2, a 5 in r8c5 and a 1 in r8c2.
"""

from __future__ import annotations

import pytest

from gridassay.verify import read_file
from gridassay.verify.listening.talk import audit_talk

from ...cli.run import EXAMPLES

LIGHTS = read_file(EXAMPLES / "harbour-lights.toml")


def prose_of(text: str) -> list[tuple[str, str]]:
    """The meaning of each claim of some prose, and its result."""
    steps = audit_talk(LIGHTS, text).steps
    return [((step.means or "").partition(" because ")[0], step.result) for step in steps]


@pytest.mark.parametrize(
    ("said", "means"),
    [
        ("In the first row, the six sits beside the four.", "r1c6 = 6"),
        ("Below the four of box seven I pencilled the nine.", "r8c1 = 9"),
        ("Just over the two, box four keeps its eight.", "r5c2 = 8"),
        ("Above the five I found room for the six of box eight.", "r7c5 = 6"),
    ],
)
def test_a_cell_is_told_by_the_digit_beside_it(said: str, means: str) -> None:
    assert prose_of(said) == [(means, "sound")]


@pytest.mark.parametrize(
    ("said", "means"),
    [
        ("The first row begins with an 8, and its 6 follows the 4.", "r1c6 = 6"),
        ("A six comes after the four of the first row.", "r1c6 = 6"),
        ("Only an eight would fit above the two of box four.", "r5c2 = 8"),
        ("The nine precedes the one of the eighth row.", "r8c1 = 9"),
        ("A nine opens row eight, as I then saw.", "r8c1 = 9"),
        ("Row five ends in a two, which pleased me.", "r5c9 = 2"),
    ],
)
def test_a_cell_is_told_by_what_it_follows_or_by_an_end_of_its_row(said: str, means: str) -> None:
    assert (means, "sound") in prose_of(said)


def test_neighbours_of_the_last_cell_are_told_in_short_sentences() -> None:
    said = (
        "I could place the nine in row eight, column one, without any trouble. "
        "The first column asked for more, but I left it alone. Then box five, which looked easy. "
        "The six of box eight sits above the five, as nobody doubts."
    )
    assert prose_of(said)[-1] == ("r7c5 = 6", "sound")


def test_words_that_only_recall_a_digit_are_no_claim() -> None:
    assert prose_of("There is a four above the nine in the seventh box, as everybody sees.") == []


def test_jots_are_not_told_by_what_lies_around_them() -> None:
    assert prose_of("6 by 4 r1") == []
