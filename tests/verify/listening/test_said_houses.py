"""The houses of a claim: a place, the only place, or a reason.

Heron at the start has room for the 2 of box 2, and of column 6, in r2c6 alone; row 2 has other places
for it.
"""

from __future__ import annotations

import pytest

from gridassay.verify import read_file
from gridassay.verify.listening.talk import audit_talk

from .test_other_words import CLASSIC, notes_hearer

REASONS = [
    "r5c3 is 2, for column eight has one.",
    "r5c3 2, col 8 has its 2",
    "r5c3 is the 2, as row eight already owns one.",
    "r5c3 = 2 [r4c8 sees the 2 of box 9]",
    "r5c3 = 2 (col 8 shut)",
    "2s used in col 8 r5c3 2",
    "7 left in c8, r5c3=2",
    "2 not in row 7 again: r5c3=2",
    "r5c3 is 2, columns one and two being closed.",
]


@pytest.mark.parametrize("said", REASONS)
def test_a_house_with_a_verb_of_its_own_is_a_reason(said: str) -> None:
    assert [one.houses for one in notes_hearer(CLASSIC).hear(said)[0]] == [()]


BEFORE = [
    "Column eight has a 2, so r5c3 is 2.",
    "Column eight having a 2, r5c3 takes the 2.",
    "As there's a 2 in column eight already, the upper one at r5c3 has to be the 2.",
    "2 in r5c3, columns 8, 1",
]


@pytest.mark.parametrize("said", BEFORE)
def test_a_house_that_has_the_digit_is_a_reason(said: str) -> None:
    assert [one.houses for one in notes_hearer(CLASSIC).hear(said)[0]] == [()]


SAID_OF_IT = [
    ("r5c3 is the 2 for column 9", "column 9"),
    ("r5c3 = 2 (b5)", "box 5"),
    ("r5c3=2 follows in row 6", "row 6"),
    ("r5c3=2, since row 6 has no other place for it", "row 6"),
]


@pytest.mark.parametrize(("said", "house"), SAID_OF_IT)
def test_a_house_of_the_digit_is_held_against_its_cell(said: str, house: str) -> None:
    assert [one.houses for one in notes_hearer(CLASSIC).hear(said)[0]] == [(house,)]


@pytest.mark.parametrize(
    ("said", "result"),
    [
        ("b2: 2 only r2c6", "sound"),
        ("r2c6=2 only 2 in c6", "sound"),
        ("r2c6=2 (only b2)", "sound"),
        ("2 in row 2 only r2c6", "wider"),
        ("r2c6=2 (only r2)", "wider"),
        ("r2c6=2, only 2 in row 2", "wider"),
        ("r2c6=2, nowhere else in row 2", "wider"),
        ("row 2: r2c6 2", "sound"),
    ],
)
def test_only_says_that_a_digit_has_no_other_place_in_its_house(said: str, result: str) -> None:
    assert audit_talk(read_file(CLASSIC), said, form="prose").steps[-1].result == result
