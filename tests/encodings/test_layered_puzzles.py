"""Random small puzzles with layers against brute force by the plain reading."""

from __future__ import annotations

import pytest

from gridassay.encodings.puzzle import Solution
from gridassay.verify import check
from gridassay.verify.budget import Clock
from gridassay.verify.engines.sat import SatEngine

from .layered_puzzles import layered
from .rules.witnesses import read_plainly


@pytest.mark.parametrize("block", range(4))
def test_solutions_are_those_of_brute_force(block: int) -> None:
    for seed in range(25 * block, 25 * (block + 1)):
        puzzle = layered(seed)
        if puzzle is None:
            continue
        plain = read_plainly(puzzle)
        engine, found, demands = SatEngine(puzzle.model, Clock(60)), set[Solution](), []
        while (one := engine.solve(puzzle.givens, Clock(60), demands=demands)) is not None:
            found.add(one)
            demands.append(engine.forbid(one))
        assert found == plain, puzzle.source


def test_engines_agree() -> None:
    for seed in range(100, 112):
        puzzle = layered(seed)
        if puzzle is not None:
            plain = read_plainly(puzzle)
            status = ("none", "unique", "multiple")[min(2, len(plain))]
            assert check(puzzle, engine="both", budget=60).status == status, puzzle.source
