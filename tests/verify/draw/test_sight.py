"""The digits that block a placement are found where its sentence says that they are."""

from __future__ import annotations

import re

import pytest

from gridassay.encodings.grid import Cell
from gridassay.verify import read, route
from gridassay.verify.draw.marks import Lines
from gridassay.verify.draw.route_views import along, view_of_step
from gridassay.verify.draw.scene import picture
from gridassay.verify.draw.sight import lines_of_sight

from ..solving.telling.words import each_house
from .pictures import EXAMPLES, puzzle_of, with_role

BLOCK = re.compile(r": (.*?) blocks? ")
NAKED = """
. . . | . . . | . . .
. . . | . 1 . | . . .
. . . | . . . | . . .
. . . | . . 4 | . . .
2 . 3 | . . . | . 9 .
. . . | 6 . . | . . .
. . . | . . . | . . .
. . . | . 7 . | . . .
. . . | . 8 . | . . .
"""


@pytest.mark.parametrize("name", ["harbour-lights", "ropewalk", "sandbanks"])
def test_every_line_that_a_sentence_names_has_its_blocker(name: str) -> None:
    puzzle = puzzle_of(EXAMPLES / f"{name}.toml")
    houses = {house.name: set(house.cells) for house in puzzle.canvas.houses}
    met = 0
    for step, before in along(route(puzzle)):
        said = BLOCK.search(step.text)
        if step.technique != "hidden single" or said is None:
            continue
        met += 1
        ((cell, digit),) = step.places
        named = re.split(", | and ", each_house(said[1]))
        sights = lines_of_sight(step, before)
        layout = before.layout
        for start, end in sights:
            assert before.is_placed(layout.index[start])
            assert before.candidates(layout.index[start]) == str(digit)
            assert end != cell
            assert not before.is_placed(layout.index[end])
            assert any(end in houses[house] for house in step.houses)
        for line in named:
            assert any({start, end} <= houses[line] for start, end in sights), step.text
        # And nothing is ringed that the sentence does not speak of.
        for start, end in sights:
            assert any({start, end} <= houses[line] for line in named), step.text
        view = view_of_step(puzzle, step, before)
        assert {*view.ringed} == {start for start, _ in sights}
        assert len(with_role(picture(puzzle, view), "sight")) == len(sights)
    assert met > 10


def test_a_naked_single_is_seen_by_every_other_digit() -> None:
    puzzle = read(NAKED)
    (step,) = route(puzzle, most=1).steps
    assert step.technique == "naked single"
    ((found, before),) = along(route(puzzle, most=1))
    sights = lines_of_sight(found, before)
    assert {end for _, end in sights} == {Cell(5, 5)}
    assert {start for start, _ in sights} == {fact.variable for fact in puzzle.givens}
    drawn = picture(puzzle, view_of_step(puzzle, found, before))
    assert len(with_role(drawn, "ring")) == 8
    # The digit that is placed stands on its plate without a ring.
    assert not with_role(drawn, "candidate ring")


def test_a_line_of_sight_runs_into_no_digit_on_its_way() -> None:
    puzzle = read(NAKED)
    ((step, before),) = along(route(puzzle, most=1))
    drawn = picture(puzzle, view_of_step(puzzle, step, before), heading=False)
    size = 90 / 9.12
    # From r9c5 past the 8's neighbour 7 in r8c5, whose middle the line leaves free.
    middle = (4.56 * size, 7.56 * size)
    for mark in with_role(drawn, "sight"):
        assert isinstance(mark, Lines)
        for start, end in mark.lines:
            (x1, y1), (x2, y2) = sorted((start, end))
            if x1 == pytest.approx(x2) == pytest.approx(middle[0]):
                low, high = sorted((y1, y2))
                assert high <= middle[1] - 0.3 * size or low >= middle[1] + 0.3 * size


def test_what_rests_on_candidates_has_no_line_of_sight() -> None:
    puzzle = puzzle_of(EXAMPLES / "sandbanks.toml")
    *_, (step, before) = along(route(puzzle, most=29))
    assert step.technique == "skyscraper"
    assert lines_of_sight(step, before) == []
