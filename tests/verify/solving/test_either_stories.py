"""Stories that go through the cases of a cell or of a digit: written ones, and those that are found."""

from __future__ import annotations

import random
from collections.abc import Iterator

import pytest

from gridassay.encodings.puzzle import Puzzle
from gridassay.verify import Step, audit, read, route
from gridassay.verify.budget import Clock
from gridassay.verify.engines import sat_engine_for
from gridassay.verify.solving.board.ideas import Idea
from gridassay.verify.solving.board.position import Position, layout_of
from gridassay.verify.solving.board.steps import step_of
from gridassay.verify.solving.reasons.proving import follows
from gridassay.verify.solving.rule_meaning.pieces import pieces_of
from gridassay.verify.solving.stories.either import MOST_EITHER, shortest_either
from gridassay.verify.solving.stories.links import Ground
from gridassay.verify.solving.stories.tables import Tables

from ...cli.run import EXAMPLES
from .telling.board import Board, Plain
from .telling.story_sentences import hold_story
from .test_stories import TIDES

CLOCK = Clock(float("inf"))

# In row 1 the cells of box 1 are 1 and 2, either way, so r2c1 is not 1.
PUZZLE = read("size = 4\ngivens = '''\n..34\n....\n....\n....\n'''\n", "either.toml")
BY_CELL = """r2c1 not 1 because either r1c1:
    if r1c1 = 1:
        r2c1 not 1 because locked candidates: r1c1, digit 1, box 1
    if r1c1 = 2:
        r1c2 = 1 because naked single: r1c2
        r2c1 not 1 because locked candidates: r1c2, digit 1, box 1
"""
BY_DIGIT = """r2c1 not 1 because either digit 1, row 1:
    if r1c1 = 1:
        r2c1 not 1 because locked candidates: r1c1, digit 1, box 1
    if r1c2 = 1:
        r2c1 not 1 because locked candidates: r1c2, digit 1, box 1
"""


@pytest.mark.parametrize("text", [BY_CELL, BY_DIGIT])
def test_a_sound_one(text: str) -> None:
    (step,) = audit(PUZZLE, text).steps
    assert (step.result, step.detail) == ("sound", "")
    assert len(step.branches) == 2


@pytest.mark.parametrize(
    ("text", "old", "new"),
    [
        (BY_CELL, "r1c2 = 1 because", "r1c2 = 2 because"),
        (BY_CELL, "        r1c2 = 1 because naked single: r1c2\n", ""),
        (BY_CELL, "if r1c1 = 2", "if r1c1 = 3"),
        (BY_CELL, "if r1c1 = 2", "if r1c1 = 1"),
        (BY_DIGIT, "if r1c2 = 1", "if r1c2 = 2"),
        (BY_DIGIT, "if r1c2 = 1", "if r1c3 = 1"),
        (BY_DIGIT, "digit 1, row 1:", "digit 2, row 1:"),
    ],
)
def test_a_damaged_one_is_caught(text: str, old: str, new: str) -> None:
    assert old in text
    (step,) = audit(PUZZLE, text.replace(old, new)).steps
    assert step.result in ("wider", "unreadable")


def test_a_wrong_conclusion_is_said_of_the_whole() -> None:
    (step,) = audit(
        PUZZLE, BY_CELL.replace("r2c1 not 1 because either", "r2c1 not 3 because either")
    ).steps
    assert step.result == "unforced"


def boards(puzzle: Puzzle) -> Iterator[tuple[list[Step], Position]]:
    """The boards of a route, each with the steps before it."""
    found = route(puzzle, every_step=True, budget=CLOCK)
    board = found.start.copy()
    for number, step in enumerate(found.steps):
        yield list(found.steps[:number]), board.copy()
        step.apply(board)


def shortest(puzzle: Puzzle, position: Position, most: int = MOST_EITHER) -> Idea | None:
    tables = Tables(position.layout, puzzle.board, tuple(pieces_of(position.layout)))
    ground = Ground(position, tables.at(position.masks))
    return shortest_either(ground, most, lambda _: 0, None, CLOCK)


Found = list[tuple[Puzzle, list[Step], Position, Idea]]


@pytest.fixture(scope="module")
def found() -> Found:
    """The stories of every board of one route, and of some boards of another."""
    tides = read(TIDES, "tides.toml")
    path = EXAMPLES / "boiler-room.toml"
    boiler_room = read(path.read_text(encoding="utf-8"), path.name)
    several: Found = []
    for puzzle, each in ((tides, 1), (boiler_room, 40)):
        for number, (steps, board) in enumerate(boards(puzzle)):
            idea = shortest(puzzle, board) if number % each == 0 else None
            if idea:
                several.append((puzzle, steps, board, idea))
    assert len(several) > 12
    return several


def test_those_that_are_found_follow_and_read_back_as_true(found: Found) -> None:
    forms, engines = set(), {}
    for puzzle, _, board, idea in found:
        if puzzle.title not in engines:
            engines[puzzle.title] = sat_engine_for(puzzle, CLOCK, for_steps=True)
        assert idea.story
        assert idea.story.form == "either"
        assert 1 < idea.story.length <= MOST_EITHER
        assert follows(engines[puzzle.title], board, idea, CLOCK)
        hold_story(Board(Plain(puzzle, layout_of(puzzle).said), board), idea.say())
        assert idea.story.about
        forms.add((idea.story.about.unknown is None, len(idea.story.branches)))
    assert {True, False} == {digit for digit, _ in forms}
    assert {2, 3} == {branches for _, branches in forms}


def test_those_that_are_found_audit_sound_and_damaged_ones_do_not(found: Found) -> None:
    rng = random.Random(3)
    tried = 0
    for puzzle, steps, board, idea in rng.sample(found, 8):
        before = "".join(step.line(puzzle.canvas) + "\n" for step in steps)
        lines = step_of(idea, board).line(puzzle.canvas).split("\n")
        judged = audit(puzzle, "\n".join([before, *lines, ""]), budget=CLOCK).steps[-1]
        assert (judged.result, judged.detail) == ("sound", ""), "\n".join(lines)
        ends = [
            n
            for n, line in enumerate(lines)
            if n and (n + 1 == len(lines) or " if " in lines[n + 1])
        ]
        for place in ends:
            fewer = "\n".join([before, *lines[:place], *lines[place + 1 :], ""])
            last = audit(puzzle, fewer, budget=CLOCK).steps[-1]
            assert last.result in ("wider", "unreadable"), fewer
            tried += 1
    assert tried >= 16


def test_none_is_longer_than_was_asked(found: Found) -> None:
    for puzzle, _, board, idea in found[:12]:
        assert idea.story
        assert shortest(puzzle, board, idea.story.length - 1) is None
