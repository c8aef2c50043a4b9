"""A house said by mistake: the claim is wider, whatever else of it is true.

Harbour Lights at the start has these hidden singles: r1c6 = 6, r5c2 = 8, r5c9 = 2, r7c5 = 6, r7c9 = 1 and
r8c1 = 9. Row 1 has its 4 in r1c5, box 9 its 2 in r9c7, box 4 its 2 in r6c2.
"""

from __future__ import annotations

from functools import partial

import pytest

from gridassay.verify import read_file

from ...cli.run import EXAMPLES
from .cues import spoken_of

LIGHTS = read_file(EXAMPLES / "harbour-lights.toml")


spoken = partial(spoken_of, LIGHTS)


@pytest.mark.parametrize(
    ("said", "means"),
    [
        ("the nine of box three goes on the left", "r8c1 = 9"),
        ("in block nine the two sits on the right", "r5c9 = 2"),
        ("the two in box eight is in row five", "r5c9 = 2"),
    ],
)
def test_the_house_was_a_slip_where_the_digit_is_a_single_in_another_one(
    said: str, means: str
) -> None:
    assert spoken(said) == [(means, "wider")]


def test_what_was_just_placed_is_not_claimed_again() -> None:
    told = spoken(
        "the six in box eight goes on its top row", "so the six in box eight is at the top"
    )
    assert told == [("r7c5 = 6", "sound")]


def test_a_place_where_no_single_is_tells_no_other_house() -> None:
    assert spoken("the four of row one is on the left") != [("r8c1 = 9", "wider")]
    assert "wrong" not in {result for _, result in spoken("in box four the two is on the right")}
