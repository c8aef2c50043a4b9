"""Positions and steps of a route in pictures: what stands there, what is ringed, what is struck."""

from __future__ import annotations

import pytest

from gridassay.encodings.lines import PuzzleError
from gridassay.verify import read, route
from gridassay.verify.budget import OutOfTime
from gridassay.verify.draw.marks import Box, Disc, Text
from gridassay.verify.draw.route_views import position_view, view_of_number
from gridassay.verify.draw.scene import picture, with_margin
from gridassay.verify.draw.style import LIGHT
from gridassay.verify.draw.svg import svg
from gridassay.verify.draw.view import View
from gridassay.verify.draw.views import NothingToShow
from gridassay.verify.solving.board.position import Position

from .pictures import EXAMPLES, puzzle_of, with_role
from .test_scene import GOLDEN

VIEWS = {
    "sandbanks-step-20": ("sandbanks", 20),
    "harbour-lights-step-9": ("harbour-lights", 9),
    "ships-biscuit-candidates": ("ships-biscuit", None),
}
"""Golden pictures: an example and the number of a step, or None for the candidates at the start."""


def drawn_view(name: str) -> str:
    example, number = VIEWS[name]
    puzzle = puzzle_of(EXAMPLES / f"{example}.toml")
    view = view_of_number(puzzle, number) if number else position_view(Position.start(puzzle))
    return svg(with_margin(picture(puzzle, view, legend=False)))


@pytest.mark.parametrize("name", VIEWS)
def test_golden(name: str) -> None:
    assert drawn_view(name) + "\n" == (GOLDEN / "views" / f"{name}.svg").read_text()


def sandbanks(number: int) -> tuple[View, list[Text], list[Disc]]:
    puzzle = puzzle_of(EXAMPLES / "sandbanks.toml")
    view = view_of_number(puzzle, number)
    drawn = picture(puzzle, view)
    return view, with_role(drawn, "candidate"), with_role(drawn, "candidate ring")  # type: ignore[return-value]


def test_premises_are_ringed_and_conclusions_struck() -> None:
    view, candidates, rings = sandbanks(20)
    step = route(puzzle_of(EXAMPLES / "sandbanks.toml"), most=29).steps[-1]
    assert view.caption == f"Step 20, skyscraper: {step.text}."
    assert {house.name for house in view.houses} >= {"row 6", "row 7"}
    (digit,) = step.digits
    assert set(view.ringed_candidates) == {(cell, digit) for cell in step.cells}
    assert set(view.struck) == set(step.removes)
    assert len(rings) == len(step.cells)
    # What is ringed or struck stands out, and nothing else.
    loud = [text for text in candidates if text.colour != LIGHT.quiet]
    assert len(loud) == len(step.cells) + len(step.removes)
    assert len([text for text in loud if text.colour == LIGHT.ink]) == len(step.cells)
    assert {text.text for text in loud} == {str(digit)}


def test_a_placed_digit_stands_on_a_plate() -> None:
    puzzle = puzzle_of(EXAMPLES / "harbour-lights.toml")
    view = view_of_number(puzzle, 9)
    ((cell, digit),) = view.placed.items()
    assert (str(cell), digit) == ("r9c1", 6)
    (plate,) = with_role(picture(puzzle, view), "placed")
    assert isinstance(plate, Box)
    # Eight steps before it placed a digit each, which are not givens.
    assert len(with_role(picture(puzzle, view), "digit")) == 8


def test_the_route_goes_on_from_where_it_is_told() -> None:
    puzzle = puzzle_of(EXAMPLES / "harbour-lights.toml")
    middle = route(puzzle, most=5).end
    (step,) = route(puzzle, start=middle, most=1).steps
    view = view_of_number(puzzle, 1, start=middle)
    assert view.placed == dict(step.places)
    assert view.digits == position_view(middle).digits


@pytest.mark.parametrize(
    ("text", "number", "message"),
    [
        ("1......2..3..4..", 0, "there is no step 0: they are numbered from 1"),
        ("1......2..3..4..", 13, "there is no step 13: the route has 12 steps"),
        ("1234341221434321", 1, "there is no step 1: the route has no step"),
        ("123.341221434321", 2, "there is no step 2: the route has 1 step"),
    ],
)
def test_a_number_that_no_step_has(text: str, number: int, message: str) -> None:
    with pytest.raises(PuzzleError, match=message):
        view_of_number(read(text), number)


def test_a_puzzle_without_a_solution_has_no_step() -> None:
    with pytest.raises(NothingToShow, match="it has no solution"):
        view_of_number(read("11.............."), 1)


def test_a_step_that_is_not_reached_in_time() -> None:
    with pytest.raises(OutOfTime):
        view_of_number(read("1......2..3..4.."), 1, budget=0)
