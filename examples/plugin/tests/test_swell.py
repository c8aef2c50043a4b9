"""Swell lines: a count known from elsewhere, both engines, and the example puzzle.

Run with pytest once the package is installed.
"""

from __future__ import annotations

from itertools import permutations
from pathlib import Path

from skerry_rules import Swell

from gridassay.encodings.board import Board, Filled
from gridassay.encodings.documents import read_document
from gridassay.verify.counting.verdict import check

LINE = """
rows = 1
columns = 6
houses = "none"
digits = [1, 2, 3, 4, 5, 6]
[[rule]]
kind = "swell"
cells = "r1c1..r1c6"
"""


def test_permutations_that_alternate() -> None:
    # Euler's zigzag numbers (OEIS A000111): 61 of the permutations of 6 rise and fall in turn.
    puzzle = read_document(LINE)
    kept = sum(next(puzzle.violations(row), None) is None for row in permutations(range(1, 7)))
    assert kept == 61


def test_both_engines_find_the_harbour_puzzle_unique() -> None:
    file = Path(__file__).parents[1] / "swell.toml"
    assert (
        check(read_document(file.read_text(encoding="utf-8"), str(file)), engine="both").status
        == "unique"
    )


def test_falling_lines_are_rising_ones_upside_down() -> None:
    board = read_document(LINE).board
    cells = board.canvas.cells
    rising = Swell(cells=cells)
    falling = Swell(cells=cells, starts="falling")
    for row in permutations(range(1, 7)):
        flipped = [7 - digit for digit in row]
        assert rising.holds(_fill(board, row)) is falling.holds(_fill(board, flipped))


def _fill(board: Board, digits: list[int] | tuple[int, ...]) -> Filled:
    return Filled(board, dict(zip(board.canvas.cells, digits, strict=True)))
