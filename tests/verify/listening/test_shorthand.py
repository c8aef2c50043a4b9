"""Shorthand: the cell first or its digit, and figures side by side, each with what its author means.

The notes are our own; what they mean is what their order says, whatever the puzzle.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from gridassay.verify import read_file
from gridassay.verify.listening.forms import sentences
from gridassay.verify.listening.hearing import hearer_of
from gridassay.verify.solving.board.position import layout_of

HERON = Path(__file__).parent / "narrations" / "puzzles" / "heron.txt"

DIGIT_FIRST = "3 r4c4, 7 r5c1 b4, 9 r2c2.\n1 r8c3 last in c3, 2 r8c8.\n"
CELL_FIRST = "r4c4 3, r5c1 7 b4, r2c2 9.\nr8c3 1 last in c3, r8c8 2.\n"
BOTH = "3 r4c4, 7 r5c1, 9 r2c2.\nr8c3 1, r8c8 2, r6c7 5.\n"


def claims(notes: str) -> list[tuple[set[str], str, tuple[str, ...]]]:
    """The marks, the technique and the houses of each claim of some notes."""
    puzzle = read_file(HERON)
    hearer = hearer_of(puzzle, layout_of(puzzle), spoken=False)
    pieces = list(sentences(notes))
    hearer.learn([one.text for one in pieces], lambda *_: False)
    return [
        (
            {f"{cell}={digit}" for cell, digit in one.places}
            | {f"{cell}-{digit}" for cell, digit in one.removes},
            one.technique,
            one.houses,
        )
        for piece in pieces
        for one in hearer.hear(piece.text)[0]
    ]


def marks(said: str, after: str) -> set[str]:
    """The marks of a line that stands after the lines of some notes."""
    before = len(claims(after))
    return set().union(*(one[0] for one in claims(f"{after}\n{said}\n")[before:]))


PARTED = [
    (DIGIT_FIRST, "between r6c2 and r6c3: 8 r6c2, 4 r7c7", {"r6c2=8", "r7c7=4"}),
    (DIGIT_FIRST, "6 r1c6 4 r1c9 5 r3c7", {"r1c6=6", "r1c9=4", "r3c7=5"}),
    (DIGIT_FIRST, "r6c3 is 2 or 8, 4 r7c7", {f"r6c3-{d}" for d in "1345679"} | {"r7c7=4"}),
    (CELL_FIRST, "7 and 9 are done here, r6c2 8", {"r6c2=8"}),
    (CELL_FIRST, "with 4 | r6c2 8 | r7c7 4", {"r6c2=8", "r7c7=4"}),
    (CELL_FIRST, "those make 6 + 2, r6c2 8", {"r6c2=8"}),
]


@pytest.mark.parametrize(("notes", "said", "meant"), PARTED)
def test_a_comma_before_a_claim_in_the_order_of_the_notes_parts(
    notes: str, said: str, meant: set[str]
) -> None:
    assert marks(said, notes) == meant


def test_what_trails_a_claim_stays_with_it() -> None:
    found = claims(f"{DIGIT_FIRST}8 r6c2 naked, 4 r7c7 b9, 5 r1c1\n")[-3:]
    assert found == [
        ({"r6c2=8"}, "naked single", ()),
        ({"r7c7=4"}, "", ("box 9",)),
        ({"r1c1=5"}, "", ()),
    ]


def test_digits_listed_before_their_cell_stay_a_list() -> None:
    assert marks("not 1, 5 r2c3", DIGIT_FIRST) == {"r2c3-1", "r2c3-5"}


def test_notes_in_both_orders_are_heard_as_each_line_has_it() -> None:
    assert marks("8 r6c2, 4 r7c7", BOTH) == {"r6c2=8", "r7c7=4"}
    assert marks("r6c2 8, r7c7 4", BOTH) == {"r6c2=8", "r7c7=4"}


SIDE_BY_SIDE = [
    ("no 1 4 6 in r2c5", {"r2c5-1", "r2c5-4", "r2c5-6"}),
    ("r2c4 checked, no 1 4 6 8 in r2c5", {"r2c5-1", "r2c5-4", "r2c5-6", "r2c5-8"}),
    ("r2c5 3 9 only", {f"r2c5-{digit}" for digit in "1245678"}),
]


@pytest.mark.parametrize(("said", "meant"), SIDE_BY_SIDE)
def test_figures_side_by_side_are_one_list(said: str, meant: set[str]) -> None:
    assert marks(said, "") == meant
