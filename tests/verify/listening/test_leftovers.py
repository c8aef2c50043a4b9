"""Digits that are all that is left, of a house or of cells that were named before.

In Hatch at the start row 6 lacks 1, 2 and 7, in r6c1, r6c3 and r6c8; column 1 lacks 7, 8 and 9; the two
open cells of box 1 in row 3, r3c2 and r3c3, have 3, 7 and 9 as candidates.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from gridassay.verify import read_file
from gridassay.verify.listening.talk import audit_talk

from .test_other_words import CLASSIC, marks

HATCH = read_file(Path(__file__).parent / "narrations" / "puzzles" / "hatch.txt")

ROW = "r6c1 not 3 4 5 6 8 9; r6c3 not 3 4 5 6 8 9; r6c8 not 3 4 5 6 8 9"


@pytest.mark.parametrize(
    "said",
    [
        "That leaves 1, 2 and 7 in row six.",
        "Row six still cries for a 1, a 2 and a 7.",
        "The children see that row six has only 1, 2 and 7 to offer its three bare squares.",
        "Row 6 next. The digits 1, 2 and 7 are outstanding.",
    ],
)
def test_the_digits_that_a_house_lacks_are_those_of_its_open_cells(said: str) -> None:
    (step,) = audit_talk(HATCH, said, form="prose").steps
    assert (step.means, step.result) == (ROW, "idle")


def test_what_is_left_of_a_house_is_said_before_what_follows() -> None:
    said = "Column one wants 7, 8 and 9, and r6c1 is the 7."
    steps = audit_talk(HATCH, said, form="prose").steps
    assert [(step.means or "").partition(" ")[0] for step in steps] == ["r1c1", "r6c1"]


@pytest.mark.parametrize(
    "said",
    [
        "That leaves 1 and 2 in row six.",  # and 7
        "Row six still cries for a 1, a 3 and a 7.",
        "r3c2 and r3c3 are a pair. They share 3 and 9.",  # and 7
    ],
)
def test_other_digits_are_no_claim_that_could_be_wrong(said: str) -> None:
    told = audit_talk(HATCH, said, form="prose").steps
    assert {step.result for step in told} <= {"unclear"}


def test_cells_called_they_are_those_with_just_these_digits() -> None:
    said = "r6c1 is 7. Then r1c1 and r9c1 are left. They share 8 and 9 between them."
    steps = audit_talk(HATCH, said, form="prose").steps
    assert steps[-1].means == "r1c1 not 1 2 3 4 5 6 7; r9c1 not 1 2 3 4 5 6 7"


SUMS = [
    ("r1c1+r1c3 = 25 pair", {f"r1c{at}-{one}" for at in (1, 3) for one in "1346789"}),
    ("r1c1 + r1c3 = 2/5", {f"r1c{at}-{one}" for at in (1, 3) for one in "1346789"}),
    ("r1c1+r1c3 = 15", set()),
    ("r1c1+r1c3+r2c2 = 9", set()),
]


@pytest.mark.parametrize(("said", "meant"), SUMS)
def test_cells_with_a_plus_have_the_digits_that_make_no_sum(said: str, meant: set[str]) -> None:
    assert marks(CLASSIC, said) == meant
