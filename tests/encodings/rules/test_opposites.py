"""Clauses that follow from two connected groups lose no solution, and bind with both rules only."""

from __future__ import annotations

import pytest

from gridassay.encodings.puzzle import Fact
from gridassay.verify.engines.one_shot import OutrightEngine
from gridassay.verify.engines.sat import SatEngine

from .boards import count
from .test_shadings import board, rule
from .witnesses import CLOCK, read_plainly, solutions

DEEP, SHALLOW = '"deep"', '"shallow"'
THREE = '["deep", "shallow", "land"]'
BOTH = rule("connected") + rule("connected", value=SHALLOW)


def test_two_colours_both_connected() -> None:
    """12, 106, 1,254 for n = 2 to 4 (twice OEIS A068416)."""
    assert [count(board(n, n, BOTH)) for n in (2, 3, 4)] == [12, 106, 1254]


@pytest.mark.parametrize("size", [(1, 5), (2, 2), (2, 5), (3, 3), (3, 4)], ids=str)
@pytest.mark.parametrize(
    "text",
    [
        BOTH,
        rule("connected", "empty = true") + rule("connected", value=SHALLOW),
        rule("connected") + rule("to-the-edge", value=SHALLOW),
        rule("to-the-edge") + rule("to-the-edge", value=SHALLOW),
        rule("connected") + rule("group-size", 'cells = "r1c2"', 'sizes = ["any"]', value=SHALLOW),
        BOTH + rule("to-the-edge") + rule("no-square"),
    ],
)
def test_no_solution_is_lost(size: tuple[int, int], text: str) -> None:
    puzzle = board(*size, text)
    assert set(solutions(SatEngine(puzzle.model, CLOCK))) == read_plainly(puzzle)


@pytest.mark.parametrize("size", [(2, 3), (2, 4)], ids=str)
def test_nor_where_there_are_further_values(size: tuple[int, int]) -> None:
    puzzle = board(*size, BOTH, values=THREE)
    assert set(solutions(SatEngine(puzzle.model, CLOCK))) == read_plainly(puzzle)


def test_nor_around_a_hole() -> None:
    """Three rows of three around a hole: the groups may be arcs of the ring, 8 × 7 of them."""
    ring = 'digits = "none"\ngivens = """\n...\n._.\n...\n"""'
    puzzle = board(3, 3, BOTH, head=ring)
    found = set(solutions(SatEngine(puzzle.model, CLOCK)))
    assert found == read_plainly(puzzle)
    assert len(found) == 8 * 7


def test_each_rule_alone_is_as_it_was() -> None:
    puzzle = board(3, 3, BOTH)
    engine = SatEngine(puzzle.model, CLOCK)
    names = [premise.name for premise in puzzle.model.premises]
    for name, value in zip(names, (DEEP, SHALLOW), strict=True):
        alone = board(3, 3, rule("connected", value=value))
        assert set(solutions(engine, on=[name])) == read_plainly(alone)


def test_an_edge_in_four_pieces_is_refused_at_once() -> None:
    puzzle = board(9, 9, BOTH)
    first, second = puzzle.model.domains[puzzle.model.shown[0]]
    at = dict(
        zip([(c.row, c.column) for c in puzzle.canvas.cells], puzzle.model.shown, strict=True)
    )
    corners = [(1, 1), (1, 9), (9, 9), (9, 1)]
    facts = [Fact(at[place], (first, second)[n % 2]) for n, place in enumerate(corners)]
    engine = SatEngine(puzzle.model, CLOCK)
    assert engine.solve(facts, CLOCK) is None
    assert engine.effort()["conflicts"] < 100
    assert OutrightEngine(puzzle.model, facts, CLOCK).solve(CLOCK) is None
