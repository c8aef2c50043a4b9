"""How clauses share their cells, digits and reasons, in sentences of our own.

The meaning of each is what its grammar says, whatever the puzzle.
"""

from __future__ import annotations

import pytest

from .test_other_words import CLASSIC, marks

MEANT = [
    ("The 4 of box two moved to r1c5, r3c8 was a 7.", {"r1c5=4", "r3c8=7"}),
    ("r2c6 was at most 7, and the cell after it, r3c6, was at least 4.",
     {"r2c6-8", "r2c6-9", "r3c6-1", "r3c6-2", "r3c6-3"}),
    ("The 8, shut out of column two, is at r5c7.", {"r5c7=8"}),
    ("The 6 of that row cannot stand in box one and goes to r4c8.", {"r4c8=6"}),
    ("r6c6 can't be 9, as row three has its 4.", {"r6c6-9"}),
    ("A 5 in r3c4 was not possible, r7c4 would be left empty.", {"r3c4-5"}),
    ("Row two had its 3 in r2c4.", {"r2c4=3"}),
    ("By then I could see that r8c8 was a 6.", {"r8c8=6"}),
    ("X-wing on 4: r1c2 not 4, r1c3 not 4.", {"r1c2-4", "r1c3-4"}),
]  # fmt: skip


@pytest.mark.parametrize(("said", "meant"), MEANT)
def test_each_clause_has_its_own_cell_and_digit(said: str, meant: set[str]) -> None:
    assert marks(CLASSIC, said) == meant
