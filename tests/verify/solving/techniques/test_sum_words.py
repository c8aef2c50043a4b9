"""Sums in the words of rules, counted by hand: arrows, cages with letters, what two digits shut in.

Sentences on random positions are held by ``telling/``. Common practice, no published source.
"""

from __future__ import annotations

from gridassay.verify import read
from gridassay.verify.solving.board.position import Position
from gridassay.verify.solving.board.steps import step_of
from gridassay.verify.solving.techniques import rule_alone, sure_digit

from .test_clash_words import told
from .test_rules import puzzle_with

ARROW = 'kind = "arrow"\nbulb = "r1c1"\nshaft = "r1c2 r1c3"'
SANDWICH = 'kind = "sandwich"\nline = "r1"\nsum = 18'


def narrowed(rule: str, candidates: dict[str, str]) -> Position:
    """The board of a rule with these candidates."""
    position = Position.start(puzzle_with(rule))
    layout = position.layout
    number = {str(cell): place for place, cell in enumerate(layout.cells)}
    for name, left in candidates.items():
        for digit in range(9):
            if layout.symbol(digit) not in left:
                position.remove(number[name], digit)
    return position


def test_an_arrow_is_told_bulb_by_bulb() -> None:
    """From 2, 5, 6 and 7 two make 4, 7, 8 or 9, each in one way."""
    (text,) = told(ARROW, {"r1c2": "2567", "r1c3": "2567"}, alone=True)
    assert text.endswith(
        ": as r1c2 and r1c3 are each 2 or 5 to 7, r1c1 can be 4 as 2+2, 7 as 2+5, 8 as 2+6 or 9 as 2+7, "
        "so 1, 2, 3, 5 and 6 can be removed from r1c1"
    )


def test_sums_are_not_told_where_their_order_matters() -> None:
    """3 goes from r1c3 although 9 is 3+6: only with 9 in the bulb."""
    (text,) = told(ARROW, {"r1c2": "67"}, alone=True)
    assert "r1c1-r1c2-r1c3 is 7-6-1, 8-6-2, 8-7-1, 9-6-3 or 9-7-2, so " in text


def test_sums_that_leave_nothing_beside_them() -> None:
    """r2c1 is 1 or 2, so 3 is not 1+2: the arrow is 4, 1+3, and r2c1 is 2."""
    texts = told(ARROW, {"r1c1": "34", "r2c1": "12"})
    assert any(
        "3 as 1+2 would leave nothing for r2c1; r1c1 can only be 4, as 1+3 with 2 in r2c1, so "
        in text
        for text in texts
    )


def test_a_digit_that_an_arrow_must_hold() -> None:
    """Without 2 the shaft would be 5 and 5 at least."""
    texts = [
        idea.say() for idea in sure_digit.find(narrowed(ARROW, {"r1c2": "2567", "r1c3": "2567"}))
    ]
    assert any(
        "they make at least 10 without 2, and r1c1 is at most 9; its 2 is in r1c1, r1c2 or r1c3, "
        in text
        for text in texts
    )


def test_a_sandwich_is_told_by_what_is_shut_in() -> None:
    """1 is in r1c7: only 9 in r1c2 shuts in 5 and 8 and two digits that make 5."""
    left = {"r1c4": "5", "r1c6": "8", "r1c7": "1", "r1c5": "234"}
    left |= {"r1c1": "234679", "r1c2": "4679", "r1c3": "23467", "r1c8": "2346", "r1c9": "234679"}
    (text,) = told(SANDWICH, left, alone=True)
    assert text.startswith(
        "the 18 sandwich of row 1: with 1 in r1c7, 9 in r1c9 would shut in at most 6, and in r1c1 at "
        "least 22; 18 less 5 and 8 is 5, which r1c3 and r1c5 make, so "
    )
    assert "make, so r1c2 is 9; " in text


def test_an_end_of_a_sandwich_with_too_little_or_too_much_on_all_sides() -> None:
    """2, 3 and 4 are in the middle: up to them is one cell at most, beyond them they and two more."""
    left = {"r1c2": "15789", "r1c3": "1578", "r1c4": "234", "r1c5": "23", "r1c6": "234"}
    texts = told(SANDWICH.replace("18", "14"), left, alone=True)
    assert any(
        "9 in r1c1 would shut in at most 8 with 1 in r1c2 or r1c3, and at least 21 with 1 anywhere else"
        in text
        for text in texts
    ), texts


def test_the_heading_of_a_letter_says_what_is_left() -> None:
    puzzle = read(
        'size = 9\ngivens = """\n9.. ... ...\n' + "... ... ...\n" * 8 + '"""\n'
        '[[rule]]\nkind = "cage"\ncells = "r1c1 r1c2"\nsum = "A"\n',
        "letter.toml",
    )
    position = Position.start(puzzle)
    (idea,) = rule_alone.find(position)
    step = step_of(idea, position)
    assert step.heading(puzzle.canvas) == "A is 10 to 17"
    assert step.claim(puzzle.canvas) == "A not 2, 3, 4, 5, 6, 7, 8, 9, 18"
