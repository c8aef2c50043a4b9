"""No technique proposes what does not follow: every idea on random positions is proved.

A random position is a full grid with some candidates pencilled back in, so that it has a solution and
any pattern may occur. The solution must never be struck, and every idea must follow from exactly the
premises it names, on plain grids and on irregular, doubled and ruled ones.
"""

from __future__ import annotations

import random
from collections import Counter

import pytest

from gridassay.encodings.grid import Grid, canvas_of, classic
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify import read
from gridassay.verify.engines import sat_engine_for
from gridassay.verify.solving.board.candidates_file import read_candidates
from gridassay.verify.solving.board.position import Position, layout_of
from gridassay.verify.solving.reasons.proving import follows
from gridassay.verify.solving.techniques import TECHNIQUES, rectangles, universal_grave

from ...minimal import CLOCK, random_solution, variant

DIAGONAL = read('size = 9\n[[rule]]\nkind = "diagonals"\n', "diagonal.toml")
KNIGHT = read('size = 9\n[[rule]]\nkind = "anti-knight"\n', "knight.toml")
IRREGULAR = Puzzle(canvas_of([Grid(6, regions="AAABBBACCCBBAACDDBECCDFFEEDDDFEEEFFF")]))
LINES = read(
    """
size = 6
rule = [
    {kind = "cage", cells = "r1c1 r1c2 r2c1", sum = 9},
    {kind = "cage", cells = "r6c5 r6c6", sum = 7},
    {kind = "arrow", bulb = "r3c1", shaft = "r4c1 r4c2"},
    {kind = "whisper", cells = "r1c4 r2c4 r3c4 r3c3", difference = 3},
    {kind = "renban", cells = "r5c3 r5c4 r6c4 r6c3"},
    {kind = "parity-line", cells = "r1c6 r2c6 r3c6 r4c6"},
    {kind = "slow-thermometer", cells = "r5c1 r5c2 r6c2"},
]
""",
    "lines.toml",
)
TWO_GRIDS = Puzzle(
    canvas_of([Grid(6, box=(2, 3)), Grid(6, at=classic(9).cells[3 * 9 + 3], box=(2, 3), name="B")])
)


def random_position(puzzle: Puzzle, rng: random.Random) -> tuple[Position, list[int]]:
    """A position with a known solution; candidates come back by digit, cell and at random."""
    layout = layout_of(puzzle)
    solution = random_solution(puzzle, rng)
    digits = [layout.digit_index[digit] for digit in solution[: len(layout.cells)]]
    masks = [1 << digit for digit in digits]
    open_cells = set(rng.sample(range(len(masks)), rng.randint(len(masks) // 3, len(masks))))
    share = rng.choice((0.15, 0.25, 0.4))
    for cell in open_cells:
        for digit in range(len(layout.digits)):
            if rng.random() < share:
                masks[cell] |= 1 << digit
    position = Position(layout, masks)
    for cell in range(len(masks)):
        if cell not in open_cells:
            position.place(cell, digits[cell])
    return position, digits


def hold_all_ideas(puzzle: Puzzle, number: int, seed: int) -> Counter[str]:
    rng = random.Random(seed)
    engine = sat_engine_for(puzzle, CLOCK)
    found: Counter[str] = Counter()
    for _ in range(number):
        position, digits = random_position(puzzle, rng)
        for technique in TECHNIQUES:
            for place, idea in enumerate(technique.find(position)):
                if place == 20:
                    break
                found[idea.technique] += 1
                assert idea.technique in technique.names
                assert idea.places or idea.removes
                assert all(position.has(mark) for mark in (*idea.places, *idea.removes))
                assert follows(engine, position, idea, CLOCK), (idea, position.masks)
                if not technique.promised:
                    assert all(digits[cell] == digit for cell, digit in idea.places)
                    assert all(digits[cell] != digit for cell, digit in idea.removes)
    return found


@pytest.mark.parametrize(
    ("puzzle", "number"),
    [
        (Puzzle(classic(6)), 80),
        (IRREGULAR, 80),
        (TWO_GRIDS, 20),
        (Puzzle(classic(5)), 40),
        (Puzzle(classic(9), rules=variant(1).rules), 8),
        (LINES, 30),
    ],
    ids=["6×6", "irregular", "two grids", "Latin", "cages and thermometers", "lines"],
)
def test_every_idea_is_proved(puzzle: Puzzle, number: int) -> None:
    found = hold_all_ideas(puzzle, number, seed=number)
    assert len(found) > 10


@pytest.mark.slow
@pytest.mark.parametrize(
    "puzzle", [Puzzle(classic(9)), DIAGONAL, KNIGHT], ids=["9×9", "diagonals", "anti-knight"]
)
def test_every_idea_is_proved_on_full_size(puzzle: Puzzle) -> None:
    found = hold_all_ideas(puzzle, 30, seed=9)
    assert found["W-wing"]
    assert found["locked candidates"]


@pytest.mark.parametrize("puzzle", [Puzzle(classic(9)), DIAGONAL], ids=["9×9", "diagonals"])
def test_every_idea_about_a_planted_rectangle_is_proved(puzzle: Puzzle) -> None:
    """Corners with a pair, two of them with more, and few digits in the other cells of their line."""
    rng, engine = random.Random(4), sat_engine_for(puzzle, CLOCK)
    layout = layout_of(puzzle)
    beside = 0
    for _ in range(25):
        top, bottom = rng.sample(range(3), 2)
        left, right = 3 * rng.randrange(2), 6 + rng.randrange(3)
        one, other, *few = rng.sample(range(9), 6)
        pair = 1 << one | 1 << other
        masks = [layout.all_digits] * 81
        for column in range(9):
            masks[9 * top + column] = sum(1 << d for d in few if rng.random() < 0.5) or 1 << few[0]
        for row, column in ((bottom, left), (bottom, right), (top, left), (top, right)):
            masks[9 * row + column] = pair
        for column, extra in ((left, few[0]), (right, few[1])):
            masks[9 * top + column] |= 1 << extra
        position = Position(layout, masks)
        for idea in rectangles.unique_rectangles(position):
            assert follows(engine, position, idea, CLOCK), (idea, masks)
            beside += len(idea.shown) > 4
    assert beside > 10


GRAVE = "123 12 34 34\n34 34 12 12\n12 12 34 34\n34 34 12 12\n"


def test_bivalue_universal_grave() -> None:
    """All cells have two candidates but one, and without its 3 every digit has two places a house."""
    puzzle = Puzzle(classic(4))
    position = read_candidates(GRAVE, puzzle)
    (idea,) = universal_grave.find(position)
    assert idea.places == ((0, 2),)
    assert follows(sat_engine_for(puzzle, CLOCK), position, idea, CLOCK)
    position.given = 1 << 15
    assert not list(universal_grave.find(position))


def test_no_grave_where_a_rule_would_notice_the_exchange() -> None:
    puzzle = read(
        'size = 4\n[[rule]]\nkind = "cage"\ncells = "r1c1 r1c2 r1c3"\nsum = 6\n', "a.toml"
    )
    assert not list(universal_grave.find(read_candidates(GRAVE, puzzle)))
