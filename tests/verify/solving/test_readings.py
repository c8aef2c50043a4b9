"""The strikes of rules: the same whatever was asked before, and with few premises about candidates."""

from __future__ import annotations

import random
from itertools import combinations

from gridassay.verify import read
from gridassay.verify.budget import Clock
from gridassay.verify.engines import sat_engine_for
from gridassay.verify.solving.board.ideas import Idea
from gridassay.verify.solving.board.position import Position, layout_of, members
from gridassay.verify.solving.board.premise_words import candidates_said, left_said
from gridassay.verify.solving.reasons.proving import follows
from gridassay.verify.solving.rule_meaning.desks import desks_of
from gridassay.verify.solving.rule_meaning.strikes import RuleReader, RuleStrikes

BUOYS = """
size = 6
[[rule]]
kind = "counting-circles"
cells = "r1c1 r1c2 r1c4 r2c2 r2c5 r3c3 r3c6 r4c1 r4c4 r5c2"
"""
"""Ten circles: many choices of houses strike the same candidate."""


SHED = """
size = 6
rule = [
    {kind = "cage", cells = "r1c1 r1c2 r2c2", sum = 11},
    {kind = "cage", cells = "r3c4 r3c5 r4c5", sum = 12},
    {kind = "thermometer", cells = "r5c1 r5c2 r6c3"},
]
"""


def boards(text: str, count: int) -> list[Position]:
    """Boards on which some candidates are gone, and one solution is left."""
    puzzle = read(text, "boards.toml")
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
    asked = boards(BUOYS, 108)
    layout = asked[0].layout
    used = RuleReader(layout)
    for board in asked[8:]:
        list(used.with_houses(board))
    several = 0
    for board in asked[:8]:
        desks_of.forget()
        fresh = [told(one) for one in RuleReader(layout).with_houses(board)]
        assert [told(one) for one in used.with_houses(board)] == fresh
        several += sum(len(houses) > 1 for _, houses, *_ in fresh)
    assert several > 10


def open_premises(reading: RuleStrikes, board: Position) -> int:
    """The number of its premises about candidates, decided cells not counted."""
    return sum(board.masks[cell].bit_count() > 1 for cell in reading.cells) + len(reading.spots)


def test_no_fewer_premises_about_candidates_are_enough() -> None:
    """Every smaller choice is tried on another engine."""
    several = 0
    clock = Clock(300)
    asked = boards(SHED, 40)
    layout = asked[0].layout
    engine = sat_engine_for(read(SHED, "boards.toml"), clock, for_steps=True)
    for board in asked:
        for reading in RuleReader(layout).with_houses(board):
            number = open_premises(reading, board)
            several += number > 1
            around = {cell for zone in reading.zones for cell in zone.cells}
            cells = sorted(around.union(reading.piece.scope))
            decided = tuple(cell for cell in cells if board.masks[cell].bit_count() == 1)
            spots = [(digit, zone) for zone in reading.zones for digit in range(6)]
            others = [*(cell for cell in cells if cell not in decided), *spots]
            for some in combinations(others, min(number - 1, 2)) if number else ():
                idea = Idea(
                    "fewer",
                    removes=reading.removes[:1],
                    cells=(*decided, *(one for one in some if isinstance(one, int))),
                    spots=tuple(one for one in some if not isinstance(one, int)),
                    switches=(reading.switch, *reading.houses),
                )
                assert not follows(engine, board, idea, clock), (told(reading), some)
    assert several > 20


def test_the_values_of_a_letter_are_said_as_runs() -> None:
    cage = 'kind = "cage"\ncells = "r1c1 r1c2 r2c1"\nsum = "A"'
    layout = layout_of(read(f"size = 6\n[[rule]]\n{cage}\n", "letters.toml"))
    letter = len(layout.cells)
    mask = sum(1 << layout.domains[letter].index(value) for value in (6, 7, 8, 10, 11, 14))
    assert left_said(layout, letter, mask) == "6 to 8, 10, 11 or 14"
    assert candidates_said(layout, {0: 0b1101, 2: 0b1101}) == ["r1c1 and r1c3 are each 1, 3 or 4"]
    assert candidates_said(layout, {0: 0b11101, 1: 0b111100}) == [
        "r1c1 is not 2 or 6",
        "r1c2 is 3 to 6",
    ]


def test_a_reading_is_the_same_on_boards_that_lose_candidates() -> None:
    """The strikes of a board are known on those with fewer candidates."""
    puzzle = read(SHED, "boards.toml")
    clock = Clock(300)
    solution = sat_engine_for(puzzle, clock).solve([], clock)
    assert solution is not None
    board = Position.start(puzzle)
    layout = board.layout
    gone = [
        (cell, digit)
        for cell, number in enumerate(solution)
        for digit in range(6)
        if digit + 1 != number
    ]
    random.Random(3).shuffle(gone)
    used, found = RuleReader(layout), 0
    while gone:
        for cell, digit in (gone.pop() for _ in range(min(6, len(gone)))):
            board.remove(cell, digit)
        desks_of.forget()
        fresh = [told(one) for one in RuleReader(layout).with_houses(board)]
        assert [told(one) for one in used.with_houses(board)] == fresh
        found += len(fresh)
    assert found > 10


def test_candidates_refuted_together_are_those_refuted_one_by_one() -> None:
    refuted = 0
    for board in boards(SHED, 20):
        reader = RuleReader(board.layout)
        for reading in reader.with_houses(board):
            desk, on = reader.desk(reading)
            cells = [*reading.piece.scope]
            about = desk.about_cells(board, cells)
            marks = [(cell, digit) for cell in cells for digit in members(board.masks[cell])]
            one_by_one = [mark for mark in marks if desk.refuted([mark], on, about)]
            assert desk.refuted(marks, on, about) == one_by_one
            refuted += len(one_by_one)
    assert refuted > 20
