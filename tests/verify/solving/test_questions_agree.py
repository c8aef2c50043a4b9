"""Level, crux, needed techniques and the way to a technique never contradict each other, on variants."""

from __future__ import annotations

import pytest

from gridassay.encodings.puzzle import Puzzle
from gridassay.verify import Route, audit, read, route, write_steps
from gridassay.verify.solving.levels import GROUPS, group_named, group_of
from gridassay.verify.solving.route_questions import (
    calls_for,
    needed_techniques,
    open_steps,
    route_to,
)
from gridassay.verify.solving.techniques import TECHNIQUES

from ..minimal import without_spare_givens
from .test_route_kinds import MIXED
from .test_stories import TIDES

BUDGET = 300
PUZZLES = ("tides", "lines 0", "lines 1", "cages")
CAGES = """
size = 6
rule = [
    {kind = "cage", cells = "r1c1 r1c2 r2c2", sum = 10},
    {kind = "cage", cells = "r1c3 r2c3", sum = 7},
    {kind = "cage", cells = "r3c1 r4c1 r4c2", sum = 9},
    {kind = "cage", cells = "r3c4 r3c5", sum = 5},
    {kind = "thermometer", cells = "r5c2 r5c3 r6c3 r6c4"},
]
"""


def puzzle_named(name: str) -> Puzzle:
    if name == "tides":
        return read(TIDES, "tides.toml")
    if name == "cages":
        return without_spare_givens(read(CAGES, "cages.toml"), 5)
    return without_spare_givens(
        read(MIXED["lines through each other"], "lines.toml"), int(name.split()[1])
    )


@pytest.fixture(scope="module", params=PUZZLES)
def found(request: pytest.FixtureRequest) -> Route:
    told = route(puzzle_named(request.param), budget=BUDGET)
    assert told.solved
    return told


def names_above(group: int) -> list[str]:
    """The techniques of all groups above one."""
    return [name for one in TECHNIQUES if group_of(one) > group for name in one.names]


def test_the_level_is_the_lowest_group_that_solves_it(found: Route) -> None:
    """Routes without the higher groups are asked, which know nothing of levels."""
    assert found.level is not None
    level = GROUPS.index(found.level)
    for group in range(level + 1):
        # With nothing left out, stories are told.
        if above := names_above(group):
            assert route(found.puzzle, without=above, budget=BUDGET).solved == (group == level)


def test_the_crux_is_the_first_step_of_the_highest_group_and_is_open_there(found: Route) -> None:
    groups = [group_named(step.technique, TECHNIQUES) for step in found.steps]
    assert found.level is not None
    assert max(groups) >= GROUPS.index(found.level)
    crux = found.crux
    if crux is None:
        assert found.level == "singles"
        return
    assert groups[crux] == max(groups)
    assert all(group < groups[crux] for group in groups[:crux])
    assert found.openings
    board = found.start.copy()
    for step in found.steps[:crux]:
        step.apply(board)
    at_crux = found.steps[crux]
    if not at_crux.story:
        open_there = open_steps(found.puzzle, start=board, budget=BUDGET)
        assert at_crux.technique in {one.technique for one in open_there}
        # A tidy step may say less than what stands there, or at once what a rule strikes in several.
        alike = [
            one
            for one in open_there
            if one.technique == at_crux.technique or one.rules == at_crux.rules
        ]
        assert all(any(place in one.places for one in alike) for place in at_crux.places)
        shown = {mark for one in alike for mark in (*one.places, *one.removes)}
        assert shown >= {*at_crux.removes}


def test_needed_techniques_are_those_that_a_puzzle_calls_for(found: Route) -> None:
    needed = needed_techniques(found, budget=BUDGET)
    assert needed.keys() <= found.techniques.keys()
    assert all(not other.solved and name in other.without for name, other in needed.items())
    if all(step.technique in {n for t in TECHNIQUES for n in t.names} for step in found.steps):
        for name in found.techniques:
            assert calls_for(found.puzzle, name, budget=BUDGET) == (name in needed)


def test_the_way_to_a_technique_ends_with_it_and_audits_sound(found: Route) -> None:
    highest = max(found.techniques, key=lambda name: group_named(name, TECHNIQUES))
    for name in {"hidden single", "rule alone", highest} - {"story", "reason"}:
        way = route_to(found.puzzle, name, budget=BUDGET)
        assert way.steps[-1].technique == name
        assert name not in [step.technique for step in way.steps[:-1]]
        held = audit(found.puzzle, write_steps(way.steps, found.puzzle), budget=BUDGET)
        assert {step.result for step in held.steps} == {"sound"}, name
