"""Stories of a position: the same whatever was asked before, and in words that name each rule once."""

from __future__ import annotations

from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context

import pytest

from gridassay.encodings.puzzle import Puzzle
from gridassay.verify import read, route
from gridassay.verify.budget import Clock
from gridassay.verify.engines import sat_engine_for
from gridassay.verify.solving.board.position import Position
from gridassay.verify.solving.reasons.proving import follows
from gridassay.verify.solving.stories.search import StoryTeller
from gridassay.verify.solving.techniques import Idea
from gridassay.verify.solving.truth import truth_of

from .test_stories import TIDES

CLOCK = Clock(float("inf"))


def positions(puzzle: Puzzle) -> list[Position]:
    """The boards before the stories of a route."""
    found = route(puzzle, every_step=True, budget=CLOCK)
    boards, board = [], found.start.copy()
    for step in found.steps:
        if step.story:
            boards.append(board.copy())
        step.apply(board)
    return boards


def stories(puzzle: Puzzle, boards: list[Position], *, alone: bool) -> list[str | None]:
    """The stories of some boards, each by a teller of its own or all by one."""
    truth = truth_of(puzzle, CLOCK)
    teller = StoryTeller(puzzle, CLOCK)
    told = []
    for board in boards:
        if alone:
            teller = StoryTeller(puzzle, CLOCK)
        idea = teller.story(board, targets=truth.false_candidates(board))
        told.append(idea.say() if idea else None)
    return told


def in_a_worker() -> list[str | None]:
    """The stories, last board first, as another process tells them."""
    puzzle = read(TIDES, "tides.toml")
    return stories(puzzle, positions(puzzle)[::-1], alone=False)


@pytest.fixture(scope="module")
def puzzle() -> Puzzle:
    return read(TIDES, "tides.toml")


def test_a_position_has_one_story_whatever_was_asked_before(puzzle: Puzzle) -> None:
    boards = positions(puzzle)
    assert len(boards) > 3
    first = stories(puzzle, boards, alone=True)
    assert None not in first
    assert stories(puzzle, boards, alone=False) == first
    assert stories(puzzle, boards[::-1], alone=False) == first[::-1]
    with ProcessPoolExecutor(1, mp_context=get_context("spawn")) as pool:
        assert pool.submit(in_a_worker).result() == first[::-1]


def test_a_rule_is_named_in_full_once_in_a_story(puzzle: Puzzle) -> None:
    found = route(puzzle, every_step=True, budget=CLOCK)
    told = [step.text for step in found.steps if step.story]
    names = [name for name in puzzle.rule_phrases.values() if " from " in name]
    assert names
    for text in told:
        assert all(text.count(f"{name};") + text.count(f"{name} cannot") <= 1 for name in names), (
            text
        )


def test_diagonals_are_told_apart_in_words() -> None:
    """A digit with one place in one of the two diagonals, as the last of a line of eight."""
    rows = ["." * 9 for _ in range(9)]
    rule = '[[rule]]\nkind = "diagonals"\n'
    text = 'givens = """\n' + "\n".join(rows) + f'\n"""\n{rule}'
    puzzle = read(text, "diagonals.toml")
    parts = [part.label for part in puzzle.model.premises[-1].parts]
    assert parts == ["the falling diagonal", "the rising diagonal"]


def test_a_letter_that_no_premise_mentions_may_be_any_of_its_numbers() -> None:
    """Else "the letters being different" would strike numbers of one letter by the least of another."""
    rules = "".join(
        f'[[rule]]\nkind = "cage"\ncells = "{cells}"\nsum = "{letter}"\n'
        for cells, letter in (("r1c1 r1c2", "A"), ("r3c3 r3c4", "B"))
    )
    puzzle = read(
        f'size = 4\nletters = "different"\ngivens = """\n....\n....\n....\n....\n"""\n{rules}',
        "letters.toml",
    )
    position = Position.start(puzzle)
    letters = [
        number for number in range(len(position.masks)) if not position.layout.is_cell(number)
    ]
    engine = sat_engine_for(puzzle, CLOCK, for_steps=True)
    for letter in letters:
        for value in range(len(position.layout.domains[letter])):
            idea = Idea("reason", removes=((letter, value),), switches=("letters",))
            assert not follows(engine, position, idea, CLOCK)


def test_a_story_over_a_layer_says_what_leaves_no_way() -> None:
    """A loop cannot end at the bottom left corner; only the two sides that meet there say so."""
    numbers = {"r1c1": 3, "r2c3": 0, "r3c1": 3}
    head = (
        'rows = 3\ncolumns = 3\ndigits = "none"\n[[layer]]\nname = "fence"\nkind = "border-loop"\n'
    )
    rules = (
        f'[[rule]]\nkind = "sides-on-it"\nlayer = "fence"\ncell = "{cell}"\ncount = {number}\n'
        for cell, number in numbers.items()
    )
    found = route(read(head + "".join(rules), "fence.toml"), budget=CLOCK)
    ended = [step.text for step in found.steps if "since fence" in step.text]
    assert ended
    assert ended[0].endswith(
        "then no way is left for fence, since fence does not run at the left of r3c1 and fence runs at "
        "the bottom of r3c1. So fence runs at the left of r3c1"
    )
