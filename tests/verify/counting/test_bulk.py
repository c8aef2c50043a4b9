"""The compiled search for classic grids agrees with the SAT engine on every kind of grid."""

from __future__ import annotations

import random

import numpy as np
import pytest

from gridassay.encodings.grid import Grid, canvas_of, classic
from gridassay.encodings.puzzle import Fact, Puzzle
from gridassay.verify import check, read
from gridassay.verify.counting.classic import UNDECIDED, bulk_verdicts, count_to_two

from ... import published
from .test_verdict import random_puzzles


def spoilt(line: str, rng: random.Random) -> str:
    """A published grid with a given less or another digit."""
    symbols = list(line)
    place = rng.choice([place for place, symbol in enumerate(line) if symbol not in ".0"])
    symbols[place] = rng.choice("..123456789")
    return "".join(symbols)


def test_agreement_with_the_engine() -> None:
    rng = random.Random(1)
    puzzles = random_puzzles(classic(9), 150, 9)
    puzzles += [read(spoilt(rng.choice(published.SEVENTEEN), rng)) for _ in range(150)]
    puzzles += [read(line) for line in published.SEVENTEEN]
    found = bulk_verdicts(puzzles)
    statuses = {verdict.status for verdict in found if verdict}
    assert statuses == {"unique", "multiple", "none"}
    for puzzle, verdict in zip(puzzles, found, strict=True):
        assert verdict is not None
        expected = check(puzzle)
        assert verdict.status == expected.status, puzzle.given_line()
        if verdict.status == "unique":
            assert verdict.solutions == expected.solutions
        assert len({*verdict.solutions}) == len(expected.solutions)
        assert not any(found for one in verdict.solutions for found in puzzle.violations(one))


def test_other_grids_are_left_alone() -> None:
    latin = Puzzle(canvas_of([Grid(9)]))
    assert bulk_verdicts([latin, read("." * 16)]) == [None, None]


def test_beyond_the_limit_it_says_undecided() -> None:
    grid = np.zeros((1, 81), dtype=np.int8)
    assert count_to_two(grid, node_limit=1)[0][0] == UNDECIDED


def test_two_givens_in_one_cell() -> None:
    canvas = classic(9)
    puzzle = Puzzle(canvas, (Fact(canvas.cells[0], 1), Fact(canvas.cells[0], 2)))
    (verdict,) = bulk_verdicts([puzzle])
    assert (verdict or check(puzzle)).status == "none"


@pytest.mark.parametrize("line", [published.ENCYCLOPAEDIA, published.LIBRARY])
def test_published_examples(line: str) -> None:
    (verdict,) = bulk_verdicts([read(line)])
    assert verdict is not None
    assert verdict.status == "unique"


def test_each_has_its_own_seconds() -> None:
    found = bulk_verdicts([read(line) for line in published.SEVENTEEN])
    assert len({verdict.seconds for verdict in found if verdict}) > 1
