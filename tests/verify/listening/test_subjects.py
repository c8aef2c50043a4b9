"""Clauses that name no cell: they are about a rule, the rest of a house, or the cell spoken of before.

In Lobster Pots the 8 cage of r2c4 and r3c4 cannot be 4 and 4, nor hold an 8 or 9; the 5 cage of r7c6 and
r8c6 is 1 and 4 or 2 and 3.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from gridassay.verify import read_file
from gridassay.verify.listening.hearing import hearer_of
from gridassay.verify.listening.talk import audit_talk
from gridassay.verify.solving.board.position import layout_of

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


HEARD = [
    # a kind of digits that is taken away, and what goes for another cell too
    ("r7c6 loses its even digits, and so does r1c4.", "r7c6 not 2 4 6 8, r1c4 not 2 4 6 8"),
    # a list whose verb has no cell before it
    ("Two different digits, so it is 4 and 6 in r1c4 and r2c4.",
     "r1c4 not 1 2 3 5 7 8 9, r2c4 not 1 2 3 5 7 8 9"),
]  # fmt: skip


@pytest.mark.parametrize(("said", "meant"), HEARD)
def test_a_clause_goes_on_with_what_was_said(said: str, meant: str) -> None:
    hearer = hearer_of(POTS, layout_of(POTS), spoken=False)
    heard = hearer.hear(said)[0]
    gleaned = [one.claim for one in hearer.glean(said)]
    struck = {f"{cell} not {digit}" for one in (*heard, *gleaned) for cell, digit in one.removes}
    assert struck == {
        f"{cell} not {digit}"
        for part in meant.split(", ")
        for cell, _, digits in [part.partition(" not ")]
        for digit in digits.split()
    }


def test_the_fourth_is_a_house_of_the_kind_that_was_just_named() -> None:
    hearer = hearer_of(POTS, layout_of(POTS), spoken=False)
    said = "The 7 goes into the first row or the fourth, and the fifth cell is a pity."
    houses = [one.house for one in hearer.tokens(said) if one.house]
    assert houses == ["row 1", "row 4"]
