"""Why a digit was ruled out, in notes: what would follow from it is not claimed.

The sentences are our own; the meaning of each is what its grammar says, whatever the puzzle.
"""

from __future__ import annotations

import pytest

from gridassay.verify.listening.vocabulary import vocabulary

from .test_other_words import CLASSIC, all_but, marks, notes_hearer

MEANT = [
    ("r4c3 not 7: r4c3=7 r4c4=8 r5c5=2, two 8s", {"r4c3-7"}),
    ("r4c3 not 7?! r4c3=7 - r4c4=8 - r5c5 dead", {"r4c3-7"}),
    ("r4c3 <> 7, else r4c4 = 8 and r5c5 = 8", {"r4c3-7"}),
    ("r4c3 isn't a 7, otherwise r4c4 is 8.", {"r4c3-7"}),
    # what follows from the strike itself
    ("r4c3 not 7, so r4c4=7", {"r4c3-7", "r4c4=7"}),
    ("r4c3 not 7, r4c4 = 8", {"r4c3-7", "r4c4=8"}),
    ("r4c3 is 2 or 7. r4c3 = 7", {"r4c3=7", *all_but("r4c3:27")}),
    ("r4c3 may not be a 7.", {"r4c3-7"}),
    ("r4c3 r4c4 from 1 7", {*all_but("r4c3:17"), *all_but("r4c4:17")}),
    ("r4c3 r4c4 from 1 2 7", {*all_but("r4c3:127"), *all_but("r4c4:127")}),
    ("r4c3 ∉ {1, 7}", {"r4c3-1", "r4c3-7"}),
    ("r4c3 ∈ {1, 7}", all_but("r4c3:17")),
]


@pytest.mark.parametrize(("said", "meant"), MEANT)
def test_what_would_follow_from_a_digit_that_is_ruled_out_is_not_claimed(
    said: str, meant: set[str]
) -> None:
    assert marks(CLASSIC, said) == meant


def test_what_comes_then_may_be_such() -> None:
    claims, _ = notes_hearer(CLASSIC).hear("r4c3 not 7: then r4c4=8 r5c5=2")
    assert [(one.sure, bool(one.places)) for one in claims] == [
        (True, False),
        (False, True),
        (False, True),
    ]


@pytest.mark.parametrize(
    "said",
    [
        "r4c3 is 7, box 4 has no other room for it",
        "r4c3=7 sole berth box 4",
        "7 in r4c3, the only opening in box 4",
    ],
)
def test_a_place_may_have_many_names(said: str) -> None:
    (claim,), _ = notes_hearer(CLASSIC).hear(said)
    assert (claim.technique, claim.houses) == ("hidden single", ("box 4",))


def test_words_that_are_put_together_do_not_stand_in_for_those_of_another_technique() -> None:
    known = vocabulary().techniques
    assert known["only place"] == "hidden single"
    assert known["only empty cell"] == "last cell"
