"""Puzzle files: every kind of canvas, errors that point, and damaged files."""

from __future__ import annotations

import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gridassay.encodings.documents import read_document, schema
from gridassay.encodings.files import read, read_puzzles, read_text
from gridassay.encodings.grid import Cell
from gridassay.encodings.lines import PuzzleError
from gridassay.encodings.puzzle import Puzzle


def error(text: str) -> str:
    with pytest.raises(PuzzleError) as caught:
        read_document(text, "x.toml")
    assert "\n" not in str(caught.value)
    return str(caught.value)


def houses(text: str) -> list[str]:
    return [house.name for house in read_document(text).canvas.houses]


def test_the_squarest_box_is_the_default() -> None:
    assert read_document("size = 6").canvas.grids[0].box == (2, 3)
    assert read_document('size = 6\nbox = "3x2"').canvas.grids[0].box == (3, 2)
    assert read_document("size = 12").canvas.grids[0].box == (3, 4)


def test_a_prime_size_and_none_are_latin() -> None:
    assert houses("size = 7")[-1] == "column 7"
    assert houses('size = 6\nbox = "none"')[-1] == "column 6"


def test_regions() -> None:
    text = 'size = 4\nregions = """\nAABB\nACBB\nACDD\nCCDD\n"""'
    region = read_document(text).canvas.houses[8]
    assert region.name == "region A"
    assert [str(cell) for cell in region.cells] == ["r1c1", "r1c2", "r2c1", "r3c1"]


def test_own_digits() -> None:
    puzzle = read_document('size = 4\ndigits = [0, 1, 2, 3]\ngivens = "0..............."')
    assert puzzle.canvas.digits == (0, 1, 2, 3)
    assert puzzle.givens[0].value == 0


def test_more_digits_than_cells_in_a_house() -> None:
    puzzle = read_document("size = 4\ndigits = [1, 2, 3, 4, 5]")
    assert len(puzzle.canvas.digits) == 5


def test_overlapping_grids() -> None:
    text = '[[grid]]\nsize = 4\n[[grid]]\nat = "r3c3"\nsize = 4\nname = "low"'
    canvas = read_document(text).canvas
    assert (canvas.rows, canvas.columns, len(canvas.cells)) == (6, 6, 28)
    assert Cell(1, 5) not in canvas.index
    assert {"row 1 of A", "box 4 of low"} <= {house.name for house in canvas.houses}


def test_givens_over_holes() -> None:
    text = '[[grid]]\nsize = 4\n[[grid]]\nat = "r3c3"\nsize = 4\n'
    drawn = 'givens = """\n1...__\n....__\n......\n......\n__....\n__...4\n"""\n'
    puzzle = read_document(drawn + text)
    assert [str(given) for given in puzzle.givens] == ["r1c1=1", "r6c6=4"]
    assert puzzle.given_line() == "1...__....__............__....__...4"


def test_a_bare_canvas_with_a_hole() -> None:
    text = 'rows = 2\ncolumns = 3\nhouses = "none"\ngivens = ".5. _.."'
    puzzle = read_document(text)
    assert len(puzzle.canvas.cells) == 5
    assert puzzle.canvas.houses == ()
    assert puzzle.given_line() == ".5._.."


RULE = '\n\n[[rule]]\nkind = "cage"\ncells = "r1c1 r1c2"\nsum = 3\n'


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("size = 3", "x.toml:1: size: input should be greater than or equal to 4 (it is 3)"),
        ('size = "9"', "x.toml:1: size: input should be a valid integer (it is '9')"),
        ("sise = 9", "x.toml:1: there is no field 'sise'; did you mean 'size'?"),
        ("size = 9\nbox = '2x4'", "x.toml:2: a box of 2x4 has 8 cells, not 9"),
        (
            "size = 9\nbox = 'big'",
            "x.toml:2: box = 'big' is not rows x columns, such as '2x3', or 'none'",
        ),
        ("size = 4\nregions = 'AABB'", "x.toml:2: regions has 4 letters, not 16"),
        (
            "size = 4\nregions = 'AAABAABBCCDDCCDD'",
            "x.toml:2: region A has 5 cells, not 4",
        ),
        ("size = 4\nbox='2x2'\nregions = 'AABBAABBCCDDCCDD'", "give box or regions, not both"),
        ("size = 9\ndigits = [1, 1]", "x.toml:2: digits are listed twice"),
        ("size = 9\ndigits = [1, 2]", "x.toml:2: 2 digits do not fill the 9 cells of a row"),
        (
            "rows = 3\ncolumns = 3",
            'x.toml:1: a bare canvas needs rows, columns and houses = "none"',
        ),
        ("size = ", "x.toml:1: not TOML: Invalid value"),
        ('size = 4\ngivens = "123"', "x.toml:2: givens: 3 symbols, but 4 rows of 4 need 16"),
        (
            'size = 4\ngivens = """\n1...\n.2..\n..x.\n...4\n"""',
            "x.toml:5: givens: r3c3: 'x' is not a digit here (1 to 4)",
        ),
        ("expect = 'two'", "x.toml:1: expect: 'two' is not 'unique', 'multiple' or 'none'"),
        (
            RULE.replace("cage", "cagge"),
            "x.toml:4: rule 1 (cagge): there is no rule 'cagge'; did you mean 'cage'?",
        ),
        (
            RULE + RULE.replace("sum", "summ"),
            "x.toml:12: rule 2 (cage): there is no field 'summ'; did you mean 'sum'?",
        ),
        (RULE.replace("r1c2", "r1c99"), "x.toml:5: rule 1 (cage): r1c99 is not on the canvas"),
        (
            RULE.replace("r1c2", "r1c"),
            "x.toml:5: rule 1 (cage): cells: 'r1c' is not a cell: write r3c7, or r1c1..r1c5 for a run",
        ),
        (RULE.replace("r1c2", "r1c1"), "x.toml:5: rule 1 (cage): r1c1 is listed twice"),
        (RULE.replace('cells = "r1c1 r1c2"', ""), "x.toml:3: rule 1 (cage): cells is missing"),
        ("[[rule]]\nsum = 3", "x.toml:1: rule 1: a rule needs a kind"),
        (
            RULE + "id = 'a'\n" + RULE + "id = 'a'\n",
            "x.toml:14: rule 2 (cage): id 'a' is taken by another rule",
        ),
    ],
)
def test_errors_point_at_the_place(text: str, message: str) -> None:
    assert message in error(text)


def test_a_file_that_is_not_there() -> None:
    (found,) = read_puzzles("no/such/file.toml")
    assert str(found) == "no/such/file.toml: cannot be read: no such file or directory"


def test_the_schema_lists_every_field_and_rule() -> None:
    whole = schema()
    assert {"size", "givens", "rule", "grid"} <= set(whole["properties"])
    assert "sum" in whole["$defs"]["rule-cage"]["properties"]


WHOLE = (
    """
title = "Slack Tide 12"
size = 6
box = "2x3"
digits = [1, 2, 3, 4, 5, 6]
expect = "unique"
givens = \"\"\"
1 2 . | . . .
. . . | . 5 6
\"\"\" + RULE
""".replace('""" + RULE', '. . . | . . .\n. . . | . . .\n. . . | . . .\n. . . | . . 1\n"""')
    + RULE
)


def test_the_whole_file_reads() -> None:
    assert len(read_document(WHOLE).givens) == 5


JUNK = ["", '"', "[", "=", "9", "-1", "true", "x", "\n", "[[rule]]\n", "r1c1..", "\x00", "{}"]


@settings(max_examples=1000, deadline=None)
@given(st.integers(0, 2**32))
def test_damaged_files_give_one_clear_line(seed: int) -> None:
    rng = random.Random(seed)
    text = WHOLE
    for _ in range(rng.randint(1, 5)):
        place = rng.randrange(len(text))
        junk = rng.choice(
            ["", '"', "[", "=", "9", "-1", "true", "x", "\n", "[[rule]]\n", "r1c1..", "\x00", "{}"]
        )
        text = text[:place] + junk + text[place + rng.randint(0, 8) :]
    for found in read_text(text, "x.toml"):
        assert isinstance(found, Puzzle | PuzzleError)
        assert "\n" not in str(found) or isinstance(found, Puzzle)


@pytest.mark.parametrize(
    "number",
    ["9" * 5_000, "-" + "9" * 5_000, "1_" * 3_000 + "1", "0x" + "f" * 5_000, "1" + "0" * 15],
)
def test_a_whole_number_that_is_too_long_is_told_with_its_line(number: str) -> None:
    text = f'size = 4\n# a line\n[[rule]]\nkind = "cage"\ncells = "r1c1 r1c2"\nsum = {number}\n'
    with pytest.raises(PuzzleError, match=r"^huge:6: a whole number has at most 15 figures$"):
        read(text, "huge")
    with pytest.raises(PuzzleError, match=r"^huge:1: a whole number"):
        read(f"size = [[{number}]]", "huge")
