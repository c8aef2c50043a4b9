"""The puzzles by which the growth of layers is measured: each has the solution that it was made from."""

from __future__ import annotations

import pytest

from benchmarks.layer_growth import PUZZLES, SHARE
from gridassay.verify import check


@pytest.mark.parametrize("what", PUZZLES)
def test_a_third_of_a_known_solution_is_given(what: str) -> None:
    make, _ = PUZZLES[what]
    puzzle = make(6)
    assert check(puzzle, budget=300).status in ("unique", "multiple")
    everywhere = len(puzzle.board.shown)
    assert 0 < len(puzzle.givens) <= everywhere // SHARE
    assert make(6) == puzzle
    assert len(make(8).canvas.cells) == 64
