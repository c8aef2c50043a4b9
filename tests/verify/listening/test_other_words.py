"""Digits left in a cell, letters, houses in turn, and reasons: each sentence with its meaning.

The sentences are our own; the meaning of each is what its grammar says, whatever the puzzle.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from gridassay.verify import read_file
from gridassay.verify.auditing.auditing import audit
from gridassay.verify.listening.forms import sentences
from gridassay.verify.listening.hearing import Hearer, hearer_of
from gridassay.verify.listening.talk import audit_talk
from gridassay.verify.listening.units import together
from gridassay.verify.solving.board.position import layout_of

PUZZLES = Path(__file__).parent / "narrations" / "puzzles"
CLASSIC, TINS, POTS = (PUZZLES / name for name in ("heron.txt", "tins.toml", "pots.toml"))


@cache
def notes_hearer(file: Path) -> Hearer:
    puzzle = read_file(file)
    return hearer_of(puzzle, layout_of(puzzle), spoken=False)


def marks(file: Path, said: str) -> set[str]:
    """The marks that a text claims, each as ``r1c1=2`` or ``r1c1-2``."""
    hearer = notes_hearer(file)
    return {
        f"{unknown}{sign}{value}"
        for sentence in together(sentences(said), hearer.letters, spoken=False)
        for one in hearer.hear(sentence.text)[0]
        for pairs, sign in ((one.places, "="), (one.removes, "-"))
        for unknown, value in pairs
    }


def all_but(kept: str) -> set[str]:
    """``r1c1:23 r2c2:4``: all other digits struck from these cells."""
    return {
        f"{cell}-{digit}"
        for cell, _, digits in (one.partition(":") for one in kept.split())
        for digit in "123456789"
        if digit not in digits
    }


LEFT = [
    ("r2c6 4 or 7, r2c8 1/9", "r2c6:47 r2c8:19"),
    ("r2c6 (4, 7)", "r2c6:47"),
    ("r2c6 {3 4 7}", "r2c6:347"),
    ("r2c6=47", "r2c6:47"),
    ("either 4 or 7 goes in r2c6", "r2c6:47"),
    ("r2c6 must be either a 4 or a 7, and r2c8 is 1 or 9.", "r2c6:47 r2c8:19"),
    ("That leaves just 4 and 7 for r2c6.", "r2c6:47"),
    ("r2c6 has only two candidates, 4 and 7.", "r2c6:47"),
    ("r2c6 comes down to 2, 4 or 7.", "r2c6:247"),
    ("Over there r2c6 had to be even: 2, 4 or 8.", "r2c6:248"),
]


@pytest.mark.parametrize(("said", "kept"), LEFT)
def test_what_is_left_in_a_cell_is_what_the_other_digits_are_not(said: str, kept: str) -> None:
    assert marks(CLASSIC, said) == all_but(kept)


CELLS = [
    ("Row 8 puts its 4 in column 1, its 6 in column 3 and its 9 in the left column.",
     {"r8c1=4", "r8c3=6", "r8c1=9"}),
    ("r5: c4=2, c8=6", {"r5c4=2", "r5c8=6"}),
    ("The nine of column 5 goes into the bottom row.", {"r9c5=9"}),
    ("Row 6 wants a 2, and r6c1 is the only cell for it.", {"r6c1=2"}),
    ("Column 5 needs a one and gives it to r2c5.", {"r2c5=1"}),
    ("r6c1 fills box 4 with a 5.", {"r6c1=5"}),
    ("A 5 in r6c1 is all that is left.", {"r6c1=5"}),
    ("2 r6c1, 8 r7c1, r9c2 3", {"r6c1=2", "r7c1=8", "r9c2=3"}),
    ("r6c1 and r6c2 are 8 and 3 in that order.", {"r6c1=8", "r6c2=3"}),
    ("r6c1(8) r6c2(3)", {"r6c1=8", "r6c2=3"}),
    ("r6c1, because of the 3 in r6c9, is 8.", {"r6c1=8"}),
    ("Row 6 column 1: that's the only home for the 8.", {"r6c1=8"}),
    ("r6c1 is 8, not 3.", {"r6c1=8", "r6c1-3"}),
    ("No other cell of row 6 takes an 8, so r6c1.", {"r6c1=8"}),
    ("From r6c1 the 2 and 8 are removed, from r6c2 the 3.", {"r6c1-2", "r6c1-8", "r6c2-3"}),
    ("XY-wing: r6c1, r6c5, r2c1, r2c5 isn't 8.", {"r2c5-8"}),
    ("Rows 6 and 7 of column 2 lose the 8; row 3 columns 4 and 5 are not 1.",
     {"r6c2-8", "r7c2-8", "r3c4-1", "r3c5-1"}),
    ("r6c1 ~8", {"r6c1-8"}), ("-3 r6c2", {"r6c2-3"}),
    ("8 and 9 are too big for r6c1.", {"r6c1-8", "r6c1-9"}),
    ("Nothing above 6 fits in r6c1.", {"r6c1-7", "r6c1-8", "r6c1-9"}),
    ("Goodbye 8 in r6c1.", {"r6c1-8"}),
    ("I put an 8 in r6c1, which was wrong, and I took it out again.", set()),
    ("Then r6c2 is 3, as r7c1 is one.", {"r6c2=3"}),
]  # fmt: skip


@pytest.mark.parametrize(("said", "meant"), CELLS)
def test_cells_are_named_in_other_ways(said: str, meant: set[str]) -> None:
    assert marks(CLASSIC, said) == meant


LETTERS = [
    ("So the total is settled, C = 18.", {"C=18"}),
    ("B must be 17", {"B=17"}),
    ("D isn't 11 or 12", {"D-11", "D-12"}),
    ("A 5 in r1c1", {"r1c1=5"}),
    ("that A cage has 5 in r1c1", {"r1c1=5"}),
    ("C is 18, 3 used, r6c5 = 3", {"C=18", "r6c5=3"}),
]


@pytest.mark.parametrize(("said", "meant"), LETTERS)
def test_letters_have_values(said: str, meant: set[str]) -> None:
    assert marks(TINS, said) == meant


def test_the_value_of_a_letter_is_checked_and_written_as_a_step() -> None:
    """Of the two cages of C, one cannot make 9 and the other cannot make 20: only 18 is left."""
    tins = read_file(TINS)
    found = audit_talk(tins, "C is 9, 18 or 20\nC = 18\nC = 18\nB = 15")
    assert [step.result for step in found.steps] == ["sound", "sound", "idle", "wrong"]
    assert [step.result for step in audit(tins, found.clean()).steps] == ["sound", "sound"]


def test_a_value_that_a_letter_never_has_is_wrong_and_its_denial_nothing_new() -> None:
    """Two cells make 3 at least."""
    tins = read_file(TINS)
    found = audit_talk(tins, "B is 2\nB isn't 2 or 1").steps
    assert [step.result for step in found] == ["wrong", "idle"]
    assert found[0].detail == "B is never 2"


REASONS = [
    ("r5c3 := 2, b4, r1c9 := 6, r1, r7c2 := 8, naked", [("box 4",), ("row 1",), ()]),
    ("b4 r5c3=2, r1 r1c9=6", [("box 4",), ("row 1",)]),
    ("r5c3 is 2 by row 5, r1c9 is 6 by box 3", [("row 5",), ("box 3",)]),
]


@pytest.mark.parametrize(("said", "houses"), REASONS)
def test_a_house_between_two_claims_belongs_to_the_one_whose_cell_it_holds(
    said: str, houses: list[tuple[str, ...]]
) -> None:
    assert [one.houses for one in notes_hearer(CLASSIC).hear(said)[0]] == houses


def test_a_rule_with_an_id_is_pointed_at_by_what_one_sees() -> None:
    (claim,) = notes_hearer(POTS).hear("In the 7 cage r3c4 must be the 6.")[0]
    assert claim.rules == ("cage-h",)


@pytest.mark.parametrize("back", ["No, scrap that, I miscounted.", "Cancel that.", "I misspoke."])
def test_a_claim_that_is_taken_back_in_other_words_is_not_judged(back: str) -> None:
    assert audit_talk(read_file(CLASSIC), f"r6c1 is 8. {back}").steps == ()
