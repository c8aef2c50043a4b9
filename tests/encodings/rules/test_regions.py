"""Regions to be found and the rules on them: three witnesses, counts of partitions from elsewhere."""

from __future__ import annotations

import pytest

from gridassay.encodings.documents import read_document
from gridassay.encodings.lines import PuzzleError
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify import check
from gridassay.verify.budget import Clock
from gridassay.verify.engines.sat import SatEngine

from .boards import count
from .witnesses import read_plainly, solutions, witnesses


def board(
    rows: int, columns: int, layer: str, rules: str = "", digits: str = '"none"', head: str = ""
) -> Puzzle:
    named = f'[[layer]]\nname = "parishes"\nkind = "regions"\n{layer}\n'
    text = f'rows = {rows}\ncolumns = {columns}\nhouses = "none"\ndigits = {digits}\n{head}\n'
    return read_document(f"{text}{named}\n{rules}", "test.toml")


def rule(kind: str, *fields: str) -> str:
    return "\n".join(["[[rule]]", f'kind = "{kind}"', 'layer = "parishes"', *fields, ""])


FREE = 'sizes = "free"'


def test_partitions_into_connected_regions() -> None:
    """Of the n×n board 1, 12, 1434 (OEIS A145835)."""
    assert [count(board(n, n, FREE)) for n in (1, 2)] == [1, 12]


def test_partitions_into_n_regions_of_n_cells() -> None:
    """1, 2, 10, 117 (OEIS A172477)."""
    assert [count(board(n, n, f"sizes = {n}")) for n in (1, 2, 3, 4)] == [1, 2, 10, 117]


def test_dominoes_on_the_square() -> None:
    """36 on 4×4 (from memory)."""
    assert count(board(4, 4, "sizes = 2")) == 36


@pytest.mark.parametrize(
    ("layer", "digits"),
    [
        (FREE, '"none"'),
        ("sizes = 3", '"none"'),
        ("sizes = [1, 2, 3]", '"none"'),
        ('sizes = "free"\ngivens = ["r1c1=r2c3", "r1c2|r2c2"]', '"none"'),
    ],
)
def test_plain_reading_and_clauses_agree(layer: str, digits: str) -> None:
    puzzle = board(2, 3, layer, digits=digits)
    plain = read_plainly(puzzle)
    given = set(solutions(SatEngine(puzzle.with_givens(()).model, Clock(60))))
    fits = {row for row in given if next(puzzle.violations(row), None) is None}
    assert fits == plain
    assert plain
    assert check(puzzle, engine="both").status == ("unique" if len(plain) == 1 else "multiple")


def test_houses_hold_no_digit_twice() -> None:
    puzzle = board(2, 2, "sizes = 2\nhouses = true", digits="[1, 2]")
    plain = read_plainly(puzzle)
    assert set(solutions(SatEngine(puzzle.model, Clock(60)))) == plain
    assert len(plain) == 2 * 2 * 2
    assert check(puzzle, engine="both").status == "multiple"


@pytest.mark.parametrize("kind", ["one-region"])
@pytest.mark.parametrize("extra", ["", "together = false"])
def test_witnesses(kind: str, extra: str) -> None:
    text = rule(kind, 'cells = "r1c1 r2c2"', extra)
    witnesses(board(2, 2, FREE, text))
    witnesses(board(1, 3, FREE, rule(kind, 'cells = "r1c1 r1c2 r1c3"', extra)))


def test_digits_that_are_sizes() -> None:
    witnesses(board(1, 3, FREE, rule("region-digit"), digits="[1, 2, 3]"))
    # Of a row of three: 3 3 3; 1 2 2; 2 2 1; not 1 1 1, whose regions of one size meet.
    assert count(board(1, 3, FREE, rule("region-digit"), digits="[1, 2, 3]")) == 3


def test_totals_of_regions() -> None:
    # A row of three, each region 3: 3 3 3; 3 and a pair, two ways round each; 1 1 1.
    assert witnesses(board(1, 3, FREE, rule("region-total", "total = 3"), "[1, 2, 3]")) == 6
    witnesses(board(2, 2, FREE, rule("region-total", 'cell = "r2c1"', "total = 3"), "[1, 2]"))
    witnesses(board(1, 3, FREE, rule("region-total", 'total = "T"'), "[1, 2]"))
    witnesses(board(1, 3, FREE, rule("region-total", "total = 2"), "[0, 1, 2]"))
    negative = rule("region-total", "total = -1")
    assert witnesses(board(1, 2, FREE, negative, "[0, 1]")) == 0


@pytest.mark.parametrize(
    "fields",
    [
        'shapes = ["##/#.", "##/#."]',
        'shapes = ["##", "#"]\ntimes = "any"',
        'shapes = ["##/.#", "#"]\ntimes = "any"\nturn = false\nflip = false',
        'shapes = ["##/.#", "#"]\ntimes = "any"\nturn = false',
        'shapes = ["##./.##", "#"]\ntimes = "any"\nflip = false',
    ],
)
def test_regions_of_given_shapes(fields: str) -> None:
    assert witnesses(board(2, 3, FREE, rule("shapes", fields)))


def test_known_counts_of_shapes() -> None:
    """Two corners fill 2×3 in two ways; dominoes 4×4 in 36; corners 4×3 in 4 and 4×6 in 18.

    All from memory. The twelve pentominoes fill 3×20 in 8 = 4 × 2 ways and 6×10 in 9,356 = 4 × 2,339
    (Haselgrove 1960): the first was counted so, too, in 35 s, which is too long for a test.
    """
    assert count(board(2, 3, FREE, rule("shapes", 'shapes = ["##/#.", "##/#."]'))) == 2
    assert count(board(4, 4, FREE, rule("shapes", 'shapes = ["##"]', 'times = "any"'))) == 36
    corners = rule("shapes", 'shapes = ["##/#."]', 'times = "any"')
    assert count(board(4, 3, FREE, corners)) == 4
    assert count(board(4, 6, FREE, corners)) == 18


def region_sum(cells: str, extra: str = "") -> str:
    return f'[[rule]]\nkind = "region-sum"\nlayer = "parishes"\ncells = "{cells}"\n{extra}\n'


@pytest.mark.parametrize(
    ("rows", "columns", "text", "digits"),
    [
        (1, 3, region_sum("r1c1 r1c2 r1c3"), "[1, 2, 3]"),
        (2, 2, region_sum("r1c1 r2c2 r2c1"), "[1, 2]"),
        (2, 2, region_sum("r1c1 r1c2 r2c2 r2c1", "closed = true"), "[1, 2]"),
    ],
)
def test_lines_cut_by_regions(rows: int, columns: int, text: str, digits: str) -> None:
    assert witnesses(board(rows, columns, FREE, text, digits))


@pytest.mark.parametrize(
    ("text", "message"),
    [
        (rule("shapes", 'shapes = ["##"]'), "shapes have 2 cells together, but the canvas has 6"),
        (rule("shapes", 'shapes = [".."]'), "shape 1 has no cells"),
        (rule("shapes", 'shapes = ["#", "#./.#"]'), "shape 2 is not connected by sides"),
        (rule("shapes", 'shapes = ["#o"]'), "shape 1 is not drawn with # and ."),
        (rule("shapes", "shapes = []"), "this must be an array of shapes"),
        (rule("region-total", 'cell = "r1c1 r1c2"', "total = 3"), "cell must be one cell"),
        (rule("region-total", 'cell = "r9c9"', "total = 3"), "r9c9 is not on the canvas"),
        (region_sum("r1c1 r1c2", 'grid = "A"'), "grid does not go with layer"),
        (region_sum("r1c1 r1c2").replace("parishes", "wards"), "there is no layer 'wards'"),
    ],
)
def test_rules_that_cannot_stand(text: str, message: str) -> None:
    with pytest.raises(PuzzleError, match=r"test\.toml:\d+: ") as error:
        board(2, 3, FREE, text, digits="[1, 2, 3]")
    assert message in str(error.value)


@pytest.mark.parametrize("text", [rule("region-total", "total = 3"), rule("region-digit")])
def test_rules_about_digits_need_digits(text: str) -> None:
    with pytest.raises(PuzzleError, match="rule about digits"):
        board(2, 2, FREE, text)


@pytest.mark.parametrize(
    ("layer", "message"),
    [
        ("sizes = 4", "6 cells do not divide into regions of 4"),
        ("sizes = [1, 2]", "sizes add up to 3, not to 6 cells"),
        ("sizes = 0", "a size of 1 or more"),
        ('sizes = "free"\nhouses = true', "houses = true needs digits"),
        ('sizes = "free"\ngivens = ["r1c1-r1c2"]', "is not two cells such as r1c1=r1c2"),
        ('sizes = "free"\ngivens = ["r1c1=r1c1"]', "r1c1 is listed twice"),
    ],
)
def test_what_cannot_be(layer: str, message: str) -> None:
    with pytest.raises(PuzzleError, match=r"test\.toml:\d+: ") as error:
        board(2, 3, layer)
    assert message in str(error.value)


def test_shapes_that_may_be_used_any_number_of_times_are_told_once() -> None:
    drawn = 'shapes = ["##/#.", "##/.#", "#"]\ntimes = "any"'
    (turned,) = board(2, 2, FREE, rule("shapes", drawn)).rules
    assert turned.wording().endswith("mirrored: a corner of three and a single cell.")
    (fixed,) = board(2, 2, FREE, rule("shapes", f"{drawn}\nturn = false\nflip = false")).rules
    assert fixed.wording().count("a corner of three (") == 2
