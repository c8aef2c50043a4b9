"""A value left out of a rule, or a whole mark: which by itself leaves one solution."""

from __future__ import annotations

import random
from collections.abc import Callable
from itertools import permutations, product

import pytest

from gridassay.encodings.documents import read_document
from gridassay.verify.budget import Clock
from gridassay.verify.counting.verdict import check
from gridassay.verify.mending.explanation import explain
from gridassay.verify.mending.missing import missing_values
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
    found = missing_values(read_document(TWO), solution, Clock(60))
    told = [(one.name, one.key, one.value) for one in found if one.is_total]
    assert told == ([] if total is None else [("cage r1c1 r1c2", "sum", total)])


def test_it_is_said_and_given_to_programs() -> None:
    puzzle = read_document(TWO)
    explained = explain(check(puzzle), budget=Clock(60), solution=(4, 3))
    assert explained.to_json()["repair_totals"] == [{"rule": "cage r1c1 r1c2", "total": 7}]
    said = "or give the cage r1c1 r1c2 the total 7: that alone leaves one solution"
    assert said in list(mend_words(explained))


def grids() -> list[tuple[int, ...]]:
    """All 288 sudoku grids of order 2 (Wikipedia, Mathematics of Sudoku), by trying rows."""
    rows = list(permutations((1, 2, 3, 4)))
    found = [
        (*a, *b, *c, *d)
        for a, b in product(rows, repeat=2)
        if {*a[:2], *b[:2]} == {1, 2, 3, 4} and all(x != y for x, y in zip(a, b, strict=True))
        for c, d in product(rows, repeat=2)
        if {*c[:2], *d[:2]} == {1, 2, 3, 4}
        and all(len(set(column)) == 4 for column in zip(a, b, c, d, strict=True))
    ]
    assert len(found) == 288
    return found


PAIRS = [(r * 4 + c, r * 4 + c + step) for r in range(4) for c in range(4) for step in (1, 4)]
PAIRS = [(a, b) for a, b in PAIRS if b < 16 and (b - a == 4 or b % 4)]
MEANT: dict[str, Callable[[int, int], bool]] = {
    "consecutive-pair": lambda a, b: abs(a - b) == 1,
    "double-pair": lambda a, b: a == 2 * b or b == 2 * a,
}


def named(place: int) -> str:
    return f"r{place // 4 + 1}c{place % 4 + 1}"


@pytest.mark.parametrize("kind", list(MEANT))
@pytest.mark.parametrize("seed", range(4))
def test_a_mark_was_left_out_of_a_small_grid(kind: str, seed: int) -> None:
    """Against all grids of order 2: dots enough to leave few grids, then each further dot tried."""
    chance = random.Random(seed)
    meant, every = MEANT[kind], grids()
    wanted = chance.choice(every)
    dotted = [pair for pair in PAIRS if meant(*(wanted[place] for place in pair))]
    chance.shuffle(dotted)
    drawn: list[tuple[int, int]] = []
    given = {0: wanted[0], 6: wanted[6]}
    left = [grid for grid in every if all(grid[place] == d for place, d in given.items())]
    while len(left) > 6 and dotted:
        a, b = dotted.pop()
        drawn.append((a, b))
        left = [grid for grid in left if meant(grid[a], grid[b])]
    marks = "".join(
        f'[[rule]]\nkind = "{kind}"\ncells = "{named(a)} {named(b)}"\n' for a, b in drawn
    )
    rows = ["".join(str(given.get(4 * r + c, ".")) for c in range(4)) for r in range(4)]
    puzzle = read_document(f'size = 4\ngivens = "{" ".join(rows)}"\n{marks}')
    expected = {
        f"{kind} {named(a)} {named(b)}"
        for a, b in PAIRS
        if (a, b) not in drawn and [g for g in left if meant(g[a], g[b])] == [wanted]
    }
    found = missing_values(puzzle, wanted, Clock(60))
    assert {one.name for one in found} == expected
    assert all(one.key is None and one.to_json() == {"add": one.name} for one in found)


def test_nothing_is_added_where_a_rule_looks_at_what_is_drawn() -> None:
    text = (
        'rows = 1\ncolumns = 3\nhouses = "none"\ndigits = [1, 2, 3, 4]\n'
        '[[rule]]\nkind = "consecutive-pair"\ncells = "r1c1 r1c2"\n'
        '[[rule]]\nkind = "marks-complete"\nkinds = ["consecutive-pair"]\n'
    )
    puzzle = read_document(text)
    verdict = check(puzzle)
    assert verdict.status == "multiple"
    assert missing_values(puzzle, verdict.solutions[0], Clock(60)) == ()


def test_a_calculation_without_its_sign() -> None:
    """6 from 1 to 3 in a row of two cells: 2 and 3 by times alone; a sum of 6 needs equal digits."""
    text = (
        'rows = 1\ncolumns = 2\nhouses = "none"\ndigits = [1, 2, 3, 4, 5, 6, 7]\n'
        '[[rule]]\nkind = "greater"\ncells = "r1c2 r1c1"\n'
        '[[rule]]\nkind = "calculation-cage"\ncells = "r1c1 r1c2"\ntarget = 6\n'
    )
    for solution, sign in (((2, 3), None), ((1, 7), "-")):
        found = missing_values(read_document(text), solution, Clock(60))
        assert [(one.key, one.value) for one in found] == ([("operation", sign)] if sign else [])
    explained = explain(check(read_document(text)), budget=Clock(60), solution=(1, 7))
    said = "or give the 6 calculation cage r1c1 r1c2 operation -: that alone leaves one solution"
    assert said in list(mend_words(explained))
