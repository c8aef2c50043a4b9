"""Solvers lent from engine to engine: nothing that one adds binds the next."""

from __future__ import annotations

import gc

import pytest

from gridassay.encodings.documents import read_document
from gridassay.encodings.puzzle import Fact, Puzzle
from gridassay.verify.budget import Clock, OutOfTime
from gridassay.verify.counting.solution_count import solution_count
from gridassay.verify.engines import shared_solvers
from gridassay.verify.engines.sat import SatEngine

CLOCK = Clock(float("inf"))

IMPOSSIBLE = """
[[rule]]
kind = "cage"
cells = "r1c1..r1c4"
sum = 11
"""
WITNESS = """
[[rule]]
kind = "cage"
cells = "r1c1 r1c2"
sum = 3
[[rule]]
kind = "thermometer"
cells = "r1c3 r2c3 r3c3"
"""
OTHERS = [
    '[[rule]]\nkind = "little-killer"\nstart = "r1c2"\ndirection = "down-right"\nsum = 7\n',
    '[[rule]]\nkind = "x-sum"\nline = "r2"\nside = "left"\nsum = 6\n',
    '[[rule]]\nkind = "nonconsecutive"\n',
    '[[rule]]\nkind = "sequence"\ncells = "r1c1..r4c1"\npattern = "[12].*3"\n',
]


def puzzle(rules: str) -> Puzzle:
    return read_document("size = 4\n" + rules)


def number(engine: SatEngine) -> int:
    return solution_count(engine, (), CLOCK).count


@pytest.fixture(autouse=True)
def nothing_kept() -> None:
    gc.collect()
    shared_solvers.forget_lent()


def fresh(rules: str) -> int:
    """The number of solutions by a solver of its own."""
    return number(SatEngine(puzzle(rules).model, CLOCK, {"In": "direct"}))


def test_many_tenants_of_one_solver() -> None:
    expected = [fresh(rules) for rules in (WITNESS, *OTHERS)]
    for _ in range(shared_solvers.LENDINGS):
        for rules, count in zip((WITNESS, *OTHERS), expected, strict=True):
            assert SatEngine(puzzle(IMPOSSIBLE).model, CLOCK).solve((), CLOCK) is None
            assert len(shared_solvers.pool().waiting) == 1
            assert number(SatEngine(puzzle(rules).model, CLOCK)) == count


def test_engines_alive_at_once_have_solvers_of_their_own() -> None:
    one, other = SatEngine(puzzle(WITNESS).model, CLOCK), SatEngine(puzzle(IMPOSSIBLE).model, CLOCK)
    assert other.solve((), CLOCK) is None
    assert number(one) == fresh(WITNESS)
    assert other.solve((), CLOCK, on=()) is not None


def test_reasons_name_no_pass() -> None:
    SatEngine(puzzle(OTHERS[0]).model, CLOCK)
    engine = SatEngine(puzzle(WITNESS).model, CLOCK)
    cells = engine.model.shown
    assert engine.solve([Fact(cells[0], 4)], CLOCK) is None
    premises = engine.why().premises
    assert "cage r1c1 r1c2" in premises
    assert engine.solve([Fact(cells[0], 4)], CLOCK, on=premises) is None


def test_a_load_cut_short_leaves_nothing_behind() -> None:
    SatEngine(puzzle(OTHERS[0]).model, CLOCK)
    with pytest.raises(OutOfTime):
        SatEngine(puzzle(IMPOSSIBLE + WITNESS).model, Clock(0))
    gc.collect()
    assert len(shared_solvers.pool().waiting) == 1
    assert number(SatEngine(puzzle(WITNESS).model, CLOCK)) == fresh(WITNESS)
