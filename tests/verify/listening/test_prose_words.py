"""Words of prose: verbs of falling, *therefore* in the midst, *as the nine*, houses of reasons.

The sentences are our own; the meaning of each is what its grammar says, whatever the puzzle.
"""

from __future__ import annotations

import pytest

from gridassay.verify import read_file
from gridassay.verify.listening.talk import audit_talk

from .test_other_words import CLASSIC, all_but, marks, notes_hearer

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
    assert [one.houses for one in notes_hearer(CLASSIC).hear(said)[0]] == houses


TAKEN_BACK = [
    # the claim right before it, in the same sentence or in the one before
    ("r2c6=2. r2c4 8 -- no, wrong. r2c7=7.", ["r2c6 = 2", "r2c7 = 7"]),
    ("r2c6 is a 2. r2c4 is an 8. No, I withdraw that. r2c7 is a 7.", ["r2c6 = 2", "r2c7 = 7"]),
    ("r2c4 is an 8. No I beg your pardon, r2c4 is a 1.", ["r2c4 = 1"]),
    ("r2c4 is an 8. Silly me, r2c4 is a 1.", ["r2c4 = 1"]),
    # a claim that was not heard is what is taken back, so the one before it stays
    ("r2c6 is a 2. The 8 yonder bonds in box 1. As you were. r2c7 is a 7.",
     ["r2c6 = 2", "r2c7 = 7"]),
]  # fmt: skip


@pytest.mark.parametrize(("said", "means"), TAKEN_BACK)
def test_a_retraction_takes_back_what_was_said_last_and_nothing_else(
    said: str, means: list[str]
) -> None:
    steps = audit_talk(read_file(CLASSIC), said, form="prose").steps
    assert [step.means for step in steps] == means
    assert {step.result for step in steps} == {"sound"}


def test_a_digit_from_the_cell_in_which_it_stands_is_only_pointed_at() -> None:
    """Heron has a 5 in r1c2; where it has no digit yet, the same words strike."""
    puzzle = read_file(CLASSIC)
    assert audit_talk(puzzle, "The 5 from r1c2 makes ten with r1c6.", form="prose").steps == ()
    (step,) = audit_talk(puzzle, "Remove the 5 from r1c2.", form="prose").steps
    assert step.result == "wrong"
    (step,) = audit_talk(puzzle, "5 from r2c6.", form="prose").steps
    assert (step.means, step.result) == ("r2c6 not 5", "idle")
