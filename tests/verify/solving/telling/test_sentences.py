"""Every sentence of every technique, read back and decided from the board and the rules alone.

Random positions as in ``test_proofs.py``; how many sentences of each technique were held is printed. In
CI some hundreds, and with ``-m slow`` a thousand of each technique that occurs, where so many turn up.
"""

from __future__ import annotations

import random
from collections import Counter

import pytest

from gridassay.encodings.grid import classic
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.solving.board.position import layout_of
from gridassay.verify.solving.techniques import TECHNIQUES

from ..techniques.test_proofs import IRREGULAR, LINES, random_position
from .board import Board, Plain
from .reader import hold

MOST_OF_ONE = 20
"""Sentences of one technique taken from one position."""


def held(puzzle: Puzzle, positions: int, wanted: int, seed: int) -> Counter[str]:
    """Sentences that were read and found true, by technique; no more of one than are wanted."""
    rng = random.Random(seed)
    layout = layout_of(puzzle)
    plain = Plain(puzzle, layout.said)
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
                concluded = [
                    {(layout.cells[cell], layout.digits[digit]) for cell, digit in marks}
                    for marks in (idea.places, idea.removes)
                ]
                hold(board, idea.say(), *concluded)
                found[idea.technique] += 1
    return found


BOARDS = [Puzzle(classic(6)), LINES, IRREGULAR]


@pytest.mark.parametrize("number", range(len(BOARDS)), ids=["6×6", "lines", "irregular"])
def test_every_sentence_is_true_and_enough(number: int) -> None:
    found = held(BOARDS[number], 60, 100, seed=number)
    print(dict(found))
    assert len(found) > 10
