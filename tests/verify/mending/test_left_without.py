"""How many solutions are left without what is dropped: counted among all 288 grids of size 4."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest

from gridassay.encodings.puzzle import Fact
from gridassay.verify import read
from gridassay.verify.mending.repairs import drop

from ..minimal import CLOCK
from ..small import CELLS, all_grids, fitting, puzzle_of


def left_without(givens: list[Fact], cell: str) -> int:
    """The grids with every given but that of one cell."""
    return len(fitting(given for given in givens if str(given.variable) != cell))


@pytest.mark.parametrize("seed", range(12))
def test_a_false_given_dropped_leaves_one_grid_or_several(seed: int) -> None:
    chance = random.Random(seed)
    grid = chance.choice(all_grids())
    places = chance.sample(range(16), chance.choice((5, 6, 8)))
    puzzle = puzzle_of(grid, places[1:])
    others = [Fact(CELLS[places[0]], digit) for digit in range(1, 5) if digit != grid[places[0]]]
    false = next(fact for fact in others if not fitting([*puzzle.givens, fact]))
    givens = [*puzzle.givens, false]
    found = drop(replace(puzzle, givens=tuple(givens)), budget=CLOCK)
    assert found is not None
    (dropped,) = found.givens
    assert found.rules == ()
    assert str(dropped) not in found.instead
    told = {str(dropped.variable): found.leaves}
    told |= {one.partition("=")[0]: left for one, left in found.instead.items()}
    counts = {str(given.variable): left_without(givens, str(given.variable)) for given in givens}
    wanted = {
        cell: "unique" if count == 1 else "multiple" for cell, count in counts.items() if count
    }
    assert told == wanted


def test_a_rule_that_cannot_hold_is_dropped_but_no_optional_one() -> None:
    """Two different digits up to 4 total 7 at the most, so 8 is too much."""
    cage = '[[rule]]\nkind = "cage"\ncells = "r1c1 r1c2"\nsum = 8\n'
    found = drop(read(f"size = 4\n{cage}"), budget=CLOCK)
    assert found is not None
    assert (found.givens, len(found.rules), found.leaves) == ((), 1, "multiple")
    odd = '[[rule]]\nkind = "odd"\ncells = "r1c1"\noptional = true\n'
    kept = drop(read(f"size = 4\n{cage}{odd}"), budget=CLOCK)
    assert kept is not None
    assert kept.rules == found.rules
