"""Deductions from rules, alone and with houses. Common practice, no published source."""

from __future__ import annotations

from collections.abc import Iterable

import pytest

from gridassay.encodings.grid import Cell
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify import read
from gridassay.verify.engines import sat_engine_for
from gridassay.verify.engines.sat import SatEngine
from gridassay.verify.solving.board.position import Position
from gridassay.verify.solving.reasons.proving import follows
from gridassay.verify.solving.rule_meaning.pieces import pieces_of
from gridassay.verify.solving.techniques import (
    Idea,
    alternation,
    equal_cells,
    house_totals,
    leftovers,
    rule_alone,
    rule_with_houses,
)

from ...minimal import CLOCK


def puzzle_with(*rules: str) -> Puzzle:
    return read("size = 9\n" + "".join(f"[[rule]]\n{rule}\n" for rule in rules), "tide.toml")


def said(ideas: Iterable[Idea], position: Position) -> list[str]:
    return [idea.say() for idea in ideas]


def struck(ideas: Iterable[Idea], position: Position) -> dict[str, str]:
    layout = position.layout
    found: dict[str, str] = {}
    for idea in ideas:
        placed = [
            (cell, other)
            for cell, digit in idea.places
            for other in range(len(layout.digits))
            if other != digit and position.has((cell, other))
        ]
        for cell, digit in sorted([*idea.removes, *placed]):
            name = str(layout.cells[cell])
            found[name] = found.get(name, "") + layout.symbol(digit)
    return found


def test_line_bounds_of_a_thermometer() -> None:
    position = Position.start(puzzle_with('kind = "thermometer"\ncells = "r1c1..r1c6"'))
    found = struck(rule_alone.find(position), position)
    assert found["r1c1"] == "56789"
    assert found["r1c6"] == "12345"
    assert found["r1c3"] == "12789"


def test_what_can_be_in_a_cage() -> None:
    position = Position.start(puzzle_with('kind = "cage"\ncells = "r1c1 r1c2 r2c1"\nsum = 7'))
    found = struck(rule_alone.find(position), position)
    assert found == dict.fromkeys(("r1c1", "r1c2", "r2c1"), "356789")


def test_rules_of_the_whole_grid_are_read_part_by_part() -> None:
    position = Position.start(puzzle_with('kind = "nonconsecutive"'))
    for digit in (0, 2, 3, 4, 5, 6, 7, 8):
        position.remove(40, digit)
    found = struck(rule_alone.find(position), position)
    assert found == dict.fromkeys(("r4c5", "r5c4", "r5c6", "r6c5"), "13")


def test_rules_that_only_keep_cells_apart_have_nothing_to_say() -> None:
    position = Position.start(puzzle_with('kind = "anti-knight"', 'kind = "diagonals"'))
    assert not list(rule_alone.find(position))


def after_the_rules_alone(*rules: str) -> Position:
    position = Position.start(puzzle_with(*rules))
    for idea in rule_alone.find(position):
        for mark in idea.removes:
            position.remove(*mark)
    return position


def test_what_a_cage_must_hold_leaves_the_rest_of_its_house() -> None:
    """8 in three cells is 1 2 5 or 1 3 4: either way the 1 of the box is in the cage."""
    position = after_the_rules_alone('kind = "cage"\ncells = "r1c1 r1c2 r2c1"\nsum = 8')
    ideas = list(rule_with_houses.find(position))
    rest = ("r1c3", "r2c2", "r2c3", "r3c1", "r3c2", "r3c3")
    assert struck(ideas, position) == dict.fromkeys(rest, "1")
    assert [idea.size for idea in ideas] == [(2, 0)]


def test_nothing_that_either_premise_strikes_without_the_other_is_said_again() -> None:
    """17 in two cells is 8 and 9, a naked pair in row and box once the cage has said so."""
    position = after_the_rules_alone('kind = "cage"\ncells = "r1c1 r1c2"\nsum = 17')
    assert not list(rule_with_houses.find(position))


def test_a_line_repeats_no_digit_in_a_box() -> None:
    """Three different digits total at least 6, so no bulb of them is less, and none of them over 6."""
    position = after_the_rules_alone('kind = "arrow"\nbulb = "r1c4"\nshaft = "r1c1 r1c2 r1c3"')
    ideas = list(rule_with_houses.find(position))
    found = struck(ideas, position)
    assert found["r1c4"] == "345"
    assert found["r1c1"] == found["r1c2"] == found["r1c3"] == "7"
    assert all(
        "the arrow in row 1, where no digit repeats: " in text for text in said(ideas, position)
    )
    engine = SatEngine(position.layout.model, CLOCK)
    assert all(follows(engine, position, idea, CLOCK) for idea in ideas)


def test_a_rule_whose_cells_share_no_house_has_nothing_more_to_say() -> None:
    position = Position.start(puzzle_with('kind = "palindrome"\ncells = "r1c1 r2c5 r3c9"'))
    assert not list(rule_with_houses.find(position))


INNIE = (
    'kind = "cage"\ncells = "r1c1..r1c4"\nsum = 20',
    'kind = "cage"\ncells = "r1c5..r1c8"\nsum = 21',
)
OUTIE = (
    'kind = "cage"\ncells = "r1c1..r1c5"\nsum = 25',
    'kind = "cage"\ncells = "r1c6..r1c9 r2c9"\nsum = 26',
)


@pytest.mark.parametrize(
    ("rules", "cell", "left", "words"),
    [
        (
            INNIE,
            "r1c9",
            "4",
            "row 1 makes 45; the 20 cage in row 1 and the 21 cage in row 1 make 41",
        ),
        (OUTIE, "r2c9", "6", "stick out by r2c9 alone"),
    ],
)
def test_a_cell_left_inside_or_outside(
    rules: tuple[str, ...], cell: str, left: str, words: str
) -> None:
    puzzle = puzzle_with(*rules)
    position = Position.start(puzzle)
    ideas = list(house_totals.find(position))
    gone = "".join(digit for digit in "123456789" if digit != left)
    assert struck(ideas, position)[cell] == gone
    assert any(words in text for text in said(ideas, position))
    for idea in ideas:
        assert follows(sat_engine_for(puzzle, CLOCK), position, idea, CLOCK)


def test_cells_left_over_in_a_house_differ() -> None:
    """8 in two cells of a row is 1+7, 2+6 or 3+5 (tables of killer handbooks): never 4+4."""
    position = Position.start(
        puzzle_with(
            'kind = "cage"\ncells = "r1c1..r1c4"\nsum = 20',
            'kind = "cage"\ncells = "r1c5..r1c7"\nsum = 17',
        )
    )
    found = struck(house_totals.find(position), position)
    assert found["r1c8"] == found["r1c9"] == "489"


def test_cells_left_over_in_no_house_of_the_sum_may_be_equal() -> None:
    """r2c1 and r2c9 make 25 + 28 − 45 = 8, and it is row 1 and the cages that say so, not row 2."""
    position = Position.start(
        puzzle_with(
            'kind = "cage"\ncells = "r1c1..r1c4 r2c1"\nsum = 25',
            'kind = "cage"\ncells = "r1c5..r1c9 r2c9"\nsum = 28',
        )
    )
    found = struck(house_totals.find(position), position)
    assert found["r2c1"] == found["r2c9"] == "89"


def test_a_house_total_that_does_not_add_up_is_not_proved() -> None:
    puzzle = puzzle_with(*INNIE)
    position = Position.start(puzzle)
    (idea, *_) = house_totals.find(position)
    engine = sat_engine_for(puzzle, CLOCK)
    less = Idea(
        idea.technique,
        places=idea.places,
        cells=idea.cells,
        switches=idea.switches,
        adding=idea.adding,
        taking=idea.taking[:1],
    )
    assert not follows(engine, position, less, CLOCK)
    more = Idea(
        idea.technique,
        removes=((8, 3),),
        cells=idea.cells,
        switches=idea.switches,
        adding=idea.adding,
        taking=idea.taking,
    )
    assert not follows(engine, position, more, CLOCK)


def test_law_of_leftovers() -> None:
    """Region A is row 1 but for its last cell, with r2c1 instead: r1c6 and r2c1 agree."""
    regions = "AAAAABABBBBBCCCDDDCCCDDDEEEFFFEEEFFF"
    puzzle = read(f'size = 6\nregions = "{regions}"\n', "slack.toml")
    position = Position.start(puzzle)
    layout = position.layout
    assert not list(leftovers.find(position))
    position.remove(layout.index[Cell(2, 1)], 3)
    ideas = list(leftovers.find(position))
    assert {mark for idea in ideas for mark in idea.removes} == {(layout.index[Cell(1, 6)], 3)}
    for idea in ideas:
        assert follows(sat_engine_for(puzzle, CLOCK), position, idea, CLOCK)


def test_where_the_doublers_lie_is_read_house_by_house() -> None:
    """It speaks of doublers only: no digit of a cell follows from it by itself."""
    puzzle = read(
        'size = 4\n[doublers]\n[[rule]]\nkind = "cage"\ncells = "r1c1 r1c2"\nsum = 9\n',
        "twice.toml",
    )
    pieces = list(pieces_of(Position.start(puzzle).layout))
    assert "cage r1c1 r1c2" in [piece.switch for piece in pieces]
    lie = [p for p in pieces if p.premise.parts[0].label.startswith("one doubler in")]
    assert len(lie) == 12
    assert all(not piece.cells and len(piece.scope) == 4 for piece in lie)


COPIES = {"r1c1 r5c5", "r1c2 r5c6", "r1c3 r5c7"}
MANY = {f"r1c{column} r5c{10 - column}" for column in range(1, 10)}
THREE = "r1c1 r5c5 r8c8"


@pytest.mark.parametrize(
    ("rule", "equal"),
    [
        ('kind = "palindrome"\ncells = "r2c2 r3c3 r4c4 r5c5"', {"r2c2 r5c5", "r3c3 r4c4"}),
        ('kind = "palindrome"\ncells = "r2c2 r3c3 r4c4 r5c5 r6c6"', {"r2c2 r6c6", "r3c3 r5c5"}),
        ('kind = "copy"\ncells = "r1c1 r1c2 r1c3"\nof = "r5c5 r5c6 r5c7"', COPIES),
        ('kind = "copy"\ncells = "r1c1..r1c9"\nof = "r5c9..r5c1"', MANY),
        ('kind = "relation"\ncells = "r1c1 r5c5 r8c8"\nholds = "a == b and b == c"', {THREE}),
        ('kind = "relation"\ncells = "r1c1 r5c5 r8c8"\nholds = "a == c"', {"r1c1 r8c8"}),
        ('kind = "relation"\ncells = "r1c1 r5c5 r8c8"\nholds = "a % 2 == b % 2"', set()),
        ('kind = "whisper"\ncells = "r2c2 r3c3 r4c4 r5c5"', set()),
    ],
)
def test_equality_is_read_off_what_a_rule_says(rule: str, equal: set[str]) -> None:
    position = Position.start(puzzle_with(rule))
    layout = position.layout
    joined = {
        " ".join(sorted(str(layout.cells[cell]) for cell in one.cells))
        for one in equal_cells._equal(layout)
    }
    assert joined == equal


def test_what_is_equal_takes_no_turns() -> None:
    """A line of one class throughout, or of mirrored classes, is not said to take turns."""
    for rule in (
        'kind = "palindrome"\ncells = "r2c2 r3c3 r4c4 r5c5"',
        'kind = "copy"\ncells = "r1c1 r1c2 r1c3"\nof = "r5c5 r5c6 r5c7"',
        'kind = "relation"\ncells = "r1c1 r5c5 r8c8"\nholds = "a % 2 == b % 2 and b % 2 == c % 2"',
    ):
        position = Position.start(puzzle_with(rule))
        layout = position.layout
        (name,) = (one.name for one in layout.premises.values() if one.kind == "rule")
        for cell in layout.scope(name):
            position = Position.start(puzzle_with(rule))
            for digit in (0, 2, 4, 6, 8):
                position.remove(cell, digit)
            assert not list(alternation.find(position)), rule


def test_bounds_are_counted_along_a_thermometer_from_either_end() -> None:
    """A bound that meets a gap goes on from the next digit, which is then said."""
    puzzle = puzzle_with('kind = "thermometer"\ncells = "r1c1 r2c2 r3c3 r4c4"')
    position = Position.start(puzzle)
    layout = position.layout
    for digit in (1, 2):
        position.remove(layout.index[Cell(1, 1)], layout.digit_index[digit])
    for digit in (4, 5):
        position.remove(layout.index[Cell(2, 2)], layout.digit_index[digit])
    (text,) = said(rule_alone.find(position), position)
    assert text.endswith(
        "as r2c2 is not 4 or 5, r1c1 is at least 3, so r2c2 is at least 6, r3c3 at least 7 and r4c4 at "
        "least 8; r4c4 is at most 9, so r3c3 is at most 8, r2c2 at most 7 and r1c1 at most 6"
    )
