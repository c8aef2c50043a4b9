"""Formulas that several of the proof tests refute."""

import random
from collections.abc import Callable
from itertools import combinations

import pytest

Formula = list[tuple[int, ...]]


def _pigeonholes(pigeons: int, holes: int) -> Formula:
    """Every pigeon has a hole and no two share one: variable holes * (i - 1) + j for i in j.

    The pigeonhole principle as Haken 1985 states it (The intractability of resolution).
    """

    def sits(pigeon: int, hole: int) -> int:
        return holes * pigeon + hole + 1

    clauses: Formula = [
        tuple(sits(pigeon, hole) for hole in range(holes)) for pigeon in range(pigeons)
    ]
    for hole in range(holes):
        for one, other in combinations(range(pigeons), 2):
            clauses.append((-sits(one, hole), -sits(other, hole)))
    return clauses


def _sudoku(side: int) -> Formula:
    """The grid with boxes of side x side: variable for every row, column and digit."""
    size = range(side * side)

    def holds(cell: tuple[int, int], digit: int) -> int:
        return (cell[0] * len(size) + cell[1]) * len(size) + digit + 1

    cells = [(row, column) for row in size for column in size]
    houses = [[cell for cell in cells if cell[0] == row] for row in size]
    houses += [[cell for cell in cells if cell[1] == column] for column in size]
    houses += [
        [(row, column) for row, column in cells if (row // side, column // side) == box]
        for box in [(down, right) for down in range(side) for right in range(side)]
    ]
    groups = [[holds(cell, digit) for digit in size] for cell in cells]
    groups += [[holds(cell, digit) for cell in house] for house in houses for digit in size]
    clauses: Formula = [tuple(group) for group in groups]
    clauses += dict.fromkeys(
        (-one, -other) for group in groups for one, other in combinations(group, 2)
    )
    return clauses


def _one_solution(side: int, seed: int) -> Formula:
    """A sudoku none of whose givens is wasted, and its solution forbidden: no solution is left."""
    from pysat.solvers import Solver

    shuffled = random.Random(seed)
    clauses = _sudoku(side)
    switch = side**6 + 1
    with Solver(name="cadical153", bootstrap_with=clauses) as solver:
        digits = shuffled.sample(range(side**2), side**2)
        solver.solve(assumptions=[column * side**2 + d + 1 for column, d in enumerate(digits)])
        solution = [literal for literal in solver.get_model() if 0 < literal < switch]
        forbidden = [-literal for literal in solution]
        solver.add_clause([*forbidden, switch])
        givens = shuffled.sample(solution, len(solution))
        for given in list(givens):
            fewer = [other for other in givens if other != given]
            if not solver.solve(assumptions=[*fewer, -switch]):
                givens = fewer
    return [*clauses, *((given,) for given in givens), tuple(forbidden)]


@pytest.fixture(scope="session")
def pigeonholes() -> Callable[[int, int], Formula]:
    return _pigeonholes


@pytest.fixture(scope="session")
def blocked_sudoku() -> Callable[[int, int], Formula]:
    return _one_solution
