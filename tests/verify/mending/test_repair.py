"""Repairs, the nearest solutions, counts and possible digits held against brute force and clingo."""

from __future__ import annotations

import random
from itertools import combinations, product

import clingo
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pysat.examples.optux import OptUx
from pysat.formula import WCNF

from gridassay.encodings.documents import read_document
from gridassay.encodings.grid import Canvas, Cell, Grid, canvas_of
from gridassay.encodings.puzzle import Fact, Puzzle, Solution
from gridassay.verify import check, read
from gridassay.verify.budget import Clock, OutOfTime
from gridassay.verify.counting.nearest_pair import nearest_solutions
from gridassay.verify.counting.possible import possible_values
from gridassay.verify.counting.solution_count import solution_count, some_solutions
from gridassay.verify.engines import enumerator_for, sat_engine_for
from gridassay.verify.engines.sat import SatEngine
from gridassay.verify.mending import repairs
from gridassay.verify.mending.explanation import explain
from gridassay.verify.mending.repairs import any_repair, repair, rule_repair

from ..plain_nine import plain_clauses, plain_literal
from ..small import all_grids, random_puzzle, solutions

SEEDS = st.integers(0, 10**6)


def fewest_extra(puzzle: Puzzle, towards: Solution, grids: list[Solution]) -> int:
    """The least number of cells of one solution that no other solution shares, by every subset."""
    return next(
        size
        for size in range(17)
        if any(
            all(any(other[p] != towards[p] for p in places) for other in grids if other != towards)
            for places in combinations(range(16), size)
        )
    )


@settings(max_examples=30, deadline=None)
@given(SEEDS, st.integers(0, 5), st.integers(0, 2))
def test_a_repair_is_the_smallest_by_brute_force(seed: int, givens: int, rules: int) -> None:
    puzzle = random_puzzle(seed, givens, rules=rules)
    grids = solutions(puzzle)
    found = repair(puzzle, grids[0], budget=Clock(60))
    assert found is not None
    assert found.proved
    assert len(found.givens) == fewest_extra(puzzle, grids[0], grids)
    mended = check(Puzzle(puzzle.canvas, (*puzzle.givens, *found.givens), puzzle.rules))
    assert mended.solutions == (grids[0],)


@settings(max_examples=10, deadline=None)
@given(SEEDS)
def test_any_solution_is_the_smallest_of_all_when_all_are_tried(seed: int) -> None:
    puzzle = random_puzzle(seed, 4)
    grids = solutions(puzzle)
    found = any_repair(puzzle, budget=Clock(60), tries=288)
    assert found is not None
    assert (found.tried, found.all_tried) == (len(grids), True)
    assert len(found.givens) == min(fewest_extra(puzzle, grid, grids) for grid in grids)


def test_only_some_solutions_are_tried_where_there_are_many() -> None:
    found = any_repair(read("." * 16), budget=Clock(60), tries=3)
    assert found is not None
    assert (found.tried, found.all_tried) == (3, False)
    # No 4×4 puzzle of three givens has one solution, and some of four have: see the rule reference.
    assert len(found.givens) >= 4


ARROWS = """
size = 4
givens = "1... .... .... ...."
[[rule]]
kind = "thermometer"
cells = "r1c1 r1c2 r1c3 r1c4"
[[rule]]
id = "south"
kind = "thermometer"
cells = "r2c1 r3c1 r4c1"
optional = true
[[rule]]
id = "east"
kind = "cage"
cells = "r2c1 r2c2"
sum = 7
optional = true
[[rule]]
id = "idle"
kind = "cage"
cells = "r1c1 r1c2"
sum = 3
optional = true
"""


def test_the_fewest_optional_rules_are_chosen_by_every_subset() -> None:
    puzzle = read_document(ARROWS, "arrows.toml")
    found = rule_repair(puzzle, budget=Clock(60))
    assert found is not None
    engine = sat_engine_for(puzzle, Clock(60))
    on = [p.name for p in puzzle.model.premises if not p.optional]
    sizes = [
        size
        for size in range(4)
        for chosen in combinations(("south", "east", "idle"), size)
        if solution_count(engine, puzzle.givens, Clock(60), on=[*on, *chosen], limit=2).count == 1
    ]
    if sizes:
        assert found.rules is not None
        assert len(found.rules) == min(sizes)
        count = solution_count(engine, puzzle.givens, Clock(60), on=[*on, *found.rules], limit=2)
        assert count.to_json() == {"count": 1, "exact": True}
    else:
        assert found.rules is None


@pytest.mark.parametrize(
    ("optional", "needed"),
    [
        (("r2c1 r2c2 r2c3 r2c4",), None),
        (("r1c2 r2c1 r3c2",), None),
        (("r2c1 r2c2", "r3c1 r4c1", "r3c2 r4c2", "r2c1 r3c2"), "some"),
    ],
)
def test_optional_rules_are_enough_or_said_not_to_be(
    optional: tuple[str, ...], needed: str | None
) -> None:
    rules = "".join(
        f'[[rule]]\nkind = "thermometer"\ncells = "{cells}"\noptional = true\n'
        for cells in optional
    )
    puzzle = read_document(f'size = 4\ngivens = "12.. .... .... ...."\n{rules}', "o.toml")
    found = rule_repair(puzzle, budget=Clock(60))
    assert found is not None
    whole = Puzzle(
        puzzle.canvas,
        puzzle.givens,
        tuple(rule.model_copy(update={"optional": False}) for rule in puzzle.rules),
    )
    enough = check(whole).status == "unique"
    assert (found.rules is not None) == enough


@settings(max_examples=30, deadline=None)
@given(SEEDS, st.integers(0, 6), st.integers(0, 2))
def test_nearest_count_and_possible_by_brute_force(seed: int, givens: int, rules: int) -> None:
    puzzle = random_puzzle(seed, givens, rules=rules)
    grids = solutions(puzzle)
    engine = sat_engine_for(puzzle, Clock(60))
    assert solution_count(engine, puzzle.givens, Clock(60)).to_json() == {
        "count": len(grids),
        "exact": True,
    }
    possible = possible_values(engine, puzzle.givens, Clock(60))
    for place, cell in enumerate(puzzle.canvas.cells):
        assert possible[cell] == {grid[place] for grid in grids}
    if len(grids) < 2:
        return
    nearest = nearest_solutions(puzzle, (grids[0], grids[-1]), budget=Clock(60))
    assert nearest.proved
    assert {nearest.first, nearest.second} <= set(grids)
    assert len(nearest.differs) == min(
        sum(a != b for a, b in zip(one, other, strict=True))
        for one, other in combinations(grids, 2)
    )


def test_no_possible_digit_where_there_is_no_solution() -> None:
    puzzle = read("11" + "." * 14)
    engine = sat_engine_for(puzzle, Clock(60))
    assert set(possible_values(engine, puzzle.givens, Clock(60)).values()) == {frozenset()}


@pytest.mark.parametrize("seed", range(3))
def test_a_repair_as_small_as_the_smallest_mus_of_python_sat(seed: int) -> None:
    # The facts of the named solution against "some cell differs from it": OptUx of python-sat.
    puzzle = random_givens(seed, 22)
    verdict = check(puzzle)
    named = verdict.solutions[0]
    facts = [Fact(c, d) for c, d in zip(puzzle.canvas.cells, named, strict=True)]
    formula = WCNF()
    for clause in plain_clauses():
        formula.append(clause)
    formula.append([-plain_literal(fact) for fact in facts])
    for fact in facts:
        given = fact in puzzle.givens
        formula.append([plain_literal(fact)], weight=None if given else 1)
    with OptUx(formula) as optux:
        smallest = optux.compute()
    found = repair(puzzle, named, budget=Clock(60))
    assert found is not None
    assert found.proved
    assert len(found.givens) == len(smallest)


NEAREST = """
cell(0..8,0..8). digit(1..9). copy(a;b).
1 { x(C,I,J,D) : digit(D) } 1 :- copy(C), cell(I,J).
:- x(C,I,J,D), x(C,I,K,D), J < K.
:- x(C,I,J,D), x(C,K,J,D), I < K.
:- x(C,I,J,D), x(C,K,L,D), (I,J) < (K,L), I/3 == K/3, J/3 == L/3.
:- given(I,J,D), copy(C), not x(C,I,J,D).
differ(I,J) :- x(a,I,J,D), not x(b,I,J,D).
:- not differ(I,J) : cell(I,J).
#minimize { 1,I,J : differ(I,J) }.
"""


def random_givens(seed: int, count: int) -> Puzzle:
    """Givens cut at random from a random 9×9 grid."""
    chance = random.Random(seed)
    empty = read("." * 81)
    engine = SatEngine(empty.model, Clock(60))  # a fresh one, for the same grid every time
    start = [
        Fact(cell, 1 + number) for number, cell in enumerate(chance.sample(empty.canvas.cells, 9))
    ]
    grid = engine.solve(start, Clock(60))
    assert grid is not None
    facts = [Fact(c, d) for c, d in zip(empty.canvas.cells, grid, strict=True)]
    return Puzzle(empty.canvas, tuple(sorted(chance.sample(facts, count))))


@pytest.mark.parametrize("seed", range(3))
def test_the_nearest_two_are_as_near_as_clingo_finds(seed: int) -> None:
    puzzle = random_givens(seed, 36)
    verdict = check(puzzle)
    if verdict.status != "multiple":
        puzzle = random_givens(seed, 30)
        verdict = check(puzzle)
    assert verdict.status == "multiple"
    control = clingo.Control(["--warn=none"])
    facts = "".join(
        f"given({cell.row - 1},{cell.column - 1},{digit})."
        for cell, digit in puzzle.givens
        if isinstance(cell, Cell)
    )
    control.add("base", [], NEAREST + facts)
    control.ground([("base", [])])
    costs: list[int] = []
    control.solve(on_model=lambda model: costs.append(model.cost[0]))
    first, second = verdict.solutions
    nearest = nearest_solutions(puzzle, (first, second), budget=Clock(60))
    assert nearest.proved
    assert len(nearest.differs) == costs[-1]


def latin(size: int) -> Canvas:
    return canvas_of([Grid(size)])


@pytest.mark.parametrize(
    ("puzzle", "count"),
    [
        # Latin squares: OEIS A002860. 4×4 grids with boxes: 288, by trying all in small.py too.
        (Puzzle(latin(4)), 576),
        (Puzzle(latin(5)), 161_280),
        (read("." * 16), 288),
        # 6×6 grids with their first row given: 28,200,960 / 6! (Pettersen 2006, from memory).
        (read("123456" + "." * 30), 39_168),
    ],
)
def test_published_counts(puzzle: Puzzle, count: int) -> None:
    engine = sat_engine_for(puzzle, Clock(60))
    found = solution_count(engine, puzzle.givens, Clock(60), limit=10**6)
    assert (found.count, found.exact) == (count, True)


@pytest.mark.parametrize(
    ("limit", "count", "exact"),
    [(1, 1, False), (287, 287, False), (288, 288, True), (289, 288, True)],
)
def test_a_count_is_exact_up_to_its_limit(limit: int, count: int, exact: bool) -> None:
    engine = sat_engine_for(read("." * 16), Clock(60))
    found = solution_count(engine, (), Clock(60), limit=limit)
    assert (found.count, found.exact) == (count, exact)


@pytest.mark.parametrize("seed", range(3))
def test_the_compiled_search_counts_what_the_enumerator_counts(seed: int) -> None:
    pytest.importorskip("numba", reason="the extra `bulk` is not installed")
    from gridassay.verify.counting.classic import count_classic

    puzzle = random_givens(seed, 24)
    houses = [house.name for house in puzzle.canvas.houses]
    expected = enumerator_for(puzzle.model, Clock(60)).count(
        puzzle.givens, houses, 100_000, Clock(60)
    )
    assert count_classic(puzzle.givens, 100_000, Clock(60)) == expected
    short = expected[0] - 1
    assert count_classic(puzzle.givens, short, Clock(60)) == (short, False)
    engine = sat_engine_for(puzzle, Clock(60))
    found = solution_count(engine, puzzle.givens, Clock(60), limit=100_000)
    assert (found.count, found.exact) == expected
    clash = (*puzzle.givens, Fact(*puzzle.givens[0])._replace(value=puzzle.givens[0].value % 9 + 1))
    assert count_classic(clash, 100_000, Clock(60)) == (0, True)


def test_helpers_and_premises_that_are_off_multiply_no_count() -> None:
    text = 'size = 4\n[[rule]]\nkind = "cage"\ncells = "r1c1 r1c2 r2c1"\nsum = 8\n'
    puzzle = read_document(text, "cage.toml")
    engine = sat_engine_for(puzzle, Clock(60))
    houses = [house.name for house in puzzle.canvas.houses]
    assert solution_count(engine, (), Clock(60), on=houses).count == 288
    cages = sum(
        row[0] + row[1] + row[4] == 8 and len({row[0], row[1], row[4]}) == 3 for row in all_grids()
    )
    assert solution_count(engine, (), Clock(60)).count == cages


def test_a_count_that_runs_out_is_at_least_what_was_counted() -> None:
    puzzle = read("." * 81)
    engine = sat_engine_for(puzzle, Clock(60))
    found = solution_count(engine, (), Clock(0.3), limit=10**9)
    assert not found.exact
    assert 0 < found.count < 10**9


def test_some_solutions_are_different_and_all_when_they_say_so() -> None:
    puzzle = random_puzzle(3, 3)
    engine = sat_engine_for(puzzle, Clock(60))
    grids = solutions(puzzle)
    found = some_solutions(engine, puzzle.givens, Clock(60), limit=288)
    assert found.complete
    assert sorted(found.solutions) == sorted(grids)
    few = some_solutions(engine, puzzle.givens, Clock(60), limit=2)
    assert len(set(few.solutions)) == 2
    assert few.complete == (len(grids) == 2)


def test_letters_count_as_part_of_a_solution() -> None:
    text = """
        rows = 1
        columns = 2
        houses = "none"
        digits = [1, 2, 3]
        [[rule]]
        kind = "cage"
        cells = "r1c1 r1c2"
        sum = "A"
        """
    puzzle = read_document(text, "letters.toml")
    engine = sat_engine_for(puzzle, Clock(60))
    pairs = [(a, b, a + b) for a, b in product((1, 2, 3), repeat=2) if a != b]
    assert solution_count(engine, (), Clock(60)).count == len(pairs)
    nearest = nearest_solutions(puzzle, (pairs[0], pairs[-1]), budget=Clock(60))
    # (1, 2) and (2, 1) differ in two cells and not in their total.
    assert len(nearest.differs) == 2
    assert nearest.proved


def test_when_time_runs_out_the_best_repair_so_far_is_given(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Two of three tries are in time: the better of them, and not all were tried."""
    puzzle = read("." * 16)
    wanted = [3, 2]
    asked = []

    def timely(given: Puzzle, solution: Solution, budget: Clock) -> repairs.Repair:
        asked.append(solution)
        if len(asked) > len(wanted):
            raise OutOfTime
        facts = zip(given.canvas.cells, solution, strict=True)
        return repairs.Repair(
            tuple(Fact(*fact) for fact in facts)[: wanted[len(asked) - 1]], solution, True
        )

    monkeypatch.setattr(repairs, "repair", timely)
    found = any_repair(puzzle, budget=Clock(60), tries=3)
    assert found is not None
    assert (len(found.givens), found.solution) == (2, asked[1])
    assert (found.tried, found.all_tried) == (2, False)
    wanted.clear()
    asked.clear()
    with pytest.raises(OutOfTime):
        any_repair(puzzle, budget=Clock(60), tries=3)


NO_FILLING = """
size = 4
regions = "AAABCCDACDDBCDBB"
"""
"""Three cells of row 1 and r2c4 are a region: r2c4 would repeat the digit of r1c4 in column 4."""


@pytest.mark.parametrize("givens", ["", 'givens = "1... .... .... ...."\n'])
def test_houses_that_fail_by_themselves_are_mended_by_nothing(givens: str) -> None:
    puzzle = read_document(NO_FILLING + givens)
    verdict = check(puzzle)
    assert verdict.status == "none"
    assert repairs.drop(puzzle) is None
    told = explain(verdict, budget=Clock(60)).to_json()
    assert "drop" not in told
    (conflict,) = told["conflicts"][:1]
    assert all(name.split()[0] in ("row", "column", "region") for name in conflict["premises"])


def test_no_given_repairs_what_only_unknowns_leave_open() -> None:
    """The table of the four-group has 8 transversals (McKay, McLeod, Wanless 2006), each its doublers."""
    text = 'size = 4\nbox = "none"\ngivens = "1234 2143 3412 4321"\n[doublers]\n'
    puzzle = read_document(text)
    engine = sat_engine_for(puzzle, Clock(60))
    assert solution_count(engine, puzzle.givens, Clock(60), limit=100).count == 8
    assert repair(puzzle, check(puzzle).solutions[0], budget=Clock(60)) is None
