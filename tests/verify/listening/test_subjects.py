"""Clauses that name no cell: they are about a rule, the rest of a house, or the cell spoken of before.

In Lobster Pots the 8 cage of r2c4 and r3c4 cannot be 4 and 4, nor hold an 8 or 9; the 5 cage of r7c6 and
r8c6 is 1 and 4 or 2 and 3.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from gridassay.verify import read_file
from gridassay.verify.listening.talk import audit_talk

POTS = read_file(Path(__file__).parents[3] / "examples" / "lobster-pots.toml")

SAID = [
    # ways to make a total, not ranges
    ("The 8 cage in box 2 is 1-7, 2-6 or 3-5.", {("r2c4 r3c4", "4 8 9")}),
    # two rules, each with its clause
    (
        "The 8 cage in box 2 has no 9, and the 5 cage is 1-4 or 2-3.",
        {("r2c4 r3c4", "9"), ("r7c6 r8c6", "5 6 7 8 9")},
    ),
    ("The 5 cage is 1-4 or 2-3. No cell of that cage can be 9.", {("r7c6 r8c6", "5 6 7 8 9")}),
    # the cell of the sentence before
    ("Look at r7c6, of the 5 cage. It is 1, 2, 3 or 4.", {("r7c6", "5 6 7 8 9")}),
    # none of several cells
    ("None of r7c6, r8c6 is over 4.", {("r7c6 r8c6", "5 6 7 8 9")}),
    ("None of r2c4 and r3c4 has a 4.", {("r2c4 r3c4", "4")}),
]


@pytest.mark.parametrize(("said", "meant"), SAID)
def test_what_is_said_of_a_rule_is_about_its_cells(said: str, meant: set[tuple[str, str]]) -> None:
    steps = audit_talk(POTS, said, form="prose").steps
    expected = {
        f"{cell} not {digit}"
        for cells, digits in meant
        for cell in cells.split()
        for digit in digits.split()
    }
    assert {step.result for step in steps} <= {"sound", "idle"}
    assert {mark for step in steps for mark in _marks(step.means or "")} == expected


def _marks(means: str) -> set[str]:
    """``r1c1 not 2 3; r1c2 not 2 because …`` as single strikes."""
    parts = (one.split(" not ") for one in means.partition(" because ")[0].split("; "))
    return {f"{cell} not {digit}" for cell, digits in parts for digit in digits.split()}


DOUBTFUL = [
    "The 5 cage in box 8 is 1-4, or so they say, and the 8 cage is 1 and 7.",
    "None of them, the 5 cage least of all, likes a 4.",
]


@pytest.mark.parametrize("said", DOUBTFUL)
def test_what_was_only_gleaned_of_a_rule_is_never_wrong(said: str) -> None:
    assert {step.result for step in audit_talk(POTS, said, form="prose").steps}.isdisjoint(
        {"wrong"}
    )
