"""Lines with totals: arrows, zippers, pieces of equal total, runs."""

from __future__ import annotations

from itertools import product

import pytest

from gridassay.encodings.documents import read_document
from gridassay.encodings.lines import PuzzleError
from gridassay.encodings.puzzle import Fact, Puzzle
from gridassay.verify.engines.sat import SatEngine

from .boards import count, doublers_agree, line, with_digits
from .witnesses import CLOCK, bare, solutions, witnesses

CLOSED = "closed = true"


def arrow(bulb: str, shaft: str) -> str:
    return f'[[rule]]\nkind = "arrow"\nbulb = "{bulb}"\nshaft = "{shaft}"\n'


def boxed(rule: str, head: str = "size = 4\n") -> Puzzle:
    return read_document(head + rule, "test.toml")


@pytest.mark.parametrize(
    ("bulb", "shaft"),
    [
        ("r1c1", "r1c2..r1c4"),
        ("r1c2 r1c1", "r1c3 r1c4"),
        ("r1c1", "r1c2"),
        ("r1c1 r1c2 r1c3", "r1c4"),
    ],
)
def test_arrows(bulb: str, shaft: str) -> None:
    witnesses(bare(1, 4, 4, arrow(bulb, shaft)))
    witnesses(with_digits(1, 4, [0, 1, 2, 9], arrow(bulb, shaft)))


def test_a_bulb_is_read_row_by_row() -> None:
    # 12 = 9 + 3 and 21 > 9 + 9: only the upper left cell can be the tens, whichever is listed first.
    puzzle = bare(2, 2, 9, arrow("r2c1 r1c2", "r1c1 r2c2"))
    assert {(row[1], row[2]) for row in solutions(SatEngine(puzzle.model, CLOCK))} == {
        (1, units) for units in range(1, 9)
    }


@pytest.mark.parametrize("kind", ["double-arrow", "zipper"])
@pytest.mark.parametrize("length", [3, 4, 5])
def test_witnesses(kind: str, length: int) -> None:
    witnesses(bare(1, length, 4 if length < 5 else 3, line(kind, f"r1c1..r1c{length}")))
    witnesses(with_digits(1, length, [0, 1, 4], line(kind, f"r1c1..r1c{length}")))


def test_long_sums() -> None:
    witnesses(with_digits(1, 6, [0, 1, 4], line("double-arrow", "r1c1..r1c6")))
    witnesses(with_digits(1, 7, [1, 3], arrow("r1c4", "r1c1..r1c3 r1c5..r1c7")))
    witnesses(with_digits(1, 7, [0, 9], arrow("r1c2 r1c1", "r1c3..r1c7")))


def test_zippers_counted_by_hand() -> None:
    # A middle d has d - 1 ordered pairs that total it, for each of the two pairs.
    expected = sum((middle - 1) ** 2 for middle in range(1, 10))
    assert count(bare(1, 5, 9, line("zipper", "r1c1..r1c5"))) == expected


@pytest.mark.parametrize(
    "fields", ["total = 3", "total = 5", "total = 0", "total = -1", "total = 1000000"]
)
def test_sum_runs(fields: str) -> None:
    witnesses(with_digits(1, 4, [0, 1, 2, 5], line("sum-run", "r1c1..r1c4", fields)))
    closed = f"{fields}\n{CLOSED}"
    witnesses(with_digits(2, 2, [0, 1, 3], line("sum-run", "r1c1 r1c2 r2c2 r2c1", closed)))


def test_sum_runs_with_a_letter() -> None:
    witnesses(bare(1, 3, 2, line("sum-run", "r1c1..r1c3", 'total = "A"')))
    witnesses(
        with_digits(2, 2, [0, 2], line("sum-run", "r1c1 r1c2 r2c1", f'total = "A"\n{CLOSED}'))
    )


def test_sum_runs_counted_as_compositions() -> None:
    # Runs of total 3 out of parts 1, 2, 3 are the compositions of 3: 3, 12, 21, 111. Four cells are
    # two runs (1 + 3, 2 + 2, 3 + 1 cells), three (1 + 1 + 2 in 3 orders) or four of one cell.
    expected = (1 * 1 + 2 * 2 + 1 * 1) + 3 * 2 + 1
    assert count(bare(1, 4, 9, line("sum-run", "r1c1..r1c4", "total = 3"))) == expected


REGION_LINES = [
    ("r1c1 r1c2 r1c3", ""),
    ("r1c1 r1c2 r1c3 r2c3", ""),
    ("r1c2 r1c3 r2c2 r2c3 r3c3", ""),
    ("r1c2 r1c3 r2c3 r2c2", CLOSED),
    ("r1c1 r1c2 r1c3 r2c2 r2c1", CLOSED),
]


@pytest.mark.parametrize(("cells", "fields"), REGION_LINES)
def test_region_sums_over_all_grids(cells: str, fields: str) -> None:
    """Brute force over the 288 grids of order 4: what the clauses keep is what the reading keeps."""
    puzzle = boxed(line("region-sum", cells, fields))
    every = solutions(SatEngine(boxed("").model, CLOCK))
    assert len(every) == 288
    kept = {row for row in every if next(puzzle.violations(row), None) is None}
    assert set(solutions(SatEngine(puzzle.model, CLOCK))) == kept


def test_region_sums_without_houses() -> None:
    """All digits along a line with three pieces, no house on."""
    puzzle = boxed(line("region-sum", "r1c2 r1c3 r2c3 r2c2 r1c1"))
    cells, engine = puzzle.rules[0].where(), SatEngine(puzzle.model, CLOCK)
    for digits in product(range(1, 5), repeat=5):
        a, b, c, d, e = digits
        facts = [Fact(cell, digit) for cell, digit in zip(cells, digits, strict=True)]
        found = engine.solve(facts, CLOCK, on=puzzle.rule_names)
        assert (found is not None) == (a == b + c == d + e)


TWO_GRIDS = """
digits = [1, 2, 3, 4]
[[grid]]
size = 4
[[grid]]
at = "r3c3"
size = 4
"""


def test_the_grid_whose_boxes_cut_the_line() -> None:
    cells = "r3c4 r3c5 r4c5"
    puzzle = boxed(line("region-sum", cells), TWO_GRIDS)
    assert [part.label for part in puzzle.rules[0].parts(puzzle.board)] == [
        "region-sum r3c5 r4c5 = r3c4"
    ]
    with pytest.raises(PuzzleError, match="r3c5 is not in grid A"):
        boxed(line("region-sum", cells, 'grid = "A"'), TWO_GRIDS)
    with pytest.raises(PuzzleError, match="say which grid is meant"):
        boxed(line("region-sum", "r2c2 r3c3 r5c5"), TWO_GRIDS)


@pytest.mark.parametrize(
    "rule",
    [
        line("double-arrow", "r1c1 r1c2 r1c3"),
        line("zipper", "r1c1 r1c2 r2c2 r2c1"),
        line("sum-run", "r1c1 r1c2 r2c2", "total = 6"),
        arrow("r1c1", "r2c1 r2c2"),
        arrow("r1c1 r1c2", "r2c1 r2c2 r2c3 r3c3"),
    ],
)
def test_doublers_count_double_in_totals(rule: str) -> None:
    assert doublers_agree(rule) > 0


@pytest.mark.parametrize(
    ("rule", "message"),
    [
        (arrow("", "r1c1"), "bulb has no cells"),
        (arrow("r1c1", ""), "shaft has no cells"),
        (arrow("r1c1", "r1c2 r1c1"), "r1c1 is listed twice"),
        (line("zipper", "r1c1 r1c2"), "cells lists 2, but at least 3 are needed"),
        (line("region-sum", "r1c1 r1c2"), "must cross a border"),
        (line("sum-run", "r1c1 r1c2"), "total is missing"),
    ],
)
def test_errors(rule: str, message: str) -> None:
    with pytest.raises(PuzzleError, match=message):
        boxed(rule)


def test_errors_of_the_canvas() -> None:
    with pytest.raises(PuzzleError, match="a bulb of several cells needs digits up to 9, not 16"):
        boxed(arrow("r1c1 r1c2", "r1c3"), "size = 16\n")
    with pytest.raises(PuzzleError, match="needs boxes or regions, but the grid has none"):
        boxed(line("region-sum", "r1c1 r1c2"), 'size = 4\nbox = "none"\n')
    with pytest.raises(PuzzleError, match="the canvas has none"):
        bare(1, 3, 4, line("region-sum", "r1c1 r1c2"))
