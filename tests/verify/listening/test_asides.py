"""Clauses in the midst of others, and lines that were broken because they were full.

The sentences are our own; the meaning of each is what its grammar says, whatever the puzzle.
"""

from __future__ import annotations

import pytest

from gridassay.verify.listening.forms import sentences

from .test_other_words import CLASSIC, marks, notes_hearer

MEANT = [
    ("The 7 of box 4, as row six owns one, must be in r4c3.", {"r4c3=7"}),
    ("The seven, which row six refuses and row five has, stands in r4c3.", {"r4c3=7"}),
    ("r4c3, where a 2 or an 8 might have gone, is a 7.", {"r4c3=7"}),
    ("The seven of that box, for reasons I shall give, is r4c3.", {"r4c3=7"}),
    ("r4c3, I claim, is the 7, and r4c4 is the 8.", {"r4c3=7", "r4c4=8"}),
    ("In row four the 7 is, since column two has its own, in r4c3.", {"r4c3=7"}),
    ("The 7, says my sister, goes in r4c3.", {"r4c3=7"}),
    # what only looks like one
    ("r4c3 is 7, r4c4 is 8, r5c5 is 2.", {"r4c3=7", "r4c4=8", "r5c5=2"}),
    ("The corner, r1c1, is a 2.", {"r1c1=2"}),
    ("Row two, column three, is a 2.", {"r2c3=2"}),
    ("So 2 and 3, r5c6 is 4.", {"r5c6=4"}),
]


@pytest.mark.parametrize(("said", "meant"), MEANT)
def test_the_sentence_around_an_aside_is_heard(said: str, meant: set[str]) -> None:
    assert marks(CLASSIC, said) == meant


def test_a_reason_in_the_midst_is_a_reason_of_the_claim_around_it() -> None:
    (claim,), _ = notes_hearer(CLASSIC).hear("r4c3, being the last of its column, is a 7.")
    assert (claim.technique, claim.houses, claim.sure) == ("last cell", ("column 3",), True)
    (claim,), _ = notes_hearer(CLASSIC).hear("The 7, as row six has one, can only be in r4c3.")
    assert claim.houses == ()


FULL = """\
In the left half of the page nothing is to be done as yet, and so r2c9
is 1, as row one owns it. Further down the 6 of the third box, which
R3C8 has been waiting for, is at home, and therefore the 4 belongs in
R1C8. That is all.

Then there is the middle, where I went wrong twice last night, and the
3 that I had in r5c5 did not stay. The right one is where nobody looks
for it, and the 8 of that row has, as one sees,
R5C9 to itself, as the others there see the one below; and so I put it
down."""


def test_a_text_of_full_lines_goes_on_whatever_its_lines_begin_with() -> None:
    assert [one.text.split()[-1] for one in sentences(FULL)] == [
        "it.",
        "R1C8.",
        "all.",
        "stay.",
        "sees,",
        "down.",
    ]  # one line is short


def test_jots_below_each_other_stay_apart() -> None:
    jots = (
        "r2c9 is the only one of them left for 1 in b3\n3 goes to r4c4 then, it is a start\nr5c5 2"
    )
    assert len(list(sentences(jots))) == 3
