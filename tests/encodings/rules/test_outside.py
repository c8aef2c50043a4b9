"""Clues outside the grid: witnesses on small scopes, counts known from combinatorics, errors."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from itertools import permutations, product
from math import factorial

import pytest

from gridassay.encodings.documents import read_document
from gridassay.encodings.grid import Cell
from gridassay.encodings.lines import PuzzleError
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.engines.sat import SatEngine

from .witnesses import CLOCK, bare, solutions, witnesses


def rule(kind: str, fields: str) -> str:
    return f'[[rule]]\nkind = "{kind}"\n{fields}\n'


ROW = 'line = "r1"\n'
LEFT = ROW + 'side = "left"\n'
RIGHT = ROW + 'side = "right"\n'
KINDS = [
    ("sandwich", ROW + "sum = 5"),
    ("sandwich", ROW + "sum = 0"),
    ("sandwich", ROW + "sum = 40"),
    ("x-sum", LEFT + "sum = 6"),
    ("x-sum", RIGHT + "sum = 1"),
    ("seen-count", LEFT + "seen = 2"),
    ("seen-count", RIGHT + "seen = 4"),
    ("seen-count", RIGHT + "seen = 0"),
    ("numbered-room", LEFT + "digit = 1"),
    ("numbered-room", RIGHT + "digit = 3"),
    ("battlefield", ROW + "sum = 4"),
    ("battlefield", ROW + "sum = 0"),
    ("head-sum", LEFT + "length = 2\nsum = 5"),
    ("head-sum", RIGHT + "length = 4\nsum = 9"),
    ("head-digits", RIGHT + "length = 3\ndigits = [2, 3]"),
    ("head-digits", LEFT + "length = 3\ndigits = [2, 2]"),
]


@pytest.mark.parametrize(("kind", "fields"), KINDS)
def test_witnesses_on_a_row(kind: str, fields: str) -> None:
    witnesses(bare(1, 4, 4, rule(kind, fields)))


@pytest.mark.parametrize(
    ("kind", "fields"),
    [
        ("sandwich", ROW + 'sum = "A"'),
        ("x-sum", LEFT + 'sum = "A"'),
        ("seen-count", RIGHT + 'seen = "A"'),
        ("numbered-room", LEFT + 'digit = "A"'),
        ("battlefield", ROW + 'sum = "A"'),
        ("head-sum", LEFT + 'length = 2\nsum = "A"'),
        ("little-killer", 'start = "r1c1"\ndirection = "down-right"\nsum = "A"'),
    ],
)
def test_witnesses_with_a_letter(kind: str, fields: str) -> None:
    assert witnesses(bare(1, 3, 3, rule(kind, fields))) > 0


@pytest.mark.parametrize(("kind", "fields"), [k for k in KINDS if "sum" in k[1] or "seen" in k[1]])
def test_witnesses_with_doublers(kind: str, fields: str) -> None:
    # A bare canvas has no houses, so that any cell may count double.
    witnesses(bare(1, 4, 2, rule(kind, fields), extra="[doublers]"))


def test_doublers_count_double_and_reach_as_their_digits_say() -> None:
    x_sum = bare(1, 3, 3, rule("x-sum", LEFT + "sum = 5"), extra="[doublers]")
    twice_first = (2, 1, 3, 1, 0, 0)  # 2 doubled, and 1: two cells, not four
    assert next(x_sum.violations(twice_first), None) is None
    seen = bare(1, 3, 3, rule("seen-count", LEFT + "seen = 1"), extra="[doublers]")
    assert next(seen.violations((2, 1, 3, 1, 0, 0)), None) is None  # 4 hides 1 and 3
    room = bare(1, 3, 3, rule("numbered-room", LEFT + "digit = 1"), extra="[doublers]")
    assert next(room.violations((2, 1, 3, 1, 1, 0)), None) is None
    sandwich = bare(1, 3, 3, rule("sandwich", ROW + "sum = 4"), extra="[doublers]")
    assert next(sandwich.violations((1, 2, 3, 1, 1, 1)), None) is None
    battle = bare(1, 3, 3, rule("battlefield", ROW + "sum = 6"), extra="[doublers]")
    assert next(battle.violations((1, 3, 1, 1, 1, 0)), None) is None


@pytest.mark.parametrize(
    ("kind", "fields"),
    [
        ("sandwich", ROW + "sum = 1"),
        ("x-sum", LEFT + "sum = 0"),
        ("x-sum", RIGHT + "sum = 3"),
        ("seen-count", LEFT + "seen = 2"),
        ("numbered-room", LEFT + "digit = 0"),
        ("battlefield", ROW + "sum = 2"),
        ("battlefield", ROW + 'sum = "A"'),
        ("head-digits", LEFT + "length = 2\ndigits = [0]"),
    ],
)
@pytest.mark.parametrize("width", [2, 3])
def test_witnesses_with_zero_and_digits_beyond_the_row(kind: str, fields: str, width: int) -> None:
    head = f'rows = 1\ncolumns = {width}\nhouses = "none"\ndigits = [0, 1, 2, 4]\n'
    witnesses(read_document(head + rule(kind, fields), "t.toml"))


@pytest.mark.parametrize(
    ("start", "direction", "cells"),
    [
        ("r1c1", "down-right", "r1c1 r2c2"),
        ("r1c3", "down-left", "r1c3 r2c2 r3c1"),
        ("r3c2", "up-right", "r3c2 r2c3"),
        ("r3c3", "up-left", "r3c3"),
    ],
)
def test_little_killer_runs_to_the_edge_or_a_hole(start: str, direction: str, cells: str) -> None:
    head = 'rows = 3\ncolumns = 3\nhouses = "none"\ndigits = [1, 2, 3]\ngivens = "'
    grid = "..." + "..." + "..." if start != "r3c3" else "..." + "._." + "..."
    if start == "r1c1":
        grid = "........_"
    fields = f'start = "{start}"\ndirection = "{direction}"\nsum = 4'
    puzzle = read_document(f'{head}{grid}"\n{rule("little-killer", fields)}', "t.toml")
    places = [puzzle.canvas.index[Cell(int(c[1]), int(c[3]))] for c in cells.split()]
    for row in product((1, 2, 3), repeat=len(puzzle.canvas.cells)):
        total = sum(row[place] for place in places)
        assert (next(puzzle.violations(row), None) is None) is (total == 4)


def test_little_killer_witnesses() -> None:
    fields = 'start = "r2c1"\ndirection = "up-right"\nsum = 5'
    assert witnesses(bare(2, 2, 4, rule("little-killer", fields))) == 4 * 16


def test_little_killer_counts() -> None:
    # Compositions of 12 into 3 parts of 1 to 9: C(11, 2) less 3 for a part of 10 or more.
    fields = 'start = "r1c1"\ndirection = "down-right"\nsum = 12'
    head = 'rows = 3\ncolumns = 3\nhouses = "none"\ngivens = ".__ _._ __."\n'
    puzzle = read_document(head + rule("little-killer", fields), "t.toml")
    assert len(solutions(SatEngine(puzzle.model, CLOCK))) == 55 - 3


def keeping(puzzle: Puzzle, size: int) -> int:
    """How many permutations keep the rules, by plain reading."""
    rows = permutations(range(1, size + 1))
    return sum(next(puzzle.violations(row), None) is None for row in rows)


def differing(size: int, text: str) -> Puzzle:
    cage = f'[[rule]]\nkind = "cage"\ncells = "r1c1..r1c{size}"\n'
    return bare(1, size, size, text + cage)


def both_counts(size: int, text: str) -> int:
    puzzle = differing(size, text)
    count = keeping(puzzle, size)
    assert len(solutions(SatEngine(puzzle.model, CLOCK))) == count
    return count


STIRLING = [0, 24, 50, 35, 10, 1]  # unsigned, first kind, n = 5: OEIS A132393, from memory


@pytest.mark.parametrize("seen", range(6))
@pytest.mark.parametrize("side", ["left", "right"])
def test_seen_counts_are_stirling_numbers(seen: int, side: str) -> None:
    text = rule("seen-count", f'{ROW}side = "{side}"\nseen = {seen}')
    assert both_counts(5, text) == STIRLING[seen]


@pytest.mark.parametrize("digit", range(1, 6))
def test_numbered_room_counts(digit: int) -> None:
    # For 1: the first cell is 1, or X with 1 in cell X. Else X is neither 1 nor the digit.
    expected = 2 * factorial(4) if digit == 1 else 3 * factorial(3)
    assert both_counts(5, rule("numbered-room", f"{RIGHT}digit = {digit}")) == expected


def test_sandwich_counts() -> None:
    # With k cells between, 1 and 5 stand in 2 * (5 - k - 1) ways; the 2, 3, 4 between total 5 only
    # as 2 + 3 in two orders, and one cell is left outside.
    assert both_counts(5, rule("sandwich", ROW + "sum = 5")) == 2 * 2 * 2
    assert both_counts(5, rule("sandwich", ROW + "sum = 0")) == 2 * 4 * factorial(3)


# Direct readings of the rule text, written on a whole permutation in ways other than the rules' own.
def _sandwich(row: tuple[int, ...]) -> int:
    text = "".join(map(str, row))
    low, high = str(min(row)), str(max(row))
    inside = text.partition(low)[2].partition(high)[0]
    if high not in text.partition(low)[2]:
        inside = text.partition(high)[2].partition(low)[0]
    return sum(map(int, inside))


def _x_sum(row: tuple[int, ...]) -> int:
    return sum(digit for place, digit in enumerate(row, start=1) if place <= row[0])


def _battlefield(row: tuple[int, ...]) -> int:
    size = len(row)
    left, right = set(range(row[0])), set(range(size - row[-1], size))
    both = left & right or set(range(size)) - left - right
    return sum(row[place] for place in both)


@pytest.mark.parametrize(
    ("kind", "field", "reading"),
    [
        ("sandwich", "", _sandwich),
        ("x-sum", 'side = "left"\n', _x_sum),
        ("battlefield", "", _battlefield),
    ],
)
@pytest.mark.parametrize("size", [5, 7])
def test_all_permutations(
    kind: str, field: str, reading: Callable[[tuple[int, ...]], int], size: int
) -> None:
    expected = Counter(reading(row) for row in permutations(range(1, size + 1)))
    totals = range(max(expected) + 2) if size == 5 else list(expected)[::5]
    for total in totals:
        puzzle = differing(size, rule(kind, f"{ROW}{field}sum = {total}"))
        assert keeping(puzzle, size) == expected[total]
        if size == 5:
            assert len(solutions(SatEngine(puzzle.model, CLOCK))) == expected[total]


def test_head_counts() -> None:
    # Three cells of 1 to 9 with both a 4 and a 7: by inclusion and exclusion.
    text = rule("head-digits", LEFT + "length = 3\ndigits = [4, 7]")
    assert len(solutions(SatEngine(bare(1, 3, 9, text).model, CLOCK))) == 9**3 - 2 * 8**3 + 7**3
    text = rule("head-sum", LEFT + "length = 3\nsum = 6")
    assert len(solutions(SatEngine(bare(1, 3, 9, text).model, CLOCK))) == 10  # C(5, 2)


GRID = "size = 6\n"


@pytest.mark.parametrize(
    ("line", "side", "cells"),
    [
        ("r2", "left", ["r2c1", "r2c2", "r2c3"]),
        ("r2", "right", ["r2c6", "r2c5", "r2c4"]),
        ("c5", "top", ["r1c5", "r2c5"]),
        ("c5", "bottom", ["r6c5", "r5c5"]),
    ],
)
def test_a_head_is_as_long_as_its_box(line: str, side: str, cells: list[str]) -> None:
    text = rule("head-sum", f'line = "{line}"\nside = "{side}"\nsum = 6')
    puzzle = read_document(GRID + text, "t.toml")
    (shape,) = puzzle.rules[0].shapes(puzzle.board)
    assert list(map(str, shape.cells)) == cells


def test_lines_are_counted_within_their_grid() -> None:
    head = '[[grid]]\nat = "r1c1"\nsize = 4\n[[grid]]\nat = "r3c3"\nsize = 4\n'
    text = rule("x-sum", 'line = "c1"\nside = "bottom"\nsum = 3\ngrid = "B"')
    puzzle = read_document(head + text, "t.toml")
    (part,) = puzzle.rules[0].parts(puzzle.board)
    assert part.label == "x-sum column 1 of B from bottom"
    assert next(part.constraint.scope()) == Cell(6, 3)
    assert puzzle.rule_names == ("x-sum c1 of B bottom",)


SIX = "size = 6\n"
TWO = '[[grid]]\nat = "r1c1"\nsize = 4\n[[grid]]\nat = "r3c3"\nsize = 4\n'
BARE = 'rows = 2\ncolumns = 3\nhouses = "none"\ngivens = "... ._."\n'
THIN = 'rows = 2\ncolumns = 1\nhouses = "none"\n'


@pytest.mark.parametrize(
    ("head", "kind", "fields", "message"),
    [
        (SIX, "sandwich", 'line = "row 1"\nsum = 5', "line: 'row 1' is neither a row such as 'r3'"),
        (SIX, "sandwich", 'line = "r7"\nsum = 5', "line: there are 6 rows, but no r7"),
        (SIX, "x-sum", 'line = "r1"\nside = "top"\nsum = 5', "side: r1 is read from left or right"),
        (
            SIX,
            "x-sum",
            'line = "c1"\nside = "left"\nsum = 5',
            "side: c1 is read from top or bottom",
        ),
        (SIX, "x-sum", LEFT + 'sum = "5a"', "sum: '5a' is neither a number nor a letter"),
        (SIX, "head-sum", LEFT + "length = 7\nsum = 5", "length: r1 has 6 cells, not 7"),
        (SIX + 'box = "none"\n', "head-sum", LEFT + "sum = 5", "length is missing"),
        (SIX, "head-digits", LEFT + "digits = [7]", "digits: 7 is not a digit here"),
        (SIX, "sandwich", ROW + 'sum = 5\ngrid = "B"', "there is no grid 'B'"),
        (TWO, "sandwich", ROW + "sum = 5", "say which grid is meant: grid = 'A' or 'B'"),
        (BARE, "sandwich", 'line = "r2"\nsum = 5', "line: r2 is broken by the hole at r2c2"),
        (THIN, "battlefield", ROW + "sum = 5", "line: r1 has only one cell"),
        (THIN + "digits = [3]\n", "sandwich", ROW + "sum = 5", "the only digit is both"),
        (
            SIX,
            "little-killer",
            'start = "r1c7"\ndirection = "down-left"\nsum = 5',
            "start: r1c7 is not on the canvas",
        ),
        (
            SIX,
            "little-killer",
            'start = "r1c1 r2c2"\ndirection = "down-left"\nsum = 5',
            "start: one cell is needed, not 2",
        ),
        (
            TWO,
            "little-killer",
            'start = "r6c6"\ndirection = "up-left"\nsum = 5\ngrid = "A"',
            "start: r6c6 is not in grid 'A'",
        ),
    ],
)
def test_errors(head: str, kind: str, fields: str, message: str) -> None:
    with pytest.raises(PuzzleError, match=r"^t\.toml:\d+: rule 1 ") as caught:
        read_document(head + rule(kind, fields), "t.toml")
    assert message in str(caught.value)


def test_a_diagonal_ends_at_the_edge_of_its_grid() -> None:
    fields = 'start = "r1c1"\ndirection = "down-right"\nsum = 9\n'
    whole, within = (
        read_document(TWO + rule("little-killer", fields + extra), "t.toml")
        for extra in ("", 'grid = "A"')
    )
    (longer,), (shorter,) = (list(p.rules[0].shapes(p.board)) for p in (whole, within))
    assert (len(longer.cells), len(shorter.cells)) == (6, 4)
    assert longer.direction == (1, 1)
