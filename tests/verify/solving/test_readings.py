"""The strikes of a rule with its houses depend on the board, not on what its reader was asked before."""

from __future__ import annotations

import random

from gridassay.verify import read
from gridassay.verify.budget import Clock
from gridassay.verify.engines import sat_engine_for
from gridassay.verify.solving.board.position import Position
from gridassay.verify.solving.rule_meaning.strikes import RuleReader, RuleStrikes

BUOYS = """
size = 6
[[rule]]
kind = "counting-circles"
cells = "r1c1 r1c2 r1c4 r2c2 r2c5 r3c3 r3c6 r4c1 r4c4 r5c2"
"""
"""Ten circles: many choices of houses strike the same candidate."""


def boards(count: int) -> list[Position]:
    """Boards on which some candidates are gone, and one solution is left."""
    puzzle = read(BUOYS, "buoys.toml")
    clock = Clock(300)
    solution = sat_engine_for(puzzle, clock).solve([], clock)
    assert solution is not None
    dice = random.Random(1)
    found = []
    for _ in range(count):
        board = Position.start(puzzle)
        gone = dice.choice([0.1, 0.2, 0.3, 0.4])
        for cell, digit in enumerate(solution):
            for other in range(6):
                if str(other + 1) != str(digit) and dice.random() < gone:
                    board.remove(cell, other)
        found.append(board)
    return found


def told(reading: RuleStrikes) -> tuple[object, ...]:
    """A reading as plain data."""
    spots = [(digit, zone.switch) for digit, zone in reading.spots]
    return reading.switch, reading.houses, reading.removes, reading.cells, spots


def test_a_reading_is_the_same_after_a_hundred_other_questions() -> None:
    asked = boards(108)
    layout = asked[0].layout
    used = RuleReader(layout)
    for board in asked[8:]:
        list(used.with_houses(board))
    several = 0
    for board in asked[:8]:
        fresh = [told(one) for one in RuleReader(layout).with_houses(board)]
        assert [told(one) for one in used.with_houses(board)] == fresh
        several += sum(len(houses) > 1 for _, houses, *_ in fresh)
    assert several > 10
