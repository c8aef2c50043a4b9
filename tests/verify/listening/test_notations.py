"""Notes that name cells in another way than *r4c7*, each with the cell that its author says it is.

The notes are our own; which of row and column comes first is what they declare, or what is true of the
board that they are about.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from gridassay.encodings.grid import Cell
from gridassay.verify import read_file
from gridassay.verify.listening.hearing import hearer_of
from gridassay.verify.listening.notations import Notation, notation_of
from gridassay.verify.listening.talk import audit_talk
from gridassay.verify.solving.board.position import layout_of

HERON = Path(__file__).parent / "narrations" / "puzzles" / "heron.txt"

FIGURES, TURNED = Notation("figures", False), Notation("figures", True)
LETTERS, CHESS = Notation("letters", False), Notation("letters", True, upper=False)

DECLARED = [
    ("62 means row 6 column 2", FIGURES),
    ("I write 62 for column 6, row 2", TURNED),
    ("26 = r6 c2 here", TURNED),
    ("rows A-I, columns 1-9", LETTERS),
    ("Rows are lettered, top to bottom: F3, B7", LETTERS),
    ("columns a to i, so a1 is top left, e5 the middle", CHESS),
    ("B4 = row B, col 4", LETTERS),
    ("cells as (row, column), top left is (1,1)", Notation("pairs", False)),
    ("everything is (c,r) today", Notation("pairs", True)),
    ("(x,y) = col x, row y", Notation("pairs", True)),
    ("Heron (row.col) after tea\n5.5=3 5.6=4", Notation("parted", False, sign=".")),
    ("(col/row)\n5/5 = 3", Notation("parted", True, sign="/")),
    ("(row.col)\n(5.5) = 3, (5.6) = 4", Notation("pairs", False)),
    ("I put 6.2 for row 6 col 2", Notation("parted", False, sign=".")),
    ("files a to h and i, e.g. b3, ranks 1 to 9", None),
    ("files a-i, so d4 and e5", CHESS),
    ("rows A-I, so 4D, 5E", Notation("numbered", True)),
    ("r2c1 4, b2: r2c4 1, B1: r2c1 next, r2c4 7", None),
    ("box 6: 78 are left for r6c7, r6c8", None),
]


def never(_cell: Cell, _digit: int) -> bool:
    return False


@pytest.mark.parametrize(("said", "meant"), DECLARED)
def test_a_notation_that_is_declared_is_taken(said: str, meant: Notation | None) -> None:
    assert notation_of(said.splitlines(), read_file(HERON).canvas, never) == meant


def notes(names: list[str]) -> str:
    return ", ".join(f"{name}={number + 1}" for number, name in enumerate(names))


@pytest.mark.parametrize(
    ("names", "turned"),
    [
        (["12", "34", "57", "68", "91"], TURNED),
        (["(1,2)", "(3, 4)", "(5,7)", "(6,8)", "(9,1)"], Notation("pairs", True)),
        (["1.2", "3.4", "5.7", "6.8", "9.1"], Notation("parted", True, sign=".")),
        (["1-2", "3-4", "5-7", "6-8", "9-1"], Notation("parted", True, sign="-")),
        (["1x2", "3x4", "5x7", "6x8", "9x1"], Notation("parted", True, sign="x")),
        (["B4", "D1", "F6", "H2", "I9"], Notation("letters", True)),
        (["4B", "1D", "6F", "2H", "9I"], Notation("numbered", True)),
        (["b4", "d1", "f6", "h2", "i9"], CHESS),
    ],
)
def test_what_is_true_tells_whether_the_row_or_the_column_comes_first(
    names: list[str], turned: Notation
) -> None:
    canvas = read_file(HERON).canvas
    said = [notes(names)]

    def true_of(one: Notation) -> Callable[[Cell, int], bool]:
        return lambda cell, digit: (cell, (digit,)) in one.claims(said)

    assert notation_of(said, canvas, true_of(turned)) == turned
    straight = replace(turned, column_first=False)
    assert notation_of(said, canvas, true_of(straight)) == straight
    assert notation_of(said, canvas, never) is None


def test_letters_go_as_far_as_the_grid_does() -> None:
    small = read_file(HERON.parent / "ships-biscuit.toml").canvas
    assert notation_of(["rows A-F down"], small, never) == replace(LETTERS, size=6)
    assert notation_of(["rows A-I down"], small, never) is None
    assert notation_of(["rows A-F down"], read_file(HERON).canvas, never) is None


def test_boxes_with_digits_after_them_are_no_cells() -> None:
    said = ["b1 = 4, b2 = 7, c3 = 5, b6 = 1, c9 = 2"]
    assert notation_of(said, read_file(HERON).canvas, lambda *_: True) is None


SAID = [
    ("62 = row 6 col 2\n55-65 makes 55=8, 65=2", {"r5c5=8", "r6c5=2"}),
    ("62 = row 6 col 2\n28 is 7 or 9", {f"r2c8-{digit}" for digit in "1234568"}),
    ("62 = row 6 col 2\n13 cage: 44 not 5", {"r4c4-5"}),
    ("62 = row 6 col 2\n55 = 3 56 = 4, 5 at 91", {"r5c5=3", "r5c6=4", "r9c1=5"}),
    ("rows A-I\nB5=3, D7 not 4", {"r2c5=3", "r4c7-4"}),
    ("by (row.col)\n5.5=3 5.6=4, no 5 in 9.1 9.2", {"r5c5=3", "r5c6=4", "r9c1-5", "r9c2-5"}),
    ("a cell is row-col\n5-5=3\n1-3-2-3-3-3 have no 5", {"r5c5=3", "r1c3-5", "r2c3-5", "r3c3-5"}),
    ("a cell is row/col\n5/5=3\nno 5 in 1/4/1/5", {"r5c5=3", "r1c4-5", "r1c5-5"}),
    (
        "62 = row 6 col 2\n55/65 2 8",
        {f"r{row}c5-{one}" for row in (5, 6) for one in (1, 3, 4, 5, 6, 7, 9)},
    ),
    ("62 = row 6 col 2\n55 3 56 4, 5 91", {"r5c5=3", "r5c6=4", "r9c1=5"}),
    ("62 = row 6 col 2\n55: 3  56: 4", {"r5c5=3", "r5c6=4"}),
    ("62 = row 6 col 2\n3 > 55, 4 > 56", {"r5c5=3", "r5c6=4"}),
    ("62 = row 6 col 2\n55+65=12, 12 minutes later 55=4", {"r5c5=4"}),
    (
        "62 = row 6 col 2\n55=7+, 65 min 8",
        {*(f"r5c5-{one}" for one in range(1, 7)), *(f"r6c5-{one}" for one in range(1, 8))},
    ),
    ("columns a-i\nb5=3 d7 <> 4", {"r5c2=3", "r7c4-4"}),
]


@pytest.mark.parametrize(("said", "meant"), SAID)
def test_cells_are_heard_in_the_notation_of_the_notes(said: str, meant: set[str]) -> None:
    puzzle = read_file(HERON)
    hearer = hearer_of(puzzle, layout_of(puzzle), spoken=False)
    lines = said.splitlines()
    hearer.learn(lines, never)
    heard = [one for line in lines[1:] for one in hearer.hear(line)[0]]
    found = {f"{cell}={digit}" for one in heard for cell, digit in one.places}
    assert found | {f"{cell}-{digit}" for one in heard for cell, digit in one.removes} == meant


def test_a_row_is_called_by_its_letter() -> None:
    puzzle = read_file(HERON)
    hearer = hearer_of(puzzle, layout_of(puzzle), spoken=False)
    hearer.learn(["rows A-I"], never)
    tokens = hearer.tokens("row C, D row and row 7")
    assert [one.house for one in tokens if one.letter == "H"] == ["row 3", "row 4", "row 7"]


def test_an_audit_finds_the_notation_and_quotes_the_words_as_they_stand() -> None:
    puzzle = read_file(HERON)
    solution = audit_talk(puzzle, "", form="prose")
    assert solution.steps == ()
    listed = audit_talk(puzzle, "A1 A2 A3 are the rows A-I.\nA9 <> 5 and so on", form="prose")
    assert [one.said for one in listed.steps] == ["A9 <> 5"]
    assert listed.steps[0].means == "r1c9 not 5"
