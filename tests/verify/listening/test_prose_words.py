"""Words of prose: verbs of falling, *therefore* in the midst, *as the nine*, houses of reasons.

The sentences are our own; the meaning of each is what its grammar says, whatever the puzzle.
"""

from __future__ import annotations

import pytest

from .test_other_words import CLASSIC, all_but, hearer_of, marks

MEANT = [
    ("The seven drops down to r3c6.", {"r3c6=7"}),
    ("Row 4's two dropped to r4c3.", {"r4c3=2"}),
    ("In box 5 the three drops on to r4c4.", {"r4c4=3"}),
    ("The 3 drops out of r4c4.", {"r4c4-3"}),
    ("A pair drops 3 from r4c4.", {"r4c4-3"}),
    ("r4c4 dropped to 3.", {"r4c4=3"}),
    ("r4c4 drops to 3 or 7.", all_but("r4c4:37")),
    ("The 3 of row two was therefore r2c5.", {"r2c5=3"}),
    ("r2c5 is, hence, a 3.", {"r2c5=3"}),
    ("The 5 of row 2 must thus go in r2c5.", {"r2c5=5"}),
    ("r2c5 will consequently hold the 5.", {"r2c5=5"}),
    ("I put r2c7 down as the 9 in box 3.", {"r2c7=9"}),
    ("That leaves r2c7 for the 9 of box 3.", {"r2c7=9"}),
    ("Leaving an eight for the final square of box 3, r2c7.", {"r2c7=8"}),
    ("Row 2 has its 4s in box 3, so not r3c7.", {"r3c7-4"}),
    ("No 5 goes in r4c4, nor in r4c6.", {"r4c4-5", "r4c6-5"}),
    ("No seven at r4c4, nor at r4c5, nor r4c6.", {"r4c4-7", "r4c5-7", "r4c6-7"}),
    ("r9c4 shall be a 6.", {"r9c4=6"}),
]


@pytest.mark.parametrize(("said", "meant"), MEANT)
def test_words_of_prose_mean_what_their_sentence_says(said: str, meant: set[str]) -> None:
    assert marks(CLASSIC, said) == meant


HOUSES = [
    ("r5c5 is the 8 of row 5, r4c6 has to be a 6.", [("row 5",), ()]),
    ("r8c2 is a 1, since box 7 has no other place for it.", [("box 7",)]),
    ("r8c2 is a 1, because row 8 has only one cell for it.", [("row 8",)]),
    ("r8c2 is a 1, because row 6 has a 1.", [()]),
]


@pytest.mark.parametrize(("said", "houses"), HOUSES)
def test_a_house_belongs_to_the_claim_that_is_said_to_rest_on_it(
    said: str, houses: list[tuple[str, ...]]
) -> None:
    assert [one.houses for one in hearer_of(CLASSIC).hear(said)[0]] == houses
