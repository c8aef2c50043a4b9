"""Captions about lines: the board tells which cell is meant.

Murmur has four whispers, at least 5 between neighbours, one in each corner of the grid. The cells
meant are those of which the technique *rule alone*, which has tests of its own, strikes what is said.
"""

from __future__ import annotations

from functools import partial
from pathlib import Path

import pytest

from gridassay.verify import read_file
from gridassay.verify.listening.rule_names import drawn_lines
from gridassay.verify.listening.talk import audit_talk

from .cues import spoken_of

PUZZLES = Path(__file__).parent / "narrations" / "puzzles"
MURMUR = read_file(PUZZLES / "murmur.toml")


spoken = partial(spoken_of, MURMUR)


@pytest.mark.parametrize(
    ("said", "means"),
    [
        ("the string in the top right box can't have a two where it turns", "r2c8 not 2"),
        ("on the rope at the bottom left no seven in the second cell", "r8c2 not 7"),
        ("the line in box nine, its second cell is not a seven", "r8c8 not 7"),
        ("the bottom right line isn't a three at its end", "r9c7 not 3"),
        ("on the top left line one end is a three", "r5c1 = 3"),
    ],
)
def test_the_line_that_is_described_tells_the_cell(said: str, means: str) -> None:
    assert spoken(said) == [(means, "sound")]


def test_the_line_is_remembered() -> None:
    told = spoken(
        "look at the line in the top left corner",
        "its end is a three",
        "and the other end of it is a four",
        "now the string at the bottom on the right",
        "it can't have a three at the end",
    )
    assert told == [("r5c1 = 3", "sound"), ("r1c3 = 4", "sound"), ("r9c7 not 3", "sound")]


@pytest.mark.parametrize(
    "said",
    [
        "the line in the bottom left box has a nine at one end",
        "the top right line ends in a two",
        "no nine in the bend of the line in box seven",
        "the string along the bottom is a seven in the middle",
    ],
)
def test_a_line_that_says_nothing_of_the_kind_is_not_understood(said: str) -> None:
    assert {result for _, result in spoken(said)} == {"unclear"}


def test_without_words_for_which_of_two_cells_both_are_told() -> None:
    (step,) = audit_talk(
        MURMUR,
        "WEBVTT\n\n00:00:01.000 --> 00:00:02.000\nthe top right line can't have a five in it\n",
    ).steps
    assert step.result == "unclear"
    assert {one.partition(" because ")[0] for one in step.readings} == {"r3c9 not 5", "r1c5 not 5"}


def test_thermometers_and_arrows_are_no_plain_lines() -> None:
    assert len(drawn_lines(MURMUR)) == 4
    assert not drawn_lines(read_file(PUZZLES / "thermos-2000.toml"))
    assert not drawn_lines(read_file(PUZZLES / "arrows-3001.toml"))
