"""Every sentence of every technique, read back and decided from the board and the rules alone.

Random positions as in ``test_proofs.py``; how many sentences of each technique were held is printed
(``-s``). CI takes a hundred of each from some dozens of positions; for more, a thousand say, set
``SENTENCES=1000``: then positions are made until there are so many of every technique that turns up
at all, or ``MOST_POSITIONS`` of them.
"""

from __future__ import annotations

import os
import random
import re
from collections import Counter
from collections.abc import Iterator

import pytest

from gridassay.encodings.grid import classic
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify import read
from gridassay.verify.solving.board.ideas import Idea
from gridassay.verify.solving.board.position import Layout, layout_of
from gridassay.verify.solving.techniques import TECHNIQUES

from ..techniques.test_proofs import IRREGULAR, LINES, random_position
from .board import Board, Plain
from .reader import hold

MARKS = read(
    """
size = 6
rule = [
    {kind = "palindrome", cells = "r1c1 r2c2 r3c3 r3c4"},
    {kind = "thermometer", cells = "r1c6 r2c6 r2c5 r3c5"},
    {kind = "calculation-cage", cells = "r4c1 r5c1 r5c2", operation = "*", target = 12},
    {kind = "calculation-cage", cells = "r1c2 r1c3", operation = "-", target = 2},
    {kind = "between-ends", cells = "r6c1 r6c2 r6c3 r6c4"},
    {kind = "double-pair", cells = "r4c4 r4c5"},
    {kind = "consecutive-pair", cells = "r5c5 r5c6"},
    {kind = "greater", cells = "r3c1 r4c1"},
]
""",
    "marks.toml",
)
SUMS = read(
    """
size = 6
rule = [
    {kind = "whisper", cells = "r4c6 r5c5 r6c6 r6c5", difference = 3},
    {kind = "double-arrow", cells = "r2c1 r3c1 r3c2 r4c2"},
    {kind = "modular", cells = "r4c3 r5c3 r5c4 r6c4"},
    {kind = "entropic", cells = "r1c1 r1c2 r1c3 r2c3"},
    {kind = "spread", cells = "r2c4 r2c5 r3c5"},
    {kind = "zipper", cells = "r1c6 r2c6 r3c6"},
    {kind = "cage", cells = "r5c1 r5c2 r6c1 r6c2", sum = 14},
    {kind = "contains", cells = "r3c3 r3c4 r4c3 r4c4", digits = [2, 5]},
]
""",
    "sums.toml",
)
CAGES = read(
    """
size = 6
rule = [
    {kind = "cage", cells = "r5c1 r5c2 r6c1 r6c2", sum = 14},
    {kind = "cage", cells = "r1c1 r1c2 r1c3 r2c1 r2c2", sum = 18},
    {kind = "cage", cells = "r3c4 r3c5 r4c4", sum = 11},
    {kind = "arrow", bulb = "r1c6", shaft = "r2c6 r3c6 r4c6"},
    {kind = "cage", cells = "r5c4 r5c5 r6c4", sum = 10, repeats = true},
]
""",
    "cages.toml",
)
CLAIMS = read(
    """
size = 6
[[rule]]
kind = "exactly"
count = 2
of = [
    {kind = "cage", cells = "r1c1 r1c2", sum = 11},
    {kind = "cage", cells = "r2c1 r2c2", sum = 3},
    {kind = "cage", cells = "r1c5 r2c5", sum = 10},
]
[[rule]]
kind = "at-least"
count = 2
of = [
    {kind = "cage", cells = "r4c3 r5c3", sum = 10},
    {kind = "even", cells = "r6c6"},
    {kind = "greater", cells = "r4c5 r5c5"},
]
""",
    "claims.toml",
)
BETWEEN = read(
    """
size = 6
rule = [
    {kind = "sandwich", line = "r1", sum = 9},
    {kind = "sandwich", line = "c4", sum = 5},
    {kind = "sandwich", line = "r6", sum = 7},
    {kind = "arrow", bulb = "r3c1", shaft = "r4c1 r4c2"},
    {kind = "arrow", bulb = "r2c6", shaft = "r3c5 r3c6"},
]
""",
    "between.toml",
)
MOVES = read(
    """
size = 6
rule = [{kind = "anti-king"}]
""",
    "moves.toml",
)
KNIGHTS = read(
    """
size = 9
rule = [{kind = "diagonals"}, {kind = "anti-knight"}]
""",
    "knights.toml",
)
BOARDS = {
    "between": BETWEEN,
    "cages": CAGES,
    "claims": CLAIMS,
    "6×6": Puzzle(classic(6)),
    "irregular": IRREGULAR,
    "lines": LINES,
    "knights": KNIGHTS,
    "marks": MARKS,
    "moves": MOVES,
    "sums": SUMS,
}
MOST_OF_ONE = 20
"""Sentences of one technique taken from one position."""

MOST_POSITIONS = 3000
WANTED = int(os.environ.get("SENTENCES", "0"))


def ideas(
    puzzle: Puzzle, positions: int, wanted: int, seed: int
) -> Iterator[tuple[Board, Idea, Counter[str]]]:
    """Ideas on random positions, no more of one technique than are wanted, and how many there were."""
    rng = random.Random(seed)
    plain = Plain(puzzle, layout_of(puzzle).said)
    found: Counter[str] = Counter()
    for _ in range(positions):
        position, _ = random_position(puzzle, rng)
        board = Board(plain, position)
        for technique in TECHNIQUES:
            if all(found[name] >= wanted for name in technique.names):
                continue
            for place, idea in enumerate(technique.find(position)):
                if place == MOST_OF_ONE:
                    break
                found[idea.technique] += 1
                yield board, idea, found
        if found and min(found.values()) >= wanted:
            return


def concluded(layout: Layout, idea: Idea) -> list[set[object]]:
    """The placements and removals of an idea, by cells and digits."""
    return [
        {(layout.cells[cell], layout.digits[digit]) for cell, digit in marks}
        for marks in (idea.places, idea.removes)
    ]


@pytest.mark.parametrize("name", BOARDS)
def test_every_sentence_is_true_and_enough(name: str) -> None:
    puzzle = BOARDS[name]
    layout = layout_of(puzzle)
    found: Counter[str] = Counter()
    positions = MOST_POSITIONS if WANTED else 4 if name == "knights" else 40
    for board, idea, found in ideas(puzzle, positions, WANTED or 100, seed=len(name)):  # noqa: B007
        hold(board, idea.say(), *concluded(layout, idea))
    print(f"\n{name}: {sum(found.values())} sentences; {dict(found.most_common())}")
    assert len(found) > 20


@pytest.mark.parametrize("name", ["lines", "sums"])
def test_a_sentence_with_another_number_is_not_believed(name: str) -> None:
    """One digit of a sentence becomes another: nearly always it is untrue then, or concludes else.

    A few stay true: the name of a further house that sees the cell as well, a weaker bound.
    """
    puzzle = BOARDS[name]
    layout, rng = layout_of(puzzle), random.Random(1)
    believed = told = 0
    for board, idea, _ in ideas(puzzle, 6, 25, seed=3):
        text = idea.say()
        spot = rng.choice([m.start() for m in re.finditer(r"\d", text)])
        other = rng.choice([d for d in "123456" if d != text[spot]])
        told += 1
        try:
            hold(board, text[:spot] + other + text[spot + 1 :], *concluded(layout, idea))
        except (AssertionError, KeyError, ValueError):
            continue
        believed += 1
    assert told > 200
    assert believed < 0.05 * told, f"{believed} of {told}"
