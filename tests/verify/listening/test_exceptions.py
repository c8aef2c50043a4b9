"""Sentences that leave one, denials that go on with *nor*, and cells that are only compared.

The sentences are our own; the meaning of each is what its grammar says, whatever the puzzle.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from gridassay.verify import read_file
from gridassay.verify.listening.hearing import hearer_of
from gridassay.verify.solving.board.position import layout_of

from .test_other_words import CLASSIC, marks

ONE_LEFT = [
    ("Nobody except r2c6 could hold the 2 in row 2.", {"r2c6=2"}),
    ("Row 2 could park its two nowhere except at r2c6.", {"r2c6=2"}),
    ("r2c6 had an excuse for everything but the 2.", {"r2c6=2"}),
    ("r2c6 could not be anything except 2.", {"r2c6=2"}),
    ("r2c6 will never be anything but 2, and its seven lies at r2c7.", {"r2c6=2", "r2c7=7"}),
    ("r2c6 could be a 2.", set()),
    ("A 5 in r2c4 would leave nowhere for the 2.", set()),
]

DENIED = [
    ("r2c1 is neither 7 nor 9, nor r2c3 2 or 5.", {"r2c1-7", "r2c1-9", "r2c3-2", "r2c3-5"}),
    ("r2c1 can't be 9. Nor is it a 7.", {"r2c1-9", "r2c1-7"}),
    ("r2c1 can't be 9, nor can r2c3 be 6.", {"r2c1-9", "r2c3-6"}),
    ("r2c1 can't be 9, nor can r2c3.", {"r2c1-9", "r2c3-9"}),
]

COMPARED = [
    ("r2c1 is bigger than r2c3, and is a 7.", {"r2c1=7"}),
    ("r2c1 dwarfs r2c3, so it is not a 1.", {"r2c1-1"}),
    ("r2c1 touches r2c3, which is a 6.", {"r2c3=6"}),
    ("The 2 goes in r2c6, not r2c4.", {"r2c6=2"}),
    ("r2c1 is less than r2c3 and r2c3 is a 7.", {"r2c3=7"}),
]


@pytest.mark.parametrize(("said", "meant"), [*ONE_LEFT, *DENIED, *COMPARED])
def test_it_means_what_its_sentence_says(said: str, meant: set[str]) -> None:
    assert marks(CLASSIC, said) == meant


def test_an_ordinal_before_the_name_of_a_cell_is_no_house() -> None:
    puzzle = read_file(Path(CLASSIC))
    hearer = hearer_of(puzzle, layout_of(puzzle), spoken=True)
    assert hearer.letters("first column two row nine") in ("wC", "UC")
    assert hearer.letters("the first column has a two") == "wHEwD"
