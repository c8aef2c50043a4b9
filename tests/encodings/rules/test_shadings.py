"""Rules about a shading: three witnesses on every shading of small boards, counts from elsewhere."""

from __future__ import annotations

from math import comb

import pytest

from gridassay.encodings.documents import read_document
from gridassay.encodings.lines import PuzzleError
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify import check

from .boards import count
from .witnesses import witnesses

TWO = '["deep", "shallow"]'


def board(
    rows: int, columns: int, rules: str, *, values: str = TWO, head: str = 'digits = "none"'
) -> Puzzle:
    layer = f'[[layer]]\nname = "water"\nkind = "shading"\nvalues = {values}\n'
    text = f'rows = {rows}\ncolumns = {columns}\nhouses = "none"\n{head}\n{layer}\n{rules}'
    return read_document(text, "test.toml")


def rule(kind: str, *fields: str, value: str = '"deep"') -> str:
    named = () if kind in ("no-square", "same-along") else (f"value = {value}",)
    lines = [f'kind = "{kind}"', 'layer = "water"', *named, *fields]
    return "\n".join(["[[rule]]", *lines, ""])


RULES = [
    rule("connected"),
    rule("connected", "empty = true"),
    rule("to-the-edge"),
    rule("no-square"),
    rule("no-square", 'values = ["shallow"]'),
    rule("groups", "sizes = [2, 1]"),
    rule("groups", "sizes = []"),
    rule("groups", "count = 2"),
    rule("groups", "count = [0, 1]"),
    rule("groups", "sizes = [1, 1]", "count = 2"),
    rule("group-size", 'cells = "r1c1 r2c3"', "sizes = [2, 1]"),
    rule("group-size", 'cells = "r1c1 r2c3"', 'sizes = ["any", 3]', "all = false"),
    rule("apart"),
    rule("apart", 'touching = "diagonal"'),
    rule("apart", 'touching = "any"'),
    rule("count-in", 'cells = "r1c1..r1c3"', "count = 2"),
    rule("count-in", 'cells = "r1c1..r1c3"', "count = [1, 2]"),
    rule("seen-of", 'cell = "r1c2"', "count = 3"),
    rule("seen-of", 'cell = "r2c1"', "count = [3, 4]"),
    rule("same-along", 'cells = "r1c1 r1c2 r2c2"'),
    rule("same-along", 'cells = "r1c1 r1c2 r2c2"', "same = false"),
]


@pytest.mark.parametrize("text", RULES)
def test_witnesses(text: str) -> None:
    witnesses(board(2, 3, text))


@pytest.mark.parametrize(
    "text",
    [
        rule("count-in", 'cells = "r1c1 r1c2 r1c3"', 'count = "A"'),
        rule("groups", 'count = "A"'),
        rule("seen-of", 'cell = "r1c2"', 'count = "A"'),
        rule("group-size", 'cells = "r1c2"', 'sizes = ["A"]'),
    ],
)
def test_letters(text: str) -> None:
    witnesses(board(1, 3, text))


@pytest.mark.parametrize(
    "text",
    [
        rule("count-in", 'cells = "r1c1 r1c2 r1c3"', 'count = "digit of r1c2"'),
        rule("groups", 'count = "digit of r1c1"'),
        rule("group-size", 'cells = "r1c1 r1c3"', 'sizes = "digit"'),
        rule("digits-of", "digits = [2]"),
        rule("digits-of", "digits = [2]", "only = true"),
    ],
)
def test_digits_beside_a_shading(text: str) -> None:
    witnesses(board(1, 3, text, head="digits = [1, 2]"))


def test_values_that_are_numbers() -> None:
    text = rule("apart", value="0") + rule(
        "count-in", 'cells = "r1c1..r1c4"', "count = 2", value="2"
    )
    witnesses(board(1, 4, text, values="[0, 1, 2]"))


def test_the_digit_of_a_cell_is_counted_up_to() -> None:
    """Of three cells as many as a digit of 1 or 2 says; two other cells hold either digit."""
    text = rule("count-in", 'cells = "r1c1 r1c2 r1c3"', 'count = "digit of r1c2"')
    assert count(board(1, 3, text, head="digits = [1, 2]")) == 4 * (comb(3, 1) + comb(3, 2))


@pytest.mark.parametrize("counts", ["[1]", "[0, 2]", "[1, 3]"])
def test_nested_rules_are_counted(counts: str) -> None:
    inner = [
        rule("connected"),
        rule("to-the-edge"),
        rule("group-size", 'cells = "r1c1"', "sizes = [2]"),
    ]
    nested = "\n".join(one.replace("[[rule]]", "[[rule.of]]") for one in inner)
    wanted = counts.strip("[]").split(",")[0]
    text = f'[[rule]]\nkind = "exactly"\ncount = {wanted}\n{nested}'
    witnesses(board(2, 3, text))


def test_connected_sets_of_the_square_board() -> None:
    """Non-empty connected sets of the n×n board: 1, 13, 218, 11506 (OEIS A059525)."""
    assert [count(board(n, n, rule("connected"))) for n in (1, 2, 3)] == [1, 13, 218]


def test_cells_apart_on_the_square_board() -> None:
    """By sides 2, 7, 63, 1234 (OEIS A006506); by any 2, 5, 35, 314 (OEIS A063443)."""
    assert [count(board(n, n, rule("apart"))) for n in (1, 2, 3)] == [2, 7, 63]
    by_any = rule("apart", 'touching = "any"')
    assert [count(board(n, n, by_any)) for n in (1, 2, 3, 4)] == [2, 5, 35, 314]


def test_two_colours_both_connected() -> None:
    """12, 106 for n = 2, 3 (twice OEIS A068416)."""
    both = rule("connected") + rule("connected", value='"shallow"')
    assert [count(board(n, n, both)) for n in (2, 3)] == [12, 106]


def test_counted_cells_are_binomials() -> None:
    for number in range(5):
        text = rule("count-in", 'cells = "r1c1..r1c4"', f"count = {number}")
        assert count(board(1, 4, text)) == comb(4, number)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        (rule("connected", value='"deeper"'), "water has no value 'deeper', only deep or shallow"),
        (rule("connected").replace("water", "sea"), "there is no layer 'sea': there is only water"),
        (rule("groups"), "give sizes, or count, or both"),
        (rule("groups", "sizes = [5, 5]"), "sizes add up to 10, but the canvas has 6 cells"),
        (rule("groups", "sizes = [0]"), "a group needs at least 1 cell, but sizes has 0"),
        (rule("count-in", 'cells = "r1c1 r1c1"', "count = 1"), "r1c1 is listed twice"),
        (rule("count-in", 'cells = "r1c1"', "count = [2, 1]"), "least is above most"),
        (rule("count-in", 'cells = "r1c1"', 'count = "digit of r1c1"'), "no digits on this canvas"),
        (rule("count-in", 'cells = "r9c1"', "count = 1"), "r9c1 is not on the canvas"),
        (rule("seen-of", 'cell = "r1c1 r1c2"', "count = 1"), "cell must be one cell"),
        (rule("group-size", 'cells = "r1c1"', "sizes = [1, 2]"), "sizes lists 2"),
        (rule("group-size", 'cells = "r1c1"', 'sizes = "digit"'), "no digits on this canvas"),
        (rule("digits-of", "digits = [3]"), "digits-of is a rule about digits"),
        (rule("same-along", 'cells = "r1c1"'), "at least 2 are needed"),
        ('[[rule]]\nkind = "cage"\ncells = "r1c1 r1c2"\nsum = 3\n', "cage is a rule about digits"),
    ],
)
def test_what_cannot_stand(text: str, message: str) -> None:
    with pytest.raises(PuzzleError, match=r"test\.toml:\d+: ") as error:
        board(2, 3, text)
    assert message in str(error.value)


def test_a_count_that_cannot_be_is_no_solution() -> None:
    text = rule("count-in", 'cells = "r1c1"', "count = 2")
    assert check(board(1, 2, text)).status == "none"


def test_no_square_of_one_value_on_two_rows() -> None:
    """Column by column: no constant column beside an equal one; with one value, none of it beside itself.

    With m mixed and c constant columns at the end, (m, c) is followed by (2m + 2c, 2m + c).
    """
    mixed, constant, barred, any_column = 2, 2, [1, 4], []
    for _ in range(4):
        any_column.append(mixed + constant)
        mixed, constant = 2 * mixed + 2 * constant, 2 * mixed + constant
        barred.append(3 * barred[-1] + 3 * barred[-2])
    text, one = rule("no-square"), rule("no-square", 'values = ["deep"]')
    assert [count(board(2, n, text)) for n in (1, 2, 3, 4)] == any_column == [4, 14, 50, 178]
    assert [count(board(2, n, one)) for n in (1, 2, 3, 4)] == barred[1:5] == [4, 15, 57, 216]
