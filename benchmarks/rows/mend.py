"""Rows for faults and repairs: possible digits, conflicts, nearest solutions,
counts.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import cache
from random import Random

from benchmarks.maker import random_solution
from benchmarks.measure import Measured, Row, inverse, ratio, seconds, spread
from benchmarks.peers import cp_possible, cpmpy_mus
from gridassay.encodings.grid import Cell
from gridassay.encodings.puzzle import Fact, Puzzle
from gridassay.encodings.rules.cages import Cage
from gridassay.verify import check, conflicts, nearest_solutions, read, repair
from gridassay.verify.budget import Clock
from gridassay.verify.counting.possible import possible_values
from gridassay.verify.counting.solution_count import solution_count
from gridassay.verify.engines import sat_engine_for
from gridassay.verify.engines.cores import Question, smallest_core

EMPTY = "." * 81


def _milliseconds(works: list[Callable[[], object]]) -> Measured:
    """Processor time of each piece of work after a first that warms up, in milliseconds."""
    times = [seconds(work).cpu * 1000 for work in works]
    return spread(times[1:])


@cache
def with_givens(count: int, seed: int) -> Puzzle:
    """Givens cut at random from a random grid, of a puzzle that has several solutions."""
    rng = Random(seed)
    empty = read(EMPTY)
    while True:
        grid = random_solution(empty, rng, Clock(60))
        facts = [Fact(cell, digit) for cell, digit in zip(empty.canvas.cells, grid, strict=True)]
        puzzle = replace(empty, givens=tuple(sorted(rng.sample(facts, count))))
        if check(puzzle).status == "multiple":
            return puzzle


@cache
def with_a_slip(seed: int) -> Puzzle:
    """28 givens of which one is wrong and clashes with no other: no house shows the conflict."""
    rng = Random(seed)
    empty = read(EMPTY)
    while True:
        grid = random_solution(empty, rng, Clock(60))
        places = rng.sample(range(81), 28)
        line = [str(grid[place]) if place in places else "." for place in range(81)]
        line[places[0]] = rng.choice("123456789")
        puzzle = read("".join(line))
        given = dict(puzzle.givens)
        clash = any(
            len({given[c] for c in house.cells if c in given})
            < sum(c in given for c in house.cells)
            for house in empty.canvas.houses
        )
        if not clash and check(puzzle).status == "none":
            return puzzle


@cache
def with_cages(cages: int, seed: int) -> Puzzle:
    """Cages of three cells in a row, with the totals of a random grid; several solutions."""
    rng = Random(seed)
    empty = read(EMPTY)
    grid = random_solution(empty, rng, Clock(60))
    digit = dict(zip(empty.canvas.cells, grid, strict=True))
    rules = []
    for place in rng.sample(range(27), cages):
        row, column = place // 3 + 1, place % 3 * 3 + 1
        cells = tuple(Cell(row, column + step) for step in range(3))
        rules.append(Cage(cells=cells, sum=sum(digit[cell] for cell in cells)))
    return replace(empty, rules=tuple(rules))


def _possible(puzzle: Puzzle) -> Callable[[], object]:
    engine = sat_engine_for(puzzle, Clock(60))
    return lambda: possible_values(engine, puzzle.givens, Clock(60))


def possible_classic(quick: bool) -> Measured:
    """Five givens, a grid not met before each time."""
    return _milliseconds([_possible(with_givens(5, seed)) for seed in range(10 if quick else 40)])


def possible_variant(quick: bool) -> Measured:
    """Twenty cages, the same puzzle each time."""
    return _milliseconds([_possible(with_cages(20, 1))] * (5 if quick else 20))


def possible_against_cp(quick: bool) -> Measured:
    """A fresh OR-Tools model for every candidate of a grid of five givens, against us."""
    puzzle = with_givens(5, 0)
    line = puzzle.given_line()
    engine = sat_engine_for(puzzle, Clock(60))
    ours = possible_values(engine, puzzle.givens, Clock(60))
    if [set(ours[cell]) for cell in puzzle.canvas.cells] != cp_possible.possible(line):
        raise AssertionError("a peer gives other possible digits than gridassay")
    rounds = 1 if quick else 3
    return inverse(ratio(_possible(puzzle), lambda: cp_possible.possible(line), rounds))


def _houses_on(puzzle: Puzzle) -> Callable[[], object]:
    houses = [house.name for house in puzzle.canvas.houses]
    engine = sat_engine_for(puzzle, Clock(60))
    return lambda: smallest_core(Question(puzzle, engine, puzzle.givens, on=houses), Clock(60))


def conflict_with_houses_on(quick: bool) -> Measured:
    """The fewest givens, houses fixed, one wrong given that shows in no house."""
    return _milliseconds([_houses_on(with_a_slip(seed)) for seed in range(4 if quick else 12)])


def conflict_jointly(quick: bool) -> Measured:
    """The fewest givens and then the fewest houses."""
    puzzles = [with_a_slip(seed) for seed in range(4 if quick else 12)]
    return _milliseconds([lambda puzzle=puzzle: conflicts(puzzle, budget=60) for puzzle in puzzles])  # type: ignore[misc]


def conflict_against_cpmpy(quick: bool) -> Measured:
    """The deletion algorithm of CPMpy, which promises only a minimal conflict, against us."""
    puzzle = with_a_slip(0)
    line = puzzle.given_line()
    rounds = 2 if quick else 6
    return inverse(ratio(_houses_on(puzzle), lambda: cpmpy_mus.conflict(line), rounds))


def repair_to_a_named_solution(quick: bool) -> Measured:
    """Twenty givens, the first solution found."""
    puzzles = [with_givens(20, seed) for seed in range(5 if quick else 20)]
    solutions = [check(puzzle).solutions[0] for puzzle in puzzles]
    return _milliseconds(
        [
            lambda puzzle=puzzle, solution=solution: repair(puzzle, solution, budget=60)  # type: ignore[misc]
            for puzzle, solution in zip(puzzles, solutions, strict=True)
        ]
    )


def nearest(quick: bool) -> Measured:
    """Twenty-four givens; proved fewest."""
    puzzles = [with_givens(24, seed) for seed in range(5 if quick else 20)]

    def work(puzzle: Puzzle) -> Callable[[], object]:
        first, second = check(puzzle).solutions
        return lambda: nearest_solutions(puzzle, (first, second), budget=60)

    measured = _milliseconds([work(puzzle) for puzzle in puzzles])
    return Measured(measured.value / 1000, measured.low / 1000, measured.high / 1000)


def _counted(puzzle: Puzzle, limit: int) -> Callable[[], object]:
    engine = sat_engine_for(puzzle, Clock(60))

    def work() -> None:
        found = solution_count(engine, puzzle.givens, Clock(60), limit=limit)
        if found.count < limit:
            raise AssertionError(f"only {found.count} solutions")

    return work


def million_classic(quick: bool) -> Measured:
    """A million solutions of a grid of seventeen givens, compiled search loaded before."""
    works = [_counted(with_givens(17, 1), 10**6)] * (2 if quick else 4)
    return spread([seconds(work).cpu for work in works][1:])


def ten_thousand_variant(quick: bool) -> Measured:
    """Ten thousand solutions of a grid of twenty cages, clauses loaded before."""
    works = [_counted(with_cages(20, 1), 10**4)] * (2 if quick else 4)
    return spread([seconds(work).cpu for work in works][1:])


ROWS = (
    Row(4, "possible digits, 5 givens", "at most", 15, "ms", possible_classic),
    Row(4, "possible digits, 20 cages", "at most", 150, "ms", possible_variant),
    Row(
        4,
        "possible digits: OR-Tools per candidate against us",
        "at least",
        10,
        "×",
        possible_against_cp,
    ),
    Row(4, "smallest conflict, houses on", "at most", 50, "ms", conflict_with_houses_on),
    Row(4, "smallest conflict, jointly", "at most", 400, "ms", conflict_jointly),
    Row(4, "conflict: CPMpy's deletion against us", "at least", 10, "×", conflict_against_cpmpy),
    Row(4, "smallest repair, 20 givens", "at most", 100, "ms", repair_to_a_named_solution),
    Row(4, "nearest two solutions, proved", "at most", 1, "s", nearest),
    Row(4, "a million solutions, classic", "at most", 10, "s", million_classic),
    Row(4, "ten thousand solutions, variant", "at most", 5, "s", ten_thousand_variant),
)
