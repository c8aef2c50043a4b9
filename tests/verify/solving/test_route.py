"""Routes: they end solved, never contradict the solution, and say what they rest on."""

from __future__ import annotations

import random

import pytest

from gridassay.encodings.grid import Cell, Grid, canvas_of, classic
from gridassay.encodings.lines import PuzzleError
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify import check, read
from gridassay.verify.auditing.auditing import audit
from gridassay.verify.solving.board.candidates_file import write_candidates
from gridassay.verify.solving.board.position import Position
from gridassay.verify.solving.board.position_file import position_from
from gridassay.verify.solving.board.steps import write_steps
from gridassay.verify.solving.route_questions import needed_techniques, open_steps, route_to
from gridassay.verify.solving.routes import route
from gridassay.verify.solving.techniques import SINGLES

from ... import published
from ..minimal import minimal, variant

IRREGULAR = canvas_of([Grid(6, regions="AAABBBACCCBBAACDDBECCDFFEEDDDFEEEFFF")])
TWO_GRIDS = canvas_of([Grid(4, box=(2, 2)), Grid(4, at=Cell(3, 3), box=(2, 2), name="B")])

CORPUS = [
    *(minimal(classic(9), seed) for seed in range(12)),
    *(minimal(classic(4), seed) for seed in range(6)),
    *(minimal(classic(6), seed) for seed in range(6)),
    *(minimal(IRREGULAR, seed) for seed in range(6)),
    *(minimal(TWO_GRIDS, seed) for seed in range(4)),
    *(minimal(classic(5), seed) for seed in range(4)),
    *(variant(seed) for seed in range(2)),
    *(read(line) for line in published.SEVENTEEN),
    read(published.ENCYCLOPAEDIA),
    read(published.LIBRARY),
]


@pytest.mark.parametrize("puzzle", CORPUS, ids=lambda puzzle: puzzle.source or puzzle.title)
def test_a_route_ends_solved_and_what_it_saves_audits_sound(puzzle: Puzzle) -> None:
    found = route(puzzle, budget=60)
    verdict = check(puzzle)
    assert verdict.status == "unique"
    assert found.solved
    solution = dict(zip(puzzle.canvas.cells, verdict.solutions[0], strict=False))
    for step in found.steps:
        assert step.proved
        assert step.text
        assert all(solution[cell] == digit for cell, digit in step.places)
        assert all(solution[cell] != digit for cell, digit in step.removes)
    assert found.end.line() == puzzle.line(verdict.solutions[0])
    held = audit(puzzle, write_steps(found.steps, puzzle), budget=60)
    assert held.ok, [step for step in held.steps if step.result not in ("sound", "idle")]
    assert held.solved
    assert not [step for step in held.steps if "sound, but" in step.detail]


def test_json_keys_of_the_contract() -> None:
    found = route(read(published.ENCYCLOPAEDIA)).to_json()
    assert found["solved"] is True
    assert sum(found["techniques"].values()) == len(found["steps"])
    assert found["crux"] is None
    assert set(found["steps"][0]) >= {
        "technique",
        "place",
        "remove",
        "cells",
        "houses",
        "rules",
        "proved",
        "text",
    }
    placed = [mark for step in found["steps"] for mark in step["place"]]
    assert len(placed) == 81 - 30


def test_the_crux_is_the_largest_reason() -> None:
    found = route(minimal(classic(9), 4))
    assert found.crux is not None
    assert found.steps[found.crux].size == max(step.size for step in found.steps)


def test_singles_have_no_crux() -> None:
    found = route(read(published.ENCYCLOPAEDIA))
    assert found.techniques.keys() <= SINGLES
    assert found.crux is None


def test_without_a_technique_it_is_stuck_with_candidates_left() -> None:
    for seed in range(40):
        puzzle = minimal(classic(9), seed)
        usual = route(puzzle)
        if "W-wing" in usual.techniques:
            break
    found = route(puzzle, without=["w-wing"])
    assert "W-wing" not in found.techniques
    needed = needed_techniques(usual)
    assert set(needed) <= set(usual.techniques)
    assert ("W-wing" in needed) is not found.solved
    assert all(not other.solved for other in needed.values())
    singles = route(puzzle, without=["hidden single", "last cell"])
    assert not {"hidden single", "last cell"} & set(singles.techniques)


def test_an_order_of_ones_own() -> None:
    puzzle = read(published.ENCYCLOPAEDIA)
    assert route(puzzle, order=["naked single"]).steps[0].technique == "naked single"
    with pytest.raises(PuzzleError, match="no technique 'naked sigle'"):
        route(puzzle, order=["naked sigle"])


def test_a_route_continues_where_steps_or_candidates_leave_off() -> None:
    puzzle = minimal(classic(9), 5)
    whole = route(puzzle)
    half = len(whole.steps) // 2
    position = position_from(write_steps(whole.steps[:half], puzzle), puzzle)
    rest = route(puzzle, start=position)
    assert rest.solved
    assert len(rest.steps) <= len(whole.steps)
    again = position_from(write_candidates(position), puzzle)
    assert again.masks == position.masks
    assert route(puzzle, start=again).solved


def test_candidates_that_rule_out_every_solution_are_refused() -> None:
    puzzle = read(published.ENCYCLOPAEDIA)
    position = Position.start(puzzle)
    cell = position.layout.index[Cell(1, 3)]
    position.remove(cell, position.layout.digit_index[4])
    with pytest.raises(PuzzleError, match="rule out every solution"):
        route(puzzle, start=position)


def test_all_next_lists_what_a_technique_gives_once() -> None:
    puzzle = read(published.ENCYCLOPAEDIA)
    steps = open_steps(puzzle)
    assert any(step.technique == "naked single" and step.places for step in steps)
    said = [(step.technique, step.places, step.removes) for step in steps]
    assert len(set(said)) == len(said)
    assert route(puzzle, most=1).steps[0].places in [step.places for step in steps]


def test_the_way_to_a_technique_has_no_step_to_spare() -> None:
    puzzle = next(
        puzzle
        for puzzle in (minimal(classic(9), seed) for seed in range(60))
        if "XY-wing" in route(puzzle).techniques
    )
    way = route_to(puzzle, "xy-wing")
    assert way.steps[-1].technique == "XY-wing"
    assert audit(puzzle, write_steps(way.steps, puzzle)).ok
    with pytest.raises(PuzzleError, match="never applies"):
        route_to(read(published.ENCYCLOPAEDIA), "unique rectangle")


def test_puzzles_without_one_solution() -> None:
    none = route(read("11.............."))
    assert (none.verdict, none.steps, none.solved) == ("none", (), False)
    several = route(read("1..............."))
    assert several.verdict == "multiple"
    assert not several.solved
    given = variant(1)
    assert route(given, budget=0).timed_out


def test_promised_techniques_are_off_unless_asked_for() -> None:
    promised = {"unique rectangle", "hidden rectangle", "avoidable rectangle"}
    used = set()
    for seed in range(25):
        puzzle = minimal(classic(9), seed)
        assert not promised & set(route(puzzle).techniques)
        found = route(puzzle, promise_unique=True)
        assert found.solved
        assert all(step.promised == (step.technique in promised) for step in found.steps)
        used |= promised & set(found.techniques)
    assert used


def test_a_rule_is_called_by_what_one_sees() -> None:
    puzzle = read(
        'size = 9\n[[rule]]\nkind = "thermometer"\ncells = "r1c1..r1c6"\n'
        '[[rule]]\nkind = "cage"\ncells = "r5c5 r5c6"\nsum = 17\n',
        "tide.toml",
    )
    steps = open_steps(puzzle)
    texts = [step.text for step in steps if step.technique == "rule alone"]
    bulb = next(text for text in texts if text.startswith("the thermometer in row 1: "))
    assert "r1c1 at most 4" in bulb
    assert any(text.startswith("the 17 cage in box 5: 17 in two cells is 8+9") for text in texts)


def test_routes_of_random_seeds_say_the_same_twice() -> None:
    puzzle = minimal(classic(9), random.Random(7).randrange(1000))
    assert route(puzzle).steps == route(puzzle).steps
