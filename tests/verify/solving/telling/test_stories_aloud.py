"""The sentences of stories, link by link, read back and held against the board and the rules."""

from __future__ import annotations

import random
import re
from collections.abc import Iterator

import pytest

from gridassay.encodings.puzzle import Puzzle
from gridassay.verify import read, route
from gridassay.verify.solving.board.position import layout_of

from ....cli.run import EXAMPLES
from ..test_stories import TIDES
from .board import Board, Plain
from .story_sentences import hold_story


def told(puzzle: Puzzle) -> Iterator[tuple[Board, str]]:
    """The stories of a route, each with the board before it."""
    found = route(puzzle, budget=300)
    plain = Plain(puzzle, layout_of(puzzle).said)
    board = found.start.copy()
    for step in found.steps:
        if step.story:
            yield Board(plain, board), step.text
        step.apply(board)


@pytest.fixture(scope="module")
def stories() -> list[tuple[Board, str]]:
    boiler_room = read(
        (EXAMPLES / "boiler-room.toml").read_text(encoding="utf-8"), "boiler-room.toml"
    )
    return [*told(read(TIDES, "tides.toml")), *told(boiler_room)]


def test_every_story_is_true_and_enough(stories: list[tuple[Board, str]]) -> None:
    for board, text in stories:
        hold_story(board, text)
    assert len(stories) > 15
    said = " ".join(text for _, text in stories)
    assert "so r" in said
    assert " were in r" in said
    assert "no way is left to fill" in said


def test_a_story_with_another_number_is_not_believed(stories: list[tuple[Board, str]]) -> None:
    rng = random.Random(5)
    believed = tried = 0
    for board, text in stories:
        for m in rng.choices(list(re.finditer(r"(?<!\d)[1-6](?!\d)", text)), k=8):
            other = rng.choice([d for d in "123456" if d != m[0]])
            tried += 1
            try:
                hold_story(board, text[: m.start()] + other + text[m.end() :])
            except (AssertionError, KeyError, ValueError):
                continue
            believed += 1
    assert tried > 100
    assert believed < 0.1 * tried, f"{believed} of {tried}"
