"""Sentences that begin with a cell and end with its digit, by what lies between."""

from __future__ import annotations

from pathlib import Path

import pytest

from gridassay.verify import read_file
from gridassay.verify.listening.hearing import hearer_of
from gridassay.verify.solving.board.position import layout_of

HERON = Path(__file__).parent / "narrations" / "puzzles" / "heron.txt"

SAID = [
    ("r1c1 is twice r2c1, so 2.", {"r1c1=2"}),
    ("r2c4 is a third of the 3, so 1, and r2c5 = 6", {"r2c4=1", "r2c5=6"}),
    ("r5c4 hangs on the line next to r5c5: 7", {"r5c4=7"}),
    ("r7c1 is odd, and row 7 has its 3: 1.", {"r7c1=1"}),
    ("r5c5 is the twin of r2c2 and so 3; r5c6 = 1", {"r5c5=3", "r5c6=1"}),
    ("r8c3 stands between a 4 and a 6, dots on either side: 5.", {"r8c3=5"}),
    ("r3c4 is not 2, so 4", {"r3c4-2", "r3c4=4"}),
    ("r3c4 is 2, so 4 goes to r3c5", {"r3c4=2", "r3c5=4"}),
    ("r3c4 is 2, so r3c5 is 4", {"r3c4=2", "r3c5=4"}),
    ("r2c3 holds 5, row 4: 3 in c2", {"r2c3=5", "r4c2=3"}),
    ("r2c4 sees 1, 2 and 3: 4, 5 and 6 remain", set()),
]


@pytest.mark.parametrize(("said", "meant"), SAID)
def test_the_last_digit_is_of_the_cell_that_the_sentence_is_about(
    said: str, meant: set[str]
) -> None:
    puzzle = read_file(HERON)
    heard, _ = hearer_of(puzzle, layout_of(puzzle), spoken=False).hear(said)
    found = {f"{cell}={digit}" for one in heard for cell, digit in one.places}
    assert found | {f"{cell}-{digit}" for one in heard for cell, digit in one.removes} == meant
