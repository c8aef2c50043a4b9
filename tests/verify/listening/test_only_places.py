"""Houses in which a digit is said to have no other place, as a reason for a claim.

Heron at the start has room for the 2 of box 2, and of column 6, in r2c6 alone; row 2 has other places
for it. The 5s of column 1 are in box 4, those of row 1 are not all in box 2.
"""

from __future__ import annotations

from functools import partial

import pytest

from gridassay.verify.listening.talk import audit_talk

from .cues import spoken_of
from .test_confined import HERON

NOT_SHOWN = [
    "r2c6 is the 2. Row 2 has nowhere else for it.",
    "Row 2 wants a 2, and there is only one place for it, r2c6.",
    "In the second row the two can go nowhere but column six.",
    "The 2 in row 2 can only go to r2c6.",
    "r2c6 gets a 2, as row 2 lets it in nowhere else.",
    "A 2, r2c6, no other home for a 2 in the whole of row 2.",
]


@pytest.mark.parametrize("said", NOT_SHOWN)
def test_a_house_with_other_places_for_the_digit_shows_nothing(said: str) -> None:
    (step,) = audit_talk(HERON, said, form="prose").steps
    assert ((step.means or "")[:8], step.result) == ("r2c6 = 2", "wider")


@pytest.mark.parametrize("said", NOT_SHOWN)
def test_the_house_that_shows_it_makes_it_sound(said: str) -> None:
    said = said.replace("Row 2", "Box 2").replace("row 2", "box 2")
    said = said.replace("second row", "sixth column").replace("column six.", "row two.")
    (step,) = audit_talk(HERON, said, form="prose").steps
    assert ((step.means or "")[:8], step.result) == ("r2c6 = 2", "sound")


results = partial(spoken_of, HERON)
SPOKEN = [
    ("row two column six is a two", "cause row two's got nowhere else for it"),
    ("row two column six is a two", "that's the only place left for a two in row two"),
    ("row two has only the one place for a two", "and that's row two column six"),
    ("box two", "the two it's the only place for it in row two"),
]


@pytest.mark.parametrize("cues", SPOKEN)
def test_captions_say_it_in_the_cue_beside(cues: tuple[str, ...]) -> None:
    told = results(*cues)
    assert [(means[:8], result) for means, result in told] == [("r2c6 = 2", "wider")]
    box = [
        cue.replace("row two has", "box two has").replace("row two's", "box two's") for cue in cues
    ]
    told = results(*(cue.replace("in row two", "in box two") for cue in box))
    assert [(means[:8], result) for means, result in told] == [("r2c6 = 2", "sound")]


def test_a_digit_that_is_not_confined_as_said_strikes_nothing() -> None:
    said = "The fives of {} are in box four, so r5c3 is not 5."
    for line, result in (("column one", "sound"), ("row five", "wider")):
        (step,) = audit_talk(HERON, said.format(line), form="prose").steps
        assert (step.means, step.result) == ("r5c3 not 5", result)


RUNS_ON = [
    ("the two in row two", "has its only place in column six"),
    ("row two wants a two and that can only go", "in box two"),
    ("row two needs its two", "and that can only be in column six"),
]


@pytest.mark.parametrize("cues", RUNS_ON)
def test_the_reason_may_end_in_the_next_cue(cues: tuple[str, ...]) -> None:
    ((means, result),) = results(*cues)
    assert (means[:8], result) == ("r2c6 = 2", "wider")
    ((means, result),) = results(*(cue.replace("row two", "box two") for cue in cues))
    assert (means[:8], result) == ("r2c6 = 2", "sound")


def test_a_house_of_the_next_claim_is_not_the_reason_of_the_one_before() -> None:
    told = results("row two column six is a two in row two", "only place for the five in box one")
    assert (told[0][0][:8], told[0][1]) == ("r2c6 = 2", "sound")
