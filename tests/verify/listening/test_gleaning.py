"""Claims of which only cells and digits were understood, and whether they are denied.

What holds in the puzzle is what its route shows: r2c6 is 2, r2c7 is 7.
"""

from __future__ import annotations

import pytest

from gridassay.verify.listening.talk import audit_talk

from .test_confined import HERON

GLEANED = [
    # the second part leaves its digit out, or its cell
    ("Box 2 hands a 2 to r2c6; its fellow of box 3, a 7, is driven upon r2c7.",
     ["r2c6 = 2", "r2c7 = 7"]),
    ("The 2 of box 2 is claimed by r2c6, and the 7 of box 3 by r2c7.", ["r2c6 = 2", "r2c7 = 7"]),
    # what is denied in words that no list has
    ("r5c3 parts with any hope of a 5, no.", ["r5c3 not 5"]),  # column 1 has its 5 in box 4
]  # fmt: skip


@pytest.mark.parametrize(("said", "meant"), GLEANED)
def test_what_is_true_and_follows_is_heard_from_its_cells_and_digits(
    said: str, meant: list[str]
) -> None:
    steps = audit_talk(HERON, said, form="prose").steps
    assert [(step.means or "").partition(" because ")[0] for step in steps] == meant
    assert {step.result for step in steps} == {"sound"}


SILENT = [
    "Box 2 bestows 2 most generously upon r2c5.",  # it is not true
    "Maybe box 2 hands its 2 over to r2c6.",  # it is only thought of
    "r2c6 parts with any hope of a 2, no.",  # it is denied, and true
    "Suppose r1c1 were a 4. Then box 2 hands its 2 over to r2c6.",  # it is only supposed
]


@pytest.mark.parametrize("said", SILENT)
def test_anything_else_is_heard_as_no_claim(said: str) -> None:
    steps = audit_talk(HERON, said, form="prose").steps
    assert [step for step in steps if step.result != "unclear"] == []
