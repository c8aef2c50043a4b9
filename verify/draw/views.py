"""Views made by asking questions.

They show the solution, the possible digits, two solutions if they differ, a conflict, or how
much depends on each given.
"""

from __future__ import annotations

from collections.abc import Sequence

from gridassay.encodings.grid import Cell
from gridassay.encodings.puzzle import Fact, Puzzle, Solution
from gridassay.encodings.variables import Layered, Variable
from gridassay.verify.budget import DEFAULT_SECONDS, Clock, within_budget
from gridassay.verify.clue_worth.effects import Clues, clues
from gridassay.verify.counting.nearest_pair import nearest_solutions
from gridassay.verify.counting.possible import possible_values
from gridassay.verify.counting.verdict import check
from gridassay.verify.draw.premises import premises_view
from gridassay.verify.draw.view import View
from gridassay.verify.engines import engine_for
from gridassay.verify.mending.conflict import conflicts


class NothingToShow(ValueError):
    """The puzzle does not have what was asked for; the message says in one line what it has."""


@within_budget
def solution_view(puzzle: Puzzle, *, budget: float | Clock = DEFAULT_SECONDS) -> View:
    """The only solution, with the values of letters as its caption.

    Raises NothingToShow if there is not exactly one.
    """
    verdict = check(puzzle, budget=budget)
    if verdict.status != "unique":
        why = {
            "none": "it has no solution",
            "multiple": "it has several",
            "undecided": "the budget ran out before it was clear that it has only one",
        }
        raise NothingToShow(f"there is no single solution to show: {why[verdict.status]}")
    return view_of_solution(puzzle, verdict.solutions[0])


def view_of_solution(puzzle: Puzzle, solution: Solution) -> View:
    """A solution as a view."""
    letters = [f"{name} = {value}" for name, value in puzzle.letters(solution).items()]
    doubled = puzzle.doubled_cells(solution)
    digits = dict(zip(puzzle.canvas.digit_cells, solution, strict=False))
    return View(
        digits=digits,
        doubled=doubled,
        caption=", ".join(letters),
        layers=_layers(puzzle, solution),
    )


def _layers(puzzle: Puzzle, solution: Solution) -> dict[Variable, int]:
    """The layers of a solution."""
    shown = zip(puzzle.board.shown, solution, strict=True)
    return {variable: value for variable, value in shown if isinstance(variable, Layered)}


@within_budget
def differing_view(puzzle: Puzzle, *, budget: float | Clock = DEFAULT_SECONDS) -> View:
    """The nearest two solutions: the digits they share, and the cells in which they differ, split.

    If the time runs out, two that are near. Raises NothingToShow if there are not two.
    """
    clock = Clock.of(budget)
    verdict = check(puzzle, budget=clock)
    if verdict.status != "multiple":
        raise NothingToShow(f"there are no two solutions to show: the verdict is {verdict.status}")
    first, second = verdict.solutions
    nearest = nearest_solutions(puzzle, (first, second), budget=clock.share(0.5))
    return differing(puzzle, (nearest.first, nearest.second))


def differing(puzzle: Puzzle, solutions: Sequence[Solution]) -> View:
    """Two solutions that are known, as a view of both."""
    first, second = solutions
    cells = puzzle.canvas.digit_cells
    both = dict(zip(cells, zip(first, second, strict=True), strict=False))
    one, other = (_layers(puzzle, solution) for solution in solutions)
    split = [variable for variable in one if one[variable] != other[variable]]
    return View(
        digits={cell: one for cell, (one, other) in both.items() if one == other},
        differing={cell: pair for cell, pair in both.items() if pair[0] != pair[1]},
        layers={variable: value for variable, value in one.items() if variable not in split},
        layers_apart=split,
    )


@within_budget
def possible_view(puzzle: Puzzle, *, budget: float | Clock = DEFAULT_SECONDS) -> View:
    """The digits that each cell has in any solution, as candidates; a sole one as a digit.

    Raises NothingToShow if there is no solution, and OutOfTime if the budget runs out.
    """
    clock = Clock.of(budget)
    possible = possible_values(engine_for(puzzle, clock, "sat"), puzzle.givens, clock)
    cells = {cell: possible[cell] for cell in puzzle.canvas.digit_cells}
    sure: dict[Variable, int] = {
        variable: next(iter(values))
        for variable, values in possible.items()
        if isinstance(variable, Layered) and len(values) == 1
    }
    if not all(possible.values()):
        raise NothingToShow("no digit is possible anywhere: it has no solution")
    return View(
        digits={cell: next(iter(digits)) for cell, digits in cells.items() if len(digits) == 1},
        candidates={cell: digits for cell, digits in cells.items() if len(digits) > 1},
        layers=sure,
    )


@within_budget
def conflict_view(puzzle: Puzzle, *, budget: float | Clock = DEFAULT_SECONDS) -> View:
    """The first conflict of a puzzle without a solution, pointed out and named in the caption.

    Raises NothingToShow if no premises were found that contradict each other.
    """
    clock = Clock.of(budget)
    found = conflicts(puzzle, budget=clock, most=1).found
    if not found:
        verdict = check(puzzle, budget=clock)
        raise NothingToShow(f"there is no conflict to show: the verdict is {verdict.status}")
    premises = found[0].premises
    caption = f"Cannot all hold: {', '.join(premises)}."
    return premises_view(puzzle, premises, View(caption=caption))


@within_budget
def heat_view(puzzle: Puzzle, *, budget: float | Clock = DEFAULT_SECONDS) -> View:
    """Each given, shaded by the number of cells that are open without it.

    A wasted given is not shaded at all, and one that the budget did not reach is not marked. Raises
    NothingToShow if there is not exactly one solution.
    """
    return hanging(clues(puzzle, budget=budget))


def hanging(result: Clues) -> View:
    """The same view, from an analysis that is known."""
    puzzle = result.verdict.puzzle
    if result.verdict.status != "unique":
        raise NothingToShow(
            "the effect of each given is known only if there is one solution: "
            f"the verdict is {result.verdict.status}"
        )
    most = len(puzzle.canvas.cells) - len(puzzle.givens) + 1
    heat = {
        effect.clue.variable: len(effect.opens) / most
        for effect in result.givens
        if isinstance(effect.clue, Fact) and effect.opens is not None
    }
    caption = "The stronger the shade of a given, the more cells are left open when it is removed."
    return View(
        heat={c: share for c, share in heat.items() if isinstance(c, Cell)}, caption=caption
    )
