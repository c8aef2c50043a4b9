"""Makes puzzles from seeds: random solutions of any board, and sets of givens that keep them unique.

The corpora next to this file and many tests are made with it; the same seed gives the same puzzle as
long as the solver library behaves the same, so corpora are kept as files.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from random import Random

from gridassay.encodings.puzzle import Fact, Puzzle, Solution
from gridassay.verify.budget import Clock
from gridassay.verify.engines import sat_engine_for


def random_solution(puzzle: Puzzle, rng: Random, clock: Clock) -> Solution:
    """A solution of a puzzle's houses and rules with its givens, led by random digits.

    Raises ValueError if there is none.
    """
    engine = sat_engine_for(puzzle, clock)
    kept = list(puzzle.givens)
    found = engine.solve(kept, clock)
    if found is None:
        raise ValueError("the puzzle has no solution")
    cells = list(puzzle.canvas.cells)
    rng.shuffle(cells)
    for cell in cells[: len(puzzle.canvas.digits) * 2]:
        attempt = [*kept, Fact(cell, rng.choice(puzzle.canvas.digits))]
        solution = engine.solve(attempt, clock)
        if solution is not None:
            kept, found = attempt, solution
    return found


def fewer_givens(
    puzzle: Puzzle,
    solution: Solution,
    rng: Random,
    clock: Clock,
    orbit: Callable[[Fact], Sequence[Fact]] = lambda given: [given],
    least: int = 0,
) -> Puzzle:
    """Remove givens in random order while the puzzle stays unique, down to ``least``.

    ``solution`` is filled in first. ``orbit`` gives the givens that are removed together (for patterns).
    """
    engine = sat_engine_for(puzzle, clock)
    givens = [Fact(c, d) for c, d in zip(puzzle.canvas.cells, solution, strict=False)]
    other = engine.forbid(solution)
    order = list(givens)
    rng.shuffle(order)
    for given in order:
        gone = set(orbit(given))
        rest = [one for one in givens if one not in gone]
        fits = given in givens and len(rest) >= least
        if fits and engine.solve(rest, clock, demands=[other]) is None:
            givens = rest
    engine.retire(other)
    return replace(puzzle, givens=tuple(givens))


def half_turn(puzzle: Puzzle, solution: Solution) -> Callable[[Fact], Sequence[Fact]]:
    """Pairs of givens opposite each other."""
    canvas = puzzle.canvas
    value = dict(zip(canvas.cells, solution, strict=False))

    def orbit(given: Fact) -> Sequence[Fact]:
        cell = canvas.cells[len(canvas.cells) - 1 - canvas.cells.index(given.variable)]
        return [given, Fact(cell, value[cell])]

    return orbit
