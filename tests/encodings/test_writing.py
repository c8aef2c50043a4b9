"""A puzzle that is written reads back as the same puzzle."""

from __future__ import annotations

from dataclasses import replace

import pytest

from gridassay.encodings.files import read_text
from gridassay.encodings.puzzle import Puzzle
from gridassay.encodings.writing import puzzle_text

CAGE = '[[rule]]\nkind = "cage"\ncells = "r1c1 r1c2"\n'


def read(text: str) -> Puzzle:
    (found,) = read_text(text, "one.toml" if "=" in text else "one.txt")
    assert isinstance(found, Puzzle)
    return replace(found, source="")


@pytest.mark.parametrize(
    "text",
    [
        "1..............2",
        "size = 16\nbox = '2x8'",
        "size = 4\ndigits = [0, 1, 2, 3]\ngivens = '0..3 .... .... 1...'",
        "size = 4\nregions = 'AABBACBBACDDCCDD'",
        "size = 6\nbox = 'none'\ntitle = 'Ebb \"and\" flow \u00fc \U0001f41f'\ncredit = 'T. Mooring\\n'",
        f"size = 9\nexpect = 'multiple'\nletters = 'different'\n{CAGE}sum = 'A'\nid = 'harbour'",
        f"size = 9\n[doublers]\n{CAGE}at-least = 4\noptional = true",
        f"rows = 2\ncolumns = 3\nhouses = 'none'\ndigits = [1, 2, 4]\ngivens = '... _.4'\n{CAGE}",
        f"rows = 2\ncolumns = 3\nhouses = 'none'\ngivens = '... _..'\n{CAGE}",
        "[[grid]]\nat = 'r1c1'\nsize = 4\n[[grid]]\nat = 'r3c3'\nsize = 4\nname = 'Q'\nbox = 'none'",
        "size = 4\n[[rule]]\nkind = 'exactly'\ncount = 1\n"
        "[[rule.of]]\nkind = 'cage'\ncells = 'r1c1 r1c2'\nsum = 3\n"
        "[[rule.of]]\nkind = 'thermometer'\ncells = 'r2c1..r2c3'",
    ],
)
def test_written_reads_back(text: str) -> None:
    puzzle = read(text)
    assert read(puzzle_text(puzzle)) == puzzle


def test_a_plain_puzzle_is_a_line() -> None:
    assert puzzle_text(read("1..............2")) == "1..............2\n"
