"""Errors point at the line of the field that is at fault, wherever it stands in its table."""

from __future__ import annotations

import random

import pytest

from gridassay.encodings.documents import read_document
from gridassay.encodings.lines import PuzzleError

LEFT = ['line = "r1"', 'side = "left"']
WRONG: dict[str, list[str]] = {
    'cells = "r9c9 r1c1"': ['kind = "cage"', "sum = 7"],
    'sum = "5a"': ['kind = "cage"', 'cells = "r1c1 r1c2"'],
    "sum = true": ['kind = "pair-sum"', 'cells = "r1c1 r1c2"'],
    'at-least = "x"': ['kind = "cage"', 'cells = "r1c1 r1c2"', "at-most = 9"],
    "repeats = 1": ['kind = "cage"', 'cells = "r1c1 r1c2"', "sum = 7"],
    'shaft = "r9c1"': ['kind = "arrow"', 'bulb = "r1c1"'],
    'bulb = "r9c1"': ['kind = "arrow"', 'shaft = "r1c1 r1c2"'],
    "bulb = []": ['kind = "arrow"', 'shaft = "r1c1 r1c2"'],
    'kind = "cagee"': ['cells = "r1c1 r1c2"', "sum = 7"],
    'side = "top"': ['kind = "x-sum"', 'line = "r1"', "sum = 7"],
    'line = "r9"': ['kind = "sandwich"', "sum = 3"],
    'line = "x"': ['kind = "sandwich"', "sum = 3"],
    "length = 7": ['kind = "head-sum"', *LEFT, "sum = 7"],
    "digits = [9]": ['kind = "head-digits"', *LEFT, "length = 2"],
    "digits = [7]": ['kind = "anti-queen"'],
    'start = "r1c1 r1c2"': ['kind = "little-killer"', 'direction = "down-right"', "sum = 7"],
    'start = "r9c9"': ['kind = "little-killer"', 'direction = "down-right"', "sum = 7"],
    'of = "r1c1"': ['kind = "copy"', 'cells = "r2c1 r2c2"'],
    'groups = ["r1c1"]': ['kind = "equal-sums"'],
    'pattern = "(1"': ['kind = "sequence"', 'cells = "r1c1 r1c2"'],
    'holds = "a +"': ['kind = "relation"', 'cells = "r1c1 r1c2"'],
    'each = "boxes of wood"': ['kind = "relation"', 'holds = "a > b"'],
    'kinds = ["consecutive-pair", "consecutive-pair"]': ['kind = "marks-complete"'],
    "sums = [5]": ['kind = "marks-complete"', 'kinds = ["consecutive-pair"]'],
    "difference = 0": ['kind = "whisper"', 'cells = "r1c1 r1c2"'],
    'closed = "yes"': ['kind = "renban"', 'cells = "r1c1 r1c2"'],
    'which = "rising and falling"': ['kind = "diagonals"'],
    "wave = 3": ['kind = "cage"', 'cells = "r1c1 r1c2"'],
    'id = "row 1"': ['kind = "cage"', 'cells = "r1c1 r1c2"'],
    "text = 3": ['kind = "cage"', 'cells = "r1c1 r1c2"'],
}


@pytest.mark.parametrize("wrong", WRONG)
@pytest.mark.parametrize("seed", range(3))
def test_a_rule_points_at_the_field(wrong: str, seed: int) -> None:
    fields = [wrong, *WRONG[wrong]]
    random.Random(f"{wrong}{seed}").shuffle(fields)
    before = ["size = 6", "", "[[rule]]", 'kind = "even"', 'cells = "r1c1"', "", "[[rule]]"]
    after = ["", "[[rule]]", 'kind = "odd"', 'cells = "r2c1"']
    lines = [*before, *fields, *after]
    with pytest.raises(PuzzleError) as refused:
        read_document("\n".join(lines), "tide.toml")
    assert str(refused.value).startswith(f"tide.toml:{lines.index(wrong) + 1}: rule 2")


@pytest.mark.parametrize("wrong", WRONG)
def test_a_rule_inside_a_rule_points_at_the_field(wrong: str) -> None:
    fields = [*WRONG[wrong], wrong]
    before = ["size = 6", "[[rule]]", 'kind = "exactly"', "count = 1"]
    before += ["[[rule.of]]", 'kind = "even"', 'cells = "r1c1"', "[[rule.of]]"]
    lines = [*before, *fields, "[[rule.of]]", 'kind = "odd"', 'cells = "r2c1"']
    with pytest.raises(PuzzleError) as refused:
        read_document("\n".join(lines), "tide.toml")
    assert str(refused.value).startswith(f"tide.toml:{lines.index(wrong) + 1}: rule 1")


@pytest.mark.parametrize(
    ("others", "wrong"),
    [
        (["size = 4"], 'box = "3x2"'),
        (["size = 4"], 'regions = "AABB"'),
        (["size = 4"], "digits = [1, 2, 2]"),
        (["size = 4"], 'givens = "12"'),
        (["size = 4"], 'expect = "one"'),
        (["size = 4"], 'letters = "same"'),
        (["size = 4"], "wave = 3"),
        (['box = "2x2"'], "size = 99"),
        (["rows = 2", 'houses = "none"', "digits = [1, 2]"], "columns = 0"),
        (["title = 'Ebb'"], "size = 'four'"),
    ],
)
@pytest.mark.parametrize("first", [True, False])
def test_the_head_of_a_file_points_at_the_field(others: list[str], wrong: str, first: bool) -> None:
    lines = ["credit = 'Maren Oltway'", *([wrong, *others] if first else [*others, wrong])]
    with pytest.raises(PuzzleError) as refused:
        read_document("\n".join(lines), "tide.toml")
    assert str(refused.value).startswith(f"tide.toml:{lines.index(wrong) + 1}: ")
