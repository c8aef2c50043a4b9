"""A letter can be every number with which its clue can hold.

``Rule.letters`` sets what a letter can be for the plain reading, for both engines and for most
tests at once, so a range that is too narrow would lose the same solutions everywhere. Here the
numbers come from the readings of the attack, which were written again from the descriptions and
know nothing of gridassay: every filling of the clue's cells is tried with every number.
"""

from __future__ import annotations

from itertools import product
from typing import Any

import pytest

from gridassay.encodings.documents import read_document
from gridassay.encodings.rules import RULES

from ...attack.boards import Board, cells_of
from ...attack.readings import READINGS, Scene

NUMBERS = range(-20, 140)
DIGITS = ((1, 2, 3, 4), (0, 2, 3), (3, 4, 5))

LINE = {"line": "r1"}
SIDE = LINE | {"side": "left"}
CLUES: tuple[tuple[str, dict[str, Any], str, tuple[int, int]], ...] = (
    ("cage", {"cells": "r1c1 r1c2"}, "sum", (1, 2)),
    ("cage", {"cells": "r1c1 r1c2 r1c3", "repeats": True}, "sum", (1, 3)),
    ("calculation-cage", {"cells": "r1c1 r1c2"}, "target", (1, 2)),
    *(
        ("calculation-cage", {"cells": "r1c1 r1c2 r1c3", "operation": sign}, "target", (1, 3))
        for sign in "+-*/"
    ),
    ("calculation-cage", {"cells": "r1c1"}, "target", (1, 1)),
    ("pair-sum", {"cells": "r1c1 r1c2"}, "sum", (1, 2)),
    ("pair-difference", {"cells": "r1c1 r1c2"}, "value", (1, 2)),
    ("pair-ratio", {"cells": "r1c1 r1c2"}, "value", (1, 2)),
    ("sum-run", {"cells": "r1c1..r1c3"}, "total", (1, 3)),
    ("sum-run", {"cells": "r1c1..r1c4"}, "total", (1, 4)),
    ("little-killer", {"start": "r1c1", "direction": "down-right"}, "sum", (2, 2)),
    ("sandwich", LINE, "sum", (1, 4)),
    ("battlefield", LINE, "sum", (1, 4)),
    ("x-sum", SIDE, "sum", (1, 4)),
    ("seen-count", SIDE, "seen", (1, 4)),
    ("numbered-room", SIDE, "digit", (1, 4)),
    ("head-sum", SIDE | {"length": 2}, "sum", (1, 4)),
    ("head-sum", SIDE | {"length": 3}, "sum", (1, 4)),
)
FROM_BELOW = (
    ("whisper", {"cells": "r1c1..r1c3"}, "difference", (1, 3)),
    ("spread", {"cells": "r1c1..r1c3"}, "difference", (1, 3)),
    ("outside-ends", {"cells": "r1c1..r1c3"}, "difference", (1, 3)),
)


def numbers_that_can_hold(
    kind: str, fields: dict[str, Any], key: str, shape: tuple[int, int], digits: tuple[int, ...]
) -> set[int]:
    rows, columns = shape
    board = Board("", "", rows, columns, digits, cells_of(rows, columns), (), (), ())
    fillings = list(product(digits, repeat=rows * columns))
    if kind == "pair-ratio" or fields.get("operation", key) in ("/", "target"):
        # 0 is any number of times 0: no span holds them all.
        fillings = [filling for filling in fillings if 0 not in filling]
    found = set()
    for number in NUMBERS:
        table = fields | {"kind": kind, key: number}
        holds = READINGS[kind](table, Scene(board, [table]))
        if any(holds(filling, filling, {}) for filling in fillings):
            found.add(number)
    return found


def span(
    kind: str, fields: dict[str, Any], key: str, shape: tuple[int, int], digits: tuple[int, ...]
) -> range:
    rows, columns = shape
    head = f'rows = {rows}\ncolumns = {columns}\nhouses = "none"\ndigits = {list(digits)}\n'
    puzzle = read_document(head)
    rule = RULES[kind].model_validate({"kind": kind, key: "Q"} | fields)
    rule.check(puzzle.bare_board)
    ((letter, (low, high)),) = rule.letters(puzzle.bare_board).items()
    assert letter == "Q"
    return range(low, high + 1)


@pytest.mark.parametrize("digits", DIGITS, ids=str)
@pytest.mark.parametrize("clue", CLUES, ids=lambda clue: f"{clue[0]} {clue[1]}")
def test_every_number_that_can_hold_is_in_the_span(
    clue: tuple[str, dict[str, Any], str, tuple[int, int]], digits: tuple[int, ...]
) -> None:
    possible = numbers_that_can_hold(*clue, digits)
    assert possible or (clue[1].get("operation"), digits[1:]) in [("/", (2, 3)), ("/", (4, 5))]
    missing = possible - set(span(*clue, digits))
    assert not missing


@pytest.mark.parametrize("digits", DIGITS, ids=str)
@pytest.mark.parametrize("clue", FROM_BELOW, ids=lambda clue: clue[0])
def test_the_greatest_difference_that_can_hold_is_in_the_span(
    clue: tuple[str, dict[str, Any], str, tuple[int, int]], digits: tuple[int, ...]
) -> None:
    """Whatever differs by at least so much differs by at least any less."""
    possible = numbers_that_can_hold(*clue, digits)
    assert set(range(1, max(possible) + 1)) <= set(span(*clue, digits))


@pytest.mark.parametrize("modulus", range(2, 8))
def test_every_modulus_that_tells_digits_apart_is_in_the_span(modulus: int) -> None:
    """From 5 on, 1 to 4 leave themselves over; 5 stands for all of those."""
    clue = ("modular", {"cells": "r1c1..r1c3"}, "modulus", (1, 3))
    told = span(*clue, (1, 2, 3, 4))
    assert min(modulus, 5) in told


def test_doublers_widen_the_span() -> None:
    """Two cells of 1 to 4, either doubled or not, make 2 to 16."""
    puzzle = read_document(
        "size = 4\n[doublers]\n"
        '[[rule]]\nkind = "pair-sum"\ncells = "r1c1 r1c2"\nsum = "Q"\n'
        '[[rule]]\nkind = "cage"\ncells = "r3c1 r3c2"\nsum = "R"\n'
        '[[rule]]\nkind = "pair-difference"\ncells = "r4c1 r4c2"\nvalue = "S"\n'
        '[[rule]]\nkind = "little-killer"\nstart = "r1c3"\ndirection = "down-right"\nsum = "T"\n'
    )
    letters = puzzle.board.letters
    for name, low, high in (("Q", 3, 12), ("R", 3, 12), ("S", 0, 7), ("T", 2, 12)):
        assert set(range(low, high + 1)) <= set(letters[name])
