"""Cell marks, counting circles and indexing: witnesses, and counts by other means."""

from __future__ import annotations

from itertools import combinations, product
from math import comb, factorial

import pytest

from gridassay.encodings.board import Filled
from gridassay.encodings.documents import read_document
from gridassay.encodings.grid import Cell
from gridassay.encodings.lines import PuzzleError
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.engines.sat import SatEngine

from .witnesses import CLOCK, bare, solutions, witnesses


def mark(kind: str, cells: str, fields: str = "") -> str:
    return f'[[rule]]\nkind = "{kind}"\ncells = "{cells}"\n{fields}\n'


def canvas(rows: int, columns: int, digits: str, rule: str) -> Puzzle:
    head = f'rows = {rows}\ncolumns = {columns}\nhouses = "none"\ndigits = {digits}\n'
    return read_document(head + rule)


@pytest.mark.parametrize(
    ("kind", "fields", "five", "from_zero"),
    [
        # How many of the digits 1 to 5, and of 0 to 5, may stand in a cell: by hand.
        ("even", "", 2, 3),
        ("odd", "", 3, 3),
        ("low", "", 2, 3),
        ("high", "", 2, 3),
        ("among", "digits = [0, 2, 5, 7]", 2, 3),
        ("among", "digits = [8]", 0, 0),
    ],
)
def test_digits_left(kind: str, fields: str, five: int, from_zero: int) -> None:
    rule = mark(kind, "r1c1 r1c3", fields)
    assert witnesses(bare(1, 3, 5, rule)) == five * five * 5
    assert witnesses(canvas(1, 3, "[0, 1, 2, 3, 4, 5]", rule)) == from_zero * from_zero * 6
    # Parity and halves are those of digits, not of what they count.
    assert witnesses(bare(1, 1, 5, mark(kind, "r1c1", fields), "[doublers]")) == five * 2


BELOW, ABOVE = "below-neighbours", "above-neighbours"


@pytest.mark.parametrize(
    "rules",
    [
        mark(BELOW, "r1c1"),
        mark(ABOVE, "r1c1 r1c2"),
        mark(BELOW, "r1c1") + mark(BELOW, "r1c2"),
        mark(BELOW, "r1c1") + mark(ABOVE, "r1c2 r2c1"),
    ],
)
def test_neighbours(rules: str) -> None:
    witnesses(bare(2, 2, 3, rules))
    witnesses(bare(2, 2, 2, rules, "[doublers]"))


def test_neighbours_marked_by_another_rule_are_left_out() -> None:
    alone = bare(1, 2, 4, mark(BELOW, "r1c1"))
    assert len(solutions(SatEngine(alone.model, CLOCK))) == 6
    both = bare(1, 2, 4, mark(BELOW, "r1c1") + mark(BELOW, "r1c2"))
    assert len(solutions(SatEngine(both.model, CLOCK))) == 16
    # Also while the other is switched off: the rule says what is drawn.
    assert len(solutions(SatEngine(both.model, CLOCK), [f"{BELOW} r1c1"])) == 16


def test_neighbours_across_a_hole_are_none() -> None:
    head = 'rows = 1\ncolumns = 3\nhouses = "none"\ndigits = [1, 2, 3]\ngivens = "._."\n'
    assert witnesses(read_document(head + mark(ABOVE, "r1c1"))) == 9


def circles(cells: int) -> str:
    return mark("counting-circles", f"r1c1..r1c{cells}")


@pytest.mark.parametrize(("cells", "digits"), [(1, 3), (3, 3), (4, 3), (5, 4)])
def test_circle_witnesses(cells: int, digits: int) -> None:
    witnesses(bare(1, cells, digits, circles(cells)))


@pytest.mark.parametrize("cells", [4, 5, 6, 7])
def test_circle_counts(cells: int) -> None:
    # A set of digits of that total, each digit d written d times: multinomial coefficients.
    expected = 0
    for size in range(1, 4):
        for digits in combinations(range(1, 10), size):
            if sum(digits) == cells:
                words = factorial(cells)
                for digit in digits:
                    words //= factorial(digit)
                expected += words
    puzzle = bare(1, cells, 9, circles(cells))
    assert len(solutions(SatEngine(puzzle.model, CLOCK))) == expected


def test_a_zero_is_in_no_circle() -> None:
    assert witnesses(canvas(1, 3, "[0, 1, 2]", circles(3))) == 3


@pytest.mark.parametrize("around", ["all", "sides"])
@pytest.mark.parametrize("digits", ["[1]", "[0, 2]"])
def test_neighbour_counts_are_witnessed(around: str, digits: str) -> None:
    fields = f'digits = {digits}\naround = "{around}"'
    witnesses(canvas(2, 3, "[0, 1, 2]", mark("counts-neighbours", "r1c1 r1c2", fields)))


@pytest.mark.parametrize(("around", "cells"), [("all", 8), ("sides", 4)])
def test_neighbour_counts_are_binomial(around: str, cells: int) -> None:
    # The middle of 3 by 3 cells holds d of three digits, and d of its neighbours one of the two that
    # are listed: the sum over d of C(cells, d) 2^d, the others free.
    fields = f'digits = [2, 3]\naround = "{around}"'
    puzzle = bare(3, 3, 3, mark("counts-neighbours", "r2c2", fields))
    (rule,) = puzzle.rules
    others = [cell for cell in puzzle.canvas.cells if cell != (2, 2)]
    found = sum(
        rule.holds(
            Filled(puzzle.board, dict(zip(others, digits, strict=True)) | {Cell(2, 2): middle})
        )
        for digits in product((1, 2, 3), repeat=8)
        for middle in (1, 2, 3)
    )
    assert found == sum(comb(cells, d) * 2**d for d in (1, 2, 3)) * 3 ** (8 - cells)


def index(line: str, fields: str = "") -> str:
    return f'[[rule]]\nkind = "indexing"\nline = "{line}"\n{fields}\n'


@pytest.mark.parametrize("line", ["c1", "c2", "r1", "r2"])
@pytest.mark.parametrize(("rows", "columns", "digits"), [(1, 3, 4), (2, 2, 3), (2, 3, 3)])
def test_index_witnesses(line: str, rows: int, columns: int, digits: int) -> None:
    if line == "r2" and rows == 1:
        line = "r1"
    witnesses(bare(rows, columns, digits, index(line)))
    witnesses(canvas(rows, columns, "[0, 1, 2]", index(line)))


def test_index_around_a_hole() -> None:
    head = 'rows = 2\ncolumns = 3\nhouses = "none"\ndigits = [1, 2, 3]\ngivens = "._...."\n'
    witnesses(read_document(head + index("c1")))


@pytest.mark.parametrize("n", [3, 4, 5])
def test_index_counts(n: int) -> None:
    # In a row of all digits that c1 indexes, 1 stands first, or d does and 1 in column d: the digit
    # d ≠ 1 fixes two cells. (n−1)! + (n−1)·(n−2)! = 2(n−1)! rows, the same as a numbered room of 1.
    row = f'[[rule]]\nkind = "all-different"\ncells = "r1c1..r1c{n}"\n'
    puzzle = bare(1, n, n, index("c1") + row)
    assert len(solutions(SatEngine(puzzle.model, CLOCK))) == 2 * factorial(n - 1)


def test_index_counts_lines_in_its_grid() -> None:
    head = (
        '[[grid]]\nname = "A"\nsize = 4\nat = "r1c1"\n[[grid]]\nname = "B"\nsize = 4\nat = "r3c3"\n'
    )
    puzzle = read_document(head + index("c2", 'grid = "B"'))
    assert [str(part.label) for part in puzzle.rules[0].parts(puzzle.board)] == [
        f"indexing column 2 of B r{row}c4" for row in (3, 4, 5, 6)
    ]
    assert puzzle.rule_names == ("indexing c2 of B",)
    with pytest.raises(PuzzleError, match="say which grid is meant: grid = 'A' or 'B'"):
        read_document(head + index("c2"))


@pytest.mark.parametrize(
    ("rule", "message"),
    [
        (mark("even", ""), "cells lists 0, but at least 1 are needed"),
        (mark("odd", "r1c1 r1c1"), "r1c1 is listed twice"),
        (mark("high", "r3c1"), "r3c1 is not on the canvas"),
        (mark("among", "r1c1"), "digits is missing"),
        (mark("counting-circles", "r1c1", "digits = [1]"), "there is no field 'digits'"),
        (index("c3"), "line: there are 2 columns, but no c3"),
        (index("d3"), "line: "),
        (index("c0"), "line: "),
    ],
)
def test_errors(rule: str, message: str) -> None:
    with pytest.raises(PuzzleError) as caught:
        bare(2, 2, 4, rule)
    assert message in str(caught.value)


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("c2", "In column 2, each digit tells in which column the 2 of its row stands."),
        ("r3", "In row 3, each digit tells in which row the 3 of its column stands."),
    ],
)
def test_indexing_is_said_of_its_own_line(line: str, words: str) -> None:
    puzzle = read_document(f"size = 4\n{index(line)}", "test.toml")
    assert puzzle.rules[0].wording() == words
