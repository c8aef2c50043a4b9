"""Cages without a total: which total by itself leaves one solution."""

from __future__ import annotations

import pytest

from gridassay.encodings.documents import read_document
from gridassay.verify.budget import Clock
from gridassay.verify.counting.verdict import check
from gridassay.verify.mending.explanation import explain
from gridassay.verify.mending.totals import Total, missing_totals
from gridassay.verify.mending.words import mend_words

# The first cell is the greater of two of 1 to 4: 5 is made by 4 and 1 and by 3 and 2, all else once.
TWO = (
    'rows = 1\ncolumns = 2\nhouses = "none"\ndigits = [1, 2, 3, 4]\n'
    '[[rule]]\nkind = "greater"\ncells = "r1c1 r1c2"\n'
    '[[rule]]\nkind = "cage"\ncells = "r1c1 r1c2"\n'
)


@pytest.mark.parametrize(
    ("solution", "total"), [((2, 1), 3), ((3, 1), 4), ((4, 2), 6), ((4, 1), None), ((3, 2), None)]
)
def test_a_total_mends_where_only_one_pair_makes_it(
    solution: tuple[int, ...], total: int | None
) -> None:
    found = missing_totals(read_document(TWO), solution, Clock(60))
    assert found == (() if total is None else (Total("cage r1c1 r1c2", total),))


def test_it_is_said_and_given_to_programs() -> None:
    puzzle = read_document(TWO)
    explained = explain(check(puzzle), Clock(60), solution=(4, 3))
    assert explained.to_json()["repair_totals"] == [{"rule": "cage r1c1 r1c2", "total": 7}]
    said = "or give the cage r1c1 r1c2 the total 7: that alone leaves one solution"
    assert said in list(mend_words(explained))
