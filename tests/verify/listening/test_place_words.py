"""Cells told by their place in a house: ordinals, ends, corners, middles, and beside the last cell.

The sentences are our own; the meaning of each is what its grammar says, whatever the puzzle. On the board
of Harbour Lights, the truth beside each is its solution and its singles.
"""

from __future__ import annotations

import pytest

from gridassay.verify import read_file
from gridassay.verify.listening.talk import audit_talk

from ...cli.run import EXAMPLES
from .test_other_words import CLASSIC, all_but, marks

MEANT = [
    ("In row six the fifth square is a 3 and the fourth is a 1.", {"r6c5=3", "r6c4=1"}),
    ("Row 2, third cell, is the nine.", {"r2c3=9"}),
    ("The second square from the right of row 8 takes a four.", {"r8c8=4"}),
    ("Column 3: 7 second, 4 ninth.", {"r2c3=7", "r9c3=4"}),
    ("Row four has its 5 in the second place and its 9 in the third.", {"r4c2=5", "r4c3=9"}),
    ("In row nine the 1 must be the first digit.", {"r9c1=1"}),
    ("The first of row 2 is a two.", {"r2c1=2"}),
    ("The six in row 3 is the fifth one along.", {"r3c5=6"}),
    ("Row 5, column 7 and column 9 are 2 and 6.", all_but("r5c7:26 r5c9:26")),
    ("Row 5, column 7 and column 9 each have a 2 above them.", set()),
    ("The foot of column 4 is a 6.", {"r9c4=6"}),
    ("A 2 goes to the head of column seven.", {"r1c7=2"}),
    ("Column six wants a 7 at the bottom.", {"r9c6=7"}),
    ("The 8 sits at the right-hand end of row 5.", {"r5c9=8"}),
    ("The middle of row 3 is a 2.", {"r3c5=2"}),
    ("The very middle square is a 5.", {"r5c5=5"}),
    ("A 5 stands in the centre of the grid.", {"r5c5=5"}),
    ("The bottom right-hand corner of box 1 is a 6.", {"r3c3=6"}),
    ("The top middle square of box 9 has to be a 4.", {"r7c8=4"}),
    ("r4c6 is a 5, and a 7 goes right below it.", {"r4c6=5", "r5c6=7"}),
    ("r4c6 is a 5, and to its left stands a 7.", {"r4c6=5", "r4c5=7"}),
    ("The first square of row four is neither 2 nor 5.", {"r4c1-2", "r4c1-5"}),
    ("The last two squares of column 2 are 4 or 8.", set()),
    ("The second square of row 7 is 4 or 8.", all_but("r7c2:48")),
    ("The foot of column four, r9c4, is a 6.", {"r9c4=6"}),
    ("r2c1 is a 9, and the 3 of the box is in row one, column three, though I did not look.",
     {"r2c1=9", "r1c3=3"}),
    ("When I had found my glasses I wrote that r8c9 is a 4.", {"r8c9=4"}),
]  # fmt: skip


@pytest.mark.parametrize(("said", "meant"), MEANT)
def test_a_place_in_a_house_is_a_cell(said: str, meant: set[str]) -> None:
    assert marks(CLASSIC, said) == meant


BOARD = read_file(EXAMPLES / "harbour-lights.toml")

TOLD = [
    ("Row three now. Its nine can only be in column five.", [("r3c5 = 9", "sound")]),
    ("Row three now. Its one, I should think, is for column five.", [(None, "unclear")]),
    ("In column 5, row 3 cannot take the 1.", [("r3c5 not 1", "idle")]),
    ("The 6 of box two goes in its top right corner.", [("r1c6 = 6", "sound")]),
    ("Look at the bottom middle box. The 6 is in the top row of it, in the fifth column.",
     [("r7c5 = 6", "sound")]),
    ("Look at row three. The fifth square is the 9.", [("r3c5 = 9", "sound")]),
    ("Look at row three. The fifth square is the 1.", [(None, "unclear")]),
    ("In row three the fifth square is a 1.", [("r3c5 = 1", "wrong")]),
    ("In box two r3c5 is a 9, and the 6 in the corner.",
     [("r3c5 = 9", "sound"), ("r1c6 = 6", "sound")]),
    ("r3c5 is a 9, and 5 beside it, at row three column two.",
     [("r3c5 = 9", "sound"), ("r3c2 = 5", "wrong")]),
]  # fmt: skip


@pytest.mark.parametrize(("text", "meant"), TOLD)
def test_the_board_tells_which_cell_was_meant(
    text: str, meant: list[tuple[str | None, str]]
) -> None:
    """A house that was said before may be another one; then a false digit is not held against it."""
    steps = audit_talk(BOARD, text, form="prose").steps
    heard = [(step.means and step.means.partition(" because ")[0], step.result) for step in steps]
    assert heard == meant
