"""Parts of steps, one by one: lies among clues, bounds, the order in which cells are filled, premises.

Each is worked out by hand beside it. Common practice, no published source.
"""

from __future__ import annotations

import pytest

from gridassay.encodings.documents import read_document
from gridassay.encodings.grid import Cell, classic, parse_cells
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.solving.board.position import Position
from gridassay.verify.solving.techniques import (
    almost_locked_sets,
    hidden_single,
    naked_sets,
    rule_alone,
)
from gridassay.verify.solving.techniques.bounds import bounds
from gridassay.verify.solving.techniques.facts import Needs, Reads

from .test_clash_words import told

CLUES = (
    'kind = "exactly"\ncount = 1\nof = [{kind = "cage", cells = "r1c1 r1c2", sum = 17}, '
    '{kind = "odd", cells = "r5c5"}]'
)


@pytest.mark.parametrize(
    ("left", "words"), [("24", "2 or 4"), ("13", "1 or 3"), ("1234567", "1 to 7")]
)
def test_a_clue_that_is_false_leaves_the_other_true(left: str, words: str) -> None:
    """17 in two cells is 8 and 9; r1c1 is neither."""
    (text,) = told(CLUES, {"r1c1": left}, alone=True)
    assert text.endswith(
        f"as r1c1 is {words}, the 17 cage in box 1 is false, so the other one is true: by the odd mark "
        "at r5c5, 2, 4, 6 and 8 can be removed from r5c5"
    )


def test_a_clue_that_must_not_be_false() -> None:
    """Both are true, so what would make one of them false goes, whichever clue it is."""
    both = CLUES.replace("count = 1", "count = 2")
    (text,) = told(both, {"r1c1": "89", "r1c2": "89"}, alone=True)
    assert text.endswith("by the odd mark at r5c5, 2, 4, 6 and 8 can be removed from r5c5")


@pytest.mark.parametrize(
    ("digits", "always", "words"),
    [
        ("9", False, "9 can be removed from r1c1"),
        ("9", True, "r1c1 is at most 8"),
        ("89", False, "r1c1 is at most 7"),
        ("12345678", False, "r1c1 is 9"),
    ],
)
def test_a_single_removal_is_told_as_one_unless_a_bound_is_asked_for(
    digits: str, always: bool, words: str
) -> None:
    removes = [(0, int(digit) - 1) for digit in digits]
    position = Position.start(Puzzle(classic(9)))
    assert bounds(position, removes, always=always) == words
    if not always:
        assert bounds(position, removes) == words


@pytest.mark.parametrize(
    ("fillings", "words"),
    [
        ("15 51 24 42", "2-6 or 3-5 in either order"),
        ("15 51 24", "2-6, 6-2 or 3-5"),
        ("11 22", "2-2 or 3-3"),
    ],
)
def test_the_order_is_left_open_only_if_every_order_is_there(fillings: str, words: str) -> None:
    ways = tuple(tuple(map(int, one)) for one in fillings.split())
    said = Reads.of((0, 1), ways).words(Position.start(Puzzle(classic(9))).layout)
    assert said == f"r1c1-r1c2 is {words}"


def test_one_cell_with_two_candidates_needs_no_house() -> None:
    """Sets of one and of two cells, joined by 1: r1c1 (12) with r4c1 (13) and r4c2 (23).

    If r1c1 is not 2, it is 1; then r4c1 is 3 and r4c2 is 2. So r2c2 is not 2. Column 1 and row 4 (or box
    4) are used, box 1 and column 2 strike; row 1 holds one of these cells, so it tells nothing.
    """
    position = Position.start(Puzzle(classic(9)))
    layout = position.layout
    for name, left in {"r1c1": "12", "r4c1": "13", "r4c2": "23", "r1c2": "79"}.items():
        for digit in range(9):
            if layout.symbol(digit) not in left:
                position.remove(layout.index[next(parse_cells(name))], digit)
    target = (layout.index[Cell(2, 2)], 1)
    found = [idea for idea in almost_locked_sets.find(position) if target in idea.removes]
    assert found
    for idea in found:
        named = {layout.premise_of(switch).name for switch in idea.switches}
        assert "row 1" not in named
        assert named >= {"column 1", "box 1", "column 2"}


def test_a_digit_is_needed_in_two_cells_only_if_it_cannot_be_in_both() -> None:
    """6 in r3c3 needs 1 in r2c2 and in r4c4, but these two may both be 1. What is wrong is r1c1."""
    left = {"r1c1": "12", "r2c2": "16789", "r3c3": "1236", "r4c4": "16789", "r5c5": "1234"}
    line = 'kind = "whisper"\ncells = "r1c1 r2c2 r3c3 r4c4 r5c5"\ndifference = 5'
    (text,) = told(line, left, alone=True)
    assert "both" not in text


@pytest.mark.parametrize("cell", range(16))
def test_the_hidden_single_of_a_row_in_any_of_its_cells(cell: int) -> None:
    """A digit that is gone from the other three cells of a row stands in this one."""
    position = Position.start(Puzzle(classic(4)))
    row = next(zone for zone in position.layout.zones if cell in zone.cells)
    for other in row.cells:
        if other != cell:
            position.remove(other, 2)
    assert row.name == f"row {cell // 4 + 1}"
    for digit in range(4):
        idea = hidden_single.at(position, row, digit)
        assert (idea.places if idea else None) == (((cell, 2),) if digit == 2 else None)


@pytest.mark.parametrize(
    ("needs", "words"),
    [
        (((1, 0b1000),), "1 in r1c1 needs 4 in r1c2, where it is gone"),
        (((4, 0b1100),), "1 in r1c1 needs 3 or 4 in r2c1, where none is left"),
        (((1, 0b1000), (4, 0b1000)), "1 in r1c1 needs 4 in both r1c2 and r2c1"),
        (((1, 0),), "nothing in r1c2 goes with 1 in r1c1"),
        ((), "nothing goes beside 1"),
    ],
)
def test_what_a_digit_needs_beside_it(needs: tuple[tuple[int, int], ...], words: str) -> None:
    assert Needs(0, (0,), needs).words(Position.start(Puzzle(classic(4))).layout) == words


def test_naked_pairs_near_some_cells() -> None:
    """1 and 2 are left in r1c1 and r1c2: they go from the rest of row 1 and of box 1."""
    position = Position.start(Puzzle(classic(4)))
    for cell, digit in ((0, 2), (0, 3), (1, 2), (1, 3)):
        position.remove(cell, digit)
    struck = {frozenset(idea.removes) for idea in naked_sets.pairs(position, 1)}
    rests = ((2, 3), (4, 5))
    assert struck == {
        frozenset((cell, digit) for cell in rest for digit in (0, 1)) for rest in rests
    }
    assert not list(naked_sets.pairs(position, 1 << 15))


def test_what_a_rule_strikes_by_itself_is_an_opening_step() -> None:
    """3 in two cells is 1 and 2. With 2 gone from r1c1, r1c2 is not 1: that rests on r1c1."""
    text = 'size = 4\n[[rule]]\nkind = "cage"\ncells = "r1c1 r1c2"\nsum = 3\n'
    position = Position.start(read_document(text))
    (opening,) = rule_alone.find(position)
    assert (opening.cells, opening.group) == ((), "opening")
    for cell, digit in opening.removes:
        position.remove(cell, digit)
    position.remove(0, 1)
    (later,) = rule_alone.find(position)
    assert (later.cells[0], later.places, later.group) == (0, ((1, 1),), "")
