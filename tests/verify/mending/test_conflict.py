"""Smallest conflicts and drops held against brute force, and against python-sat's smallest MUS."""

from __future__ import annotations

import random
from collections.abc import Iterable
from itertools import combinations

import clingo
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pysat.examples.optux import OptUx
from pysat.formula import WCNF

from gridassay.encodings.documents import read_document
from gridassay.encodings.grid import Cell
from gridassay.encodings.puzzle import Fact, Puzzle
from gridassay.verify import read
from gridassay.verify.budget import Clock
from gridassay.verify.engines import sat_engine_for
from gridassay.verify.engines.sat import SatEngine
from gridassay.verify.mending.conflict import conflict_cells, conflicts
from gridassay.verify.mending.repairs import drop

from ..plain_nine import plain_clauses, plain_literal
from ..small import all_grids, keeps, random_puzzle, solutions

SEEDS = st.integers(0, 10**6)


def consistent(puzzle: Puzzle, clues: Iterable[str]) -> bool:
    """Whether some grid of the 288 keeps all of these clues."""
    wanted = set(clues)
    return any(wanted <= keeps(puzzle, grid) for grid in all_grids())


@settings(max_examples=30, deadline=None)
@given(SEEDS, st.integers(3, 8), st.integers(0, 3))
def test_a_conflict_is_the_smallest_by_brute_force(seed: int, givens: int, rules: int) -> None:
    puzzle = random_puzzle(seed, givens, wrong=2, rules=rules)
    found = conflicts(puzzle, budget=Clock(60)).found
    clues = [*map(str, puzzle.givens), *puzzle.rule_names]
    if solutions(puzzle):
        assert found == ()
        return
    size = next(
        size
        for size in range(1, len(clues) + 1)
        if any(not consistent(puzzle, chosen) for chosen in combinations(clues, size))
    )
    first = found[0]
    assert first.smallest
    assert len(first.givens) + len(first.rules) == size
    assert not consistent(puzzle, [*map(str, first.givens), *first.rules])


@settings(max_examples=30, deadline=None)
@given(SEEDS, st.integers(4, 9), st.integers(0, 3))
def test_no_member_of_a_conflict_can_be_left_out(seed: int, givens: int, rules: int) -> None:
    puzzle = random_puzzle(seed, givens, wrong=3, rules=rules)
    engine = sat_engine_for(puzzle, Clock(60))
    for conflict in conflicts(puzzle, budget=Clock(60)).found:
        facts, names = list(conflict.givens), [*conflict.rules, *conflict.houses]
        assert engine.solve(facts, Clock(60), on=names) is None
        for fact in facts:
            left = [other for other in facts if other != fact]
            assert engine.solve(left, Clock(60), on=names) is not None
        for name in names:
            rest = [other for other in names if other != name]
            assert engine.solve(facts, Clock(60), on=rest) is not None


@settings(max_examples=25, deadline=None)
@given(SEEDS)
def test_the_houses_are_the_fewest_for_that_many_clues(seed: int) -> None:
    puzzle = random_puzzle(seed, 6, wrong=2)
    found = conflicts(puzzle, budget=Clock(60)).found
    if not found:
        return
    engine = sat_engine_for(puzzle, Clock(60))
    houses = [house.name for house in puzzle.canvas.houses]
    fewer = combinations(houses, len(found[0].houses) - 1)
    sets = list(combinations(puzzle.givens, len(found[0].givens)))
    for chosen in fewer:
        assert all(engine.solve(facts, Clock(60), on=chosen) is not None for facts in sets)


@settings(max_examples=30, deadline=None)
@given(SEEDS, st.integers(4, 10), st.integers(0, 3))
def test_the_fewest_clues_are_dropped(seed: int, givens: int, rules: int) -> None:
    puzzle = random_puzzle(seed, givens, wrong=3, rules=rules)
    found = drop(puzzle, budget=Clock(60))
    assert found is not None
    assert found.proved
    count = len(puzzle.givens) + len(puzzle.rules)
    most = max(len(keeps(puzzle, grid)) for grid in all_grids())
    assert len(found.givens) + len(found.rules) == count - most
    dropped = {*map(str, found.givens), *found.rules}
    rest = {*map(str, puzzle.givens), *puzzle.rule_names} - dropped
    assert consistent(puzzle, rest)
    if len(dropped) == 1:
        clues = {*map(str, puzzle.givens), *puzzle.rule_names}
        alone = {clue for clue in clues if consistent(puzzle, clues - {clue})}
        assert {*dropped, *found.instead} == alone


def test_unrelated_conflicts_come_one_after_another() -> None:
    found = conflicts(read("55.......|.........|......7..|......7..|" + "." * 45), budget=Clock(60))
    assert found.complete
    assert [one.premises for one in found.found] in (
        [("r1c1=5", "r1c2=5", house), ("r3c7=7", "r4c7=7", "column 7")]
        for house in ("row 1", "box 1")
    ) or [one.premises for one in found.found] in (
        [("r3c7=7", "r4c7=7", "column 7"), ("r1c1=5", "r1c2=5", house)]
        for house in ("row 1", "box 1")
    )


def test_a_planted_conflict_of_a_cage_and_a_given_needs_no_house() -> None:
    givens = "." * 14 + "9" + "." * 66
    text = f"""
        size = 9
        givens = "{givens}"
        [[rule]]
        kind = "cage"
        cells = "r2c6 r2c7 r3c7"
        sum = 11
        [[rule]]
        kind = "thermometer"
        cells = "r5c1..r5c4"
        """
    puzzle = read_document(text, "planted.toml")
    (conflict,) = conflicts(puzzle, budget=Clock(60)).found
    assert conflict.premises == ("r2c6=9", "cage r2c6 r2c7 r3c7")
    assert conflict.smallest
    assert conflict_cells(puzzle, conflict) == {Cell(2, 6), Cell(2, 7), Cell(3, 7)}


def test_without_time_nothing_is_claimed() -> None:
    found = conflicts(read("55" + "." * 79), budget=Clock(0))
    assert not found.complete
    assert all(not conflict.smallest for conflict in found.found)


def misprinted(seed: int) -> Puzzle:
    """A 9×9 puzzle of 28 givens, one of them wrong in a way that clashes with no other given."""
    chance = random.Random(seed)
    empty = read("." * 81)
    engine = SatEngine(empty.model, Clock(60))  # a fresh one, for the same grid every time
    while True:
        start = [Fact(cell, chance.randint(1, 9)) for cell in chance.sample(empty.canvas.cells, 8)]
        grid = engine.solve(start, Clock(60))
        if grid is None:
            continue
        line = list(empty.line(grid))
        kept = set(chance.sample(range(81), 28))
        line = [digit if place in kept else "." for place, digit in enumerate(line)]
        wrong = chance.choice(sorted(kept))
        line[wrong] = chance.choice("123456789")
        puzzle = read("".join(line))
        clash = any(
            len({line[empty.canvas.index[c]] for c in house.cells} - {"."})
            < sum(line[empty.canvas.index[c]] != "." for c in house.cells)
            for house in empty.canvas.houses
        )
        if not clash and engine.solve(puzzle.givens, Clock(60)) is None:
            return puzzle


@pytest.mark.parametrize("seed", range(3))
def test_as_small_as_the_smallest_mus_of_python_sat(seed: int) -> None:
    # OptUx of python-sat (Ignatiev et al. 2015) on clauses of this test's own.
    puzzle = misprinted(seed)
    formula = WCNF()
    for clause in plain_clauses():
        formula.append(clause)
    for fact in puzzle.givens:
        formula.append([plain_literal(fact)], weight=1)
    with OptUx(formula) as optux:
        smallest = optux.compute()
    (conflict, *_) = conflicts(puzzle, budget=Clock(60)).found
    assert conflict.smallest
    assert len(conflict.givens) == len(smallest)


FEWEST_DROPPED = """
cell(0..8,0..8).
1 { x(I,J,1..9) } 1 :- cell(I,J).
:- x(I,J,D), x(I,K,D), J < K.
:- x(I,J,D), x(K,J,D), I < K.
:- x(I,J,D), x(K,L,D), (I,J) < (K,L), I/3 == K/3, J/3 == L/3.
#minimize { 1,I,J : given(I,J,D), not x(I,J,D) }.
"""


@pytest.mark.parametrize("seed", range(3))
def test_as_few_are_dropped_as_clingo_finds(seed: int) -> None:
    grid = misprinted(seed)
    # Three more givens made wrong, so that one is not enough.
    chance = random.Random(seed)
    givens = list(grid.givens)
    for place in chance.sample(range(len(givens)), 3):
        given = givens[place]
        givens[place] = Fact(given.variable, given.value % 9 + 1)
    puzzle = Puzzle(grid.canvas, tuple(givens))
    control = clingo.Control(["--warn=none"])
    facts = "".join(
        f"given({c.row - 1},{c.column - 1},{d})." for c, d in givens if isinstance(c, Cell)
    )
    control.add("base", [], FEWEST_DROPPED + facts)
    control.ground([("base", [])])
    costs: list[int] = []
    control.solve(on_model=lambda model: costs.append(model.cost[0]))
    found = drop(puzzle, budget=Clock(60))
    assert found is not None
    assert found.proved
    assert len(found.givens) == costs[-1]
