"""Words that a clause leaves out, and claims about rules: each with its meaning as a steps file has it.

The sentences are our own; the meaning of each is what its grammar says, whatever the puzzle.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from gridassay.verify import read_file
from gridassay.verify.auditing.auditing import audit
from gridassay.verify.listening.forms import sentences
from gridassay.verify.listening.hearing import hearer_of
from gridassay.verify.listening.talk import audit_talk
from gridassay.verify.listening.units import together
from gridassay.verify.solving.board.position import Layout, layout_of

EXAMPLES = Path(__file__).parents[3] / "examples"
PUZZLES = Path(__file__).parent / "narrations" / "puzzles"
WHISPERS, THERMOMETERS = PUZZLES / "whispering-gallery.toml", PUZZLES / "boiler-room.toml"
POTS = EXAMPLES / "lobster-pots.toml"


@cache
def layout(file: Path) -> Layout:
    return layout_of(read_file(file))


def means(file: Path, said: str) -> set[str]:
    """The marks that a text claims, each as ``r1c1=2`` or ``r1c1-2``."""
    hearer = hearer_of(read_file(file), layout(file), spoken=False)
    found = [
        one
        for sentence in together(sentences(said), hearer.letters, spoken=False)
        for one in hearer.hear(sentence.text)[0]
    ]
    return {
        f"{cell}{sign}{digit}"
        for one in found
        for marks, sign in ((one.places, "="), (one.removes, "-"))
        for cell, digit in marks
    }


def marks(said: str) -> set[str]:
    """``r1c1-23 r2c2=4`` as single marks."""
    return {
        f"{one[:4]}{one[4]}{digit}" for one in said.split() for digit in one[5:]
    }  # fmt: skip


LEFT_OUT = [
    # the cell
    ("r2c8 is a big digit, which throws out one, two and three.", "r2c8-123"),
    ("r7c1 is four or nine, so no six, and no two either.", "r7c1-62"),
    ("r3c9 lies beside the nine, so that isn't eight.", "r3c9-8"),
    ("With nothing else free, r5c1 is done: it's a 3.", "r5c1=3"),
    # the digits
    ("r1c3 can't be five, nor can r2c2, nor r3c1.", "r1c3-5 r2c2-5 r3c1-5"),
    ("r1c3 not 1 2, r2c2 likewise", "r1c3-12 r2c2-12"),
    ("r1c3 isn't 5. The same goes for r2c2.", "r1c3-5 r2c2-5"),
    ("r1c3 can't be 7 and neither can r2c2.", "r1c3-7 r2c2-7"),
    # the digit that *it* is
    ("In box one the 3 is at r2c3, and so in box two it is at r3c5.", "r2c3=3 r3c5=3"),
    ("Where does the 4 of box nine go? r9c7 it is.", "r9c7=4"),
    ("The 2 of row 4: column 9.", "r4c9=2"),
]


@pytest.mark.parametrize(("said", "meant"), LEFT_OUT)
def test_what_a_clause_leaves_out_is_what_was_just_said(said: str, meant: str) -> None:
    assert means(WHISPERS, said) == marks(meant)


DESCRIBED = [
    ("r2c2 is even.", "r2c2-13579"),
    ("r2c2 isn't odd.", "r2c2-13579"),
    ("r1c3 is low.", "r1c3-6789"),
    ("r1c3 and r3c1 are both high.", "r1c3-1234 r3c1-1234"),
    ("r2c2 is from 3 to 5.", "r2c2-126789"),
    ("That takes four to seven out of r2c2.", "r2c2-4567"),
    ("r2c2 not 1-4", "r2c2-1234"),
    ("r2c2 can only be one, two or nine.", "r2c2-345678"),
    ("r2c2 is one of 2, 3 and 4.", "r2c2-156789"),
    ("r2c2 has only 2 and 3 left.", "r2c2-1456789"),
    ("The least r2c2 can be is 3.", "r2c2-12"),
    ("The maximum for r2c2 is 6.", "r2c2-789"),
    ("r2c2 and r3c1 are 3 and 8.", "r2c2-1245679 r3c1-1245679"),
]


@pytest.mark.parametrize(("said", "meant"), DESCRIBED)
def test_a_description_denies_the_other_digits(said: str, meant: str) -> None:
    assert means(WHISPERS, said) == marks(meant)


OF_RULES = [
    (POTS, "The 8 cage can't have a 4.", "r2c4-4 r3c4-4"),
    (POTS, "There's no 9 in the 8 cage in box 2.", "r2c4-9 r3c4-9"),
    (POTS, "The 16 cage in box 1 has to be 9, 4 and 3.", "r1c1-125678 r1c2-125678 r2c1-125678"),
    (THERMOMETERS, "The tip of the thermometer from r1c2 is a nine.", "r4c1=9"),
    (THERMOMETERS, "The thermometer that starts in r2c9: its tip is at least 5.", "r1c6-1234"),
    (THERMOMETERS, "The thermometer with its bulb in r9c8. The bulb can't be 9.", "r9c8-9"),
]


@pytest.mark.parametrize(("file", "said", "meant"), OF_RULES)
def test_something_said_of_a_rule_is_said_of_its_cells(file: Path, said: str, meant: str) -> None:
    assert means(file, said) == marks(meant)


NO_DIGITS = [
    "r1c3 plus r4c1 is 9.",
    "r3c1 = r4c1 + r5c1.",
    "r1c3 and r2c2 add up to 9.",
    "r2c2 is 5 more than r1c3.",
    "r2c2 must differ from r1c3 by at least 5.",
    "r1c3 has to be next to a 5 on the line.",
    "r2c2 isn't even open.",
    "Five never goes on a whisper. It runs from r3c9 through r2c8.",
    "r2c2 has two neighbours on the line.",
    "6 in r2c2 forces a small digit beside it.",
    "r1c3 and r2c2 lose all three.",
    "The whisper needs 11 from r1c3 and r2c2.",
]


@pytest.mark.parametrize("said", NO_DIGITS)
def test_a_sum_or_a_comparison_of_cells_says_no_digit_of_them(said: str) -> None:
    assert means(WHISPERS, said) == set()


SUPPOSED = [
    ("Suppose r1c3 is a 4. Then r2c2 is 9. But box one has its 9. So r1c3 cannot be 4.", "r1c3-4"),
    ("Suppose r1c3 were 4: then r2c2 would be 9. r3c1 is 4 then. So r1c3 isn't 4.", "r1c3-4"),
    ("If r1c3 is 4 then r2c2 has to be 9, and then box one has two nines. So r1c3 isn't 4.", "r1c3-4"),
    ("Look at r1c3. Suppose it were 4: then r2c2 is 9. So r1c3 is not 4.", "r1c3-4"),
    ("Suppose r1c3 is 4. Then r2c2 is 9.", ""),
]  # fmt: skip


@pytest.mark.parametrize(("said", "meant"), SUPPOSED)
def test_only_the_end_of_a_supposition_is_claimed(said: str, meant: str) -> None:
    assert means(WHISPERS, said) == marks(meant)


def test_a_story_said_aloud_is_sound_and_written_as_a_story() -> None:
    """With 7 in r1c5, 7 in column 6 has only r4c6, and box 5 no place for 6: read off the grid."""
    puzzle = read_file(PUZZLES / "undertow.txt")
    said = "Suppose r1c5 were 7. Then r4c6 is 7, and where does 6 go? So r1c5 is not 7."
    talk = audit_talk(puzzle, said, form="prose")
    assert [step.result for step in talk.steps] == ["sound"]
    assert talk.steps[0].detail.startswith("a story: suppose r1c5 were 7.")
    assert [step.result for step in audit(puzzle, talk.clean()).steps] == ["sound"]


def test_a_true_end_of_a_supposition_that_no_short_story_shows_is_wider() -> None:
    said = "Suppose r1c3 were 4. Then it all falls apart. So r1c3 is not 4."
    talk = audit_talk(read_file(PUZZLES / "undertow.txt"), said, form="prose")
    assert [step.result for step in talk.steps] == ["wider"]
