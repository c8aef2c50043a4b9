"""Jots side by side on a line of notes, each with what its author means.

The notes are our own; what they mean is what they say, whatever the puzzle.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from gridassay.encodings.grid import Cell
from gridassay.verify import read_file
from gridassay.verify.listening.forms import sentences
from gridassay.verify.listening.heard import Heard
from gridassay.verify.listening.hearing import hearer_of
from gridassay.verify.listening.readings import left_over
from gridassay.verify.listening.talk import audit_talk
from gridassay.verify.listening.units import together
from gridassay.verify.solving.board.position import Position, layout_of

PUZZLES = Path(__file__).parent / "narrations" / "puzzles"
HERON = PUZZLES / "heron.txt"


def marks(said: str) -> set[str]:
    """The marks of some notes, each as ``r1c1=2`` or ``r1c1-2``."""
    puzzle = read_file(HERON)
    hearer = hearer_of(puzzle, layout_of(puzzle), spoken=False)
    found = [
        one
        for piece in together(sentences(said), hearer.letters, spoken=False)
        for one in hearer.hear(piece.text)[0]
    ]
    placed = {f"{cell}={digit}" for one in found for cell, digit in one.places}
    return placed | {f"{cell}-{digit}" for one in found for cell, digit in one.removes}


def short(said: str) -> set[str]:
    """``r1c1-23 r2c2=4 r3c3:89`` as single marks; a colon keeps what is left."""
    found = set()
    for one in said.split():
        cell, sign, digits = one[:4], one[4], one[5:]
        struck = "".join(sorted({*"123456789"} - {*digits})) if sign == ":" else digits
        found |= {f"{cell}{'-' if sign == ':' else sign}{digit}" for digit in struck}
    return found


JOTS = [
    # a cell that has its digit
    ("r4c7=5 r4c9=2", "r4c7=5 r4c9=2"),
    ("r6c1 = 3 black r6c2 = 6 r6c3 = 9", "r6c1=3 r6c2=6 r6c3=9"),
    ("r7c9 6 2 r9c9", "r7c9=6 r9c9=2"),
    ("r3c7=3 / 4 r3c9", "r3c7=3 r3c9=4"),
    ("b8: r7c5 7, 9 -> r9c4, 1 r8c4, 5 r9c5", "r7c5=7 r9c4=9 r8c4=1 r9c5=5"),
    ("8 r6c2 -> 5 r7c2", "r6c2=8 r7c2=5"),
    # two spaces
    ("r2c5=6  9 in r4c4", "r2c5=6 r4c4=9"),
    ("r2c5 not 6  9 r4c4", "r2c5-6 r4c4=9"),
    ("r2c5  6   r4c4  9", "r2c5=6 r4c4=9"),
    ("04.20   r2c5  6  b2    r4c4  9  r4    r5c3  1  b4", "r2c5=6 r4c4=9 r5c3=1"),
    ("r4c7 r4c8  3 8    r2c5  6  r2", "r4c7:38 r4c8:38 r2c5=6"),
    # digits before an arrow, or parted by strokes
    ("6 > r2c5 / 9 > r4c4 / 1 > r5c3", "r2c5=6 r4c4=9 r5c3=1"),
    ("6 > r2c5 end of row 2, 9 > r4c4 end of row 4", "r2c5=6 r4c4=9"),
    # a bracket that is closed
    ("r5c3=9 (6 in col 3), 2 at r5c2", "r5c3=9 r5c2=2"),
    ("r4c9 not 6,8 (dot) r6c9 not 1", "r4c9-68 r6c9-1"),
    # what is left
    ("r8c6 = 5 6 8 9 r9c6 same", "r8c6:5689 r9c6:5689"),
    ("4/7 for r3c4, r3c6 ditto", "r3c4:47 r3c6:47"),
    ("6+8 left r8c6, r9c6", "r8c6:68 r9c6:68"),
    ("leaves 69 pair r4c4 r4c5", "r4c4:69 r4c5:69"),
    ("r4c4 r4c5 2 7 pair", "r4c4:27 r4c5:27"),
    ("b8 1 2 in r8c4 r8c5 only", "r8c4:12 r8c5:12"),
    ("r5c8 r5c9 1 2 3 4", "r5c8:1234 r5c9:1234"),
    ("r6c2/r6c3 only 1-4", "r6c2:1234 r6c3:1234"),
    ("r6c2 2-8 r6c3 3 to 5, r6c4=1", "r6c2:2345678 r6c3:345 r6c4=1"),
    # what is struck
    ("6 off r6c8 r7c8, off r5c9 r6c9", "r6c8-6 r7c8-6 r5c9-6 r6c9-6"),
    ("=> 1 2 off row 3: r3c4 r3c5, off b1: r1c1 r2c2", "r3c4-12 r3c5-12 r1c1-12 r2c2-12"),
    ("it is 5/6 or 6/7, 6 off r1c8 r2c8", "r1c8-6 r2c8-6"),
    ("no 9: r4c1 r5c1", "r4c1-9 r5c1-9"),
    ("r9c1 isnt 6, r9c2 cant be 4", "r9c1-6 r9c2-4"),
    ("47 r1c2 r1c3", "r1c2:47 r1c3:47"),
    ("r1c2 4|7", "r1c2:47"),
    # what is crossed off
    ("elim 5 r1c2 r4c8", "r1c2-5 r4c8-5"),
    ("r1c2 r4c8 x5, r4c9 w/o 6", "r1c2-5 r4c8-5 r4c9-6"),
    ("r1c2 r4c8 /5", "r1c2-5 r4c8-5"),
    ("r1c2 r4c8 x57, r4c9 x 6", "r1c2-57 r4c8-57 r4c9-6"),
    ("x 5 in r1c2 r4c8", "r1c2-5 r4c8-5"),
    ("r1c2 odd, r4c8 even", "r1c2-2468 r4c8-13579"),
    ("r1c8 loses 5 (r1) so 7", "r1c8-5 r1c8=7"),
    ("5s: r1c2 x, r1c4 x", ""),
    # reasons between
    ("6 r1c5 (b2) 7 r1c6", "r1c5=6 r1c6=7"),
    ("4 r3c6 bc r5c4 7 r3c4 r3c7=3", "r3c6=4 r3c4=7 r3c7=3"),
    # no claims
    ("2 r4c6 - so the 8 in r6c4 was rubbish", "r4c6=2"),
    ("3x r4c4=6, 2nd r4c5=7", "r4c4=6 r4c5=7"),
]


@pytest.mark.parametrize(("said", "meant"), JOTS)
def test_jots_are_parted_and_filled_in(said: str, meant: str) -> None:
    assert marks(said) == short(meant)


WHOLE = [
    ("That pair in row 9 takes the 4 and the 9 from r9c1", "r9c1-49"),
    ("row 3 gets its 9 from box 1: r3c2=9", "r3c2=9"),
    ("r3c3 = 1, 4 in r1c2", "r3c3=1 r1c2=4"),
    ("r4c5 odd looking, r4c6=2", "r4c6=2"),
    ("r4c5 2 5 r4c6 2 7", "r4c5:25 r4c6:27"),
    ("no 1, 5, 7 in r3c2", "r3c2-157"),
]


@pytest.mark.parametrize(("said", "meant"), WHOLE)
def test_what_belongs_together_is_not_parted(said: str, meant: str) -> None:
    assert marks(said) == short(meant)


CELLS = [
    ("r5: 3@c2 7 at c4", "r5c2=3 r5c4=7"),
    ("no 2 in r7c7-r7c9", "r7c7-2 r7c8-2 r7c9-2"),
    ("r1c4,6 no 5", "r1c4-5 r1c6-5"),
    ("r1c4..r1c6 no 5", "r1c4-5 r1c5-5 r1c6-5"),
    ("r4c8/9 not 6", "r4c8-6 r4c9-6"),
    ("row 7: no 3 in c4", "r7c4-3"),
    ("no 1 2 here. no 1 2 else row 7: c4 c5 c6", "r7c4-12 r7c5-12 r7c6-12"),
    ("the 13 in c5: no 8 9 r6-r8", "r6c5-89 r7c5-89 r8c5-89"),
    ("c5 r4 no 6 so 9", "r4c5-6 r4c5=9"),
    ("r5c2 not 3 (row) so 5", "r5c2-3 r5c2=5"),
    ("r5c4 r5c5 14: 5 6 8 9 both", "r5c4:5689 r5c5:5689"),
    ("diff 6: r2c5 and r3c5 is 1 7", "r2c5:17 r3c5:17"),
    ("V under r6c8 r7c8=1", "r7c8=1"),
    ("3s col 7, row 4, col 9 => r5c8=3", "r5c8=3"),
    ("row 5, column 3 and row 7, column 2 are not 4", "r5c3-4 r7c2-4"),
]


@pytest.mark.parametrize(("said", "meant"), CELLS)
def test_cells_are_told_in_short(said: str, meant: str) -> None:
    assert marks(said) == short(meant)


def results(said: str) -> list[tuple[str | None, str]]:
    """The meaning and the result of each claim about a classic grid."""
    return [(one.means, one.result) for one in audit_talk(read_file(HERON), said).steps]


def test_a_digit_with_other_places_in_the_house_is_not_the_only_one_there() -> None:
    """The 2 of column 6 has one place, r2c6; row 2 has two more for it, r2c1 and r2c3."""
    assert results("r2c6=2, only place in col 6") == [
        ("r2c6 = 2 because hidden single: column 6", "sound")
    ]
    assert results("r2c6=2 (only place in row 2)") == [
        ("r2c6 = 2 because hidden single: row 2", "wider")
    ]


def test_two_figures_beside_a_cell_are_its_digits_where_nothing_is_summed() -> None:
    """r2c6 is 2 in the solution; with cages 14 might be a total."""
    assert results("r2c6 14") == [("r2c6 not 2 3 5 6 7 8 9", "wrong")]


def test_the_rest_of_a_house_is_without_the_cells_that_have_no_other_digit() -> None:
    """*No 1 2 else in row 1*, where 1 and 2 are all that is left in its first two cells."""
    layout = layout_of(read_file(HERON))
    masks = [0b111111111] * len(layout.cells)
    masks[0] = masks[1] = 0b11
    row = [Cell(1, column) for column in range(1, 10)]
    heard = Heard(
        "", 0, removes=tuple((cell, digit) for cell in row for digit in (1, 2)), rest=True
    )
    kept = left_over(heard, Position(layout, masks))
    assert {cell for cell, _ in kept.removes} == {*row[2:]}


def test_a_digit_that_is_said_to_be_confined_is_looked_for_there() -> None:
    """The 5 of column 1 has places only in box 4, that of column 3 in box 7."""
    confined = "r5c3 not 5 because locked candidates: digit 5, column 1, box 4"
    assert results("r5c3 not 5 (the 5 of c1 is in b4)") == [(confined, "sound")]
    assert [one for _, one in results("r5c3 not 5 (5 of c3 is in b4)")] == ["wider"]
    assert [one for _, one in results("r5c3 not 5 because the 5 of column 3 is in box 4.")] == [
        "wider"
    ]
