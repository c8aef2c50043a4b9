"""Views along a route: a step on the position before it, a run of steps, a position by itself."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from itertools import islice

from gridassay.encodings.grid import Cell
from gridassay.encodings.lines import PuzzleError
from gridassay.encodings.puzzle import Puzzle
from gridassay.encodings.variables import Layered, Variable
from gridassay.verify.budget import DEFAULT_SECONDS, Clock, OutOfTime, within_budget
from gridassay.verify.draw.joins import joins, ringed_digits
from gridassay.verify.draw.premises import step_view
from gridassay.verify.draw.sight import lines_of_sight
from gridassay.verify.draw.view import View
from gridassay.verify.draw.views import NothingToShow
from gridassay.verify.solving.board.position import Candidate, Position, members
from gridassay.verify.solving.board.steps import Step, digits_of
from gridassay.verify.solving.grouping import OPENING, numbers, told_together
from gridassay.verify.solving.results import Route
from gridassay.verify.solving.routes import route


def position_view(position: Position, caption: str = "") -> View:
    """The digits placed so far, and the candidates of the other cells."""
    return View(
        digits=placed_digits(position),
        candidates=candidates_of(position),
        caption=caption,
        layers=known_layers(position),
    )


def view_of_step(puzzle: Puzzle, step: Step, position: Position) -> View:
    """A step on the position before it: its premises ringed, its conclusions struck or placed.

    The digits that block a placement are ringed too, with light lines to what they block; the candidates
    of a pattern are joined. Of the houses only those are marked that the sentence names.
    """
    named = [house for house in step.houses if re.search(rf"\b{re.escape(house)}\b", step.text)]
    removes = [(one.unknown, one.value) for one in step.removes if isinstance(one.unknown, Cell)]
    view = step_view(
        puzzle,
        digits=placed_digits(position),
        candidates=candidates_of(position),
        premises=(*named, *step.rules),
        cells=step.cells,
        cited=ringed_digits(step.technique, step.cells, step.digits, position),
        removes=removes,
        places=digits_of(step.places),
        text=step.text,
    )
    sights = lines_of_sight(step, position)
    ringed = [*view.ringed, *dict.fromkeys(start for start, _ in sights)]
    lines = joins(step.technique, step.cells, step.digits, step.houses, removes, position)
    view = replace(view, ringed=ringed, sights=sights, joins=lines)
    return with_layers(view, position, step.places, step.removes)


def with_layers(
    view: View, position: Position, places: Iterable[Candidate], removes: Iterable[Candidate]
) -> View:
    """The view with the layers that are known on a position, and after some conclusions."""
    if not any(isinstance(one, Layered) for one in position.layout.unknowns):
        return view
    before = known_layers(position)
    board, marks = position.copy(), position.layout.marks
    board.conclude(marks(places), marks(removes))
    after = known_layers(board)
    return replace(view, layers=after, layers_new=after.keys() - before.keys())


def known_layers(position: Position) -> dict[Variable, int]:
    """The values of layers that are known."""
    layout = position.layout
    return {
        one: layout.domains[unknown][position.masks[unknown].bit_length() - 1]
        for unknown, one in enumerate(layout.unknowns)
        if isinstance(one, Layered) and position.masks[unknown].bit_count() == 1
    }


@within_budget
def view_of_number(
    puzzle: Puzzle,
    number: int,
    *,
    start: Position | None = None,
    budget: float | Clock = DEFAULT_SECONDS,
) -> View:
    """The step with this number, from 1, of the route that begins at ``start``; the caption says it.

    Raises NothingToShow if the puzzle has no solution, PuzzleError if the route has no step of this
    number, and OutOfTime if the budget runs out before it is reached.
    """
    if number < 1:
        raise PuzzleError(f"there is no step {number}: they are numbered from 1", puzzle.source)
    clock = Clock.of(budget)
    found = route(puzzle, start=start, budget=clock)
    if number > len(found.steps):
        if found.timed_out:
            raise OutOfTime
        if found.verdict == "none":
            raise NothingToShow("there is no step to show: it has no solution")
        count = len(found.steps)
        has = f"{count} step{'s' * (count != 1)}" if count else "no step"
        raise PuzzleError(f"there is no step {number}: the route has {has}", puzzle.source)
    first, together = next(
        (first, run)
        for first, run in told_together(found.steps)
        if first <= number < first + len(run)
    )
    before = next(islice(along(found), first - 1, None))[1]
    if len(together) > 1:
        caption = f"Steps {numbers(first, len(together))}, {OPENING}."
        return replace(view_of_run(together, before, pencilled=True), caption=caption)
    (step,) = together
    caption = f"Step {number}, {step.technique}: {step.text}."
    return replace(view_of_step(puzzle, step, before), caption=caption)


def view_of_run(steps: Sequence[Step], position: Position, *, pencilled: bool) -> View:
    """Several steps on the position before the first; ``pencilled`` shows the candidates.

    Their placements and strikes are shown, but not their reasons.
    """
    view = position_view(position)
    placed = {cell: digit for step in steps for cell, digit in digits_of(step.places).items()}
    struck = [
        (one.unknown, one.value)
        for step in steps
        for one in step.removes
        if isinstance(one.unknown, Cell) and one.unknown not in placed
    ]
    view = replace(
        view, placed=placed, struck=struck, candidates=view.candidates if pencilled else {}
    )
    found = [one for step in steps for one in step.places]
    return with_layers(view, position, found, [one for step in steps for one in step.removes])


def along(found: Route) -> Iterator[tuple[Step, Position]]:
    """Every step with the position before it."""
    position = found.start.copy()
    for step in found.steps:
        yield step, position.copy()
        step.apply(position)


def placed_digits(position: Position) -> dict[Cell, int]:
    """The digits that are placed."""
    layout = position.layout
    return {
        layout.cells[cell]: layout.digits[position.masks[cell].bit_length() - 1]
        for cell in members(position.placed & layout.cell_bits)
        if position.masks[cell]
    }


def candidates_of(position: Position) -> dict[Cell, list[int]]:
    """The candidates still open in the other cells."""
    layout = position.layout
    return {
        layout.cells[cell]: [layout.digits[digit] for digit in members(position.masks[cell])]
        for cell in members(position.open_bits)
    }


def evident(position: Position) -> bool:
    """Whether the candidates are exactly those that the placed digits leave, so need not be drawn."""
    layout = position.layout
    for cell in range(len(layout.cells)):
        if position.is_placed(cell):
            continue
        left = layout.all_digits
        for other in members(layout.sees[cell] & position.placed):
            left &= ~position.masks[other]
        if position.masks[cell] != left:
            return False
    return True
