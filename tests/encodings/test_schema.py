"""The JSON Schema of puzzle files: valid, and of one mind with the reader."""

from __future__ import annotations

import tomllib

import jsonschema
import pytest

from gridassay.encodings.documents import read_document, schema
from gridassay.encodings.lines import PuzzleError

SCHEMA = schema()
VALIDATOR = jsonschema.Draft202012Validator(SCHEMA)

NESTED = """
[[rule]]
kind = "exactly"
count = 1
[[rule.of]]
kind = "cage"
cells = ["r1c1", "r1c2"]
at-least = 4
[[rule.of]]
kind = "at-least"
count = 1
[[rule.of.of]]
kind = "x-sum"
line = "r1"
side = "left"
sum = "A"
"""
GOOD = [
    "size = 4",
    'title = "T"\nsize = 6\nbox = "3x2"\nexpect = "unique"\nletters = "different"\n[doublers]\n',
    'rows = 2\ncolumns = 3\nhouses = "none"\ndigits = [0, 1]\ngivens = "... ..."',
    '[[grid]]\nsize = 4\n[[grid]]\nname = "B"\nat = "r3c3"\nsize = 4\nbox = "none"',
    NESTED,
    '[[rule]]\nkind = "relation"\neach = "rows"\nholds = "a < b"\nid = "x"\noptional = true',
    '[[rule]]\nkind = "head-digits"\nline = "r1"\nside = "left"\ndigits = [1, 2]',
    '[[rule]]\nkind = "exactly"\ncount = 0\nof = [{kind = "thermometer", cells = "r1c1..r1c3"}]',
]
BAD = [
    "size = 3",
    'size = "4"',
    'expect = "one"',
    "sizes = 4",
    "[doublers]\ncount = 3",
    '[[rule]]\ncells = "r1c1"',
    '[[rule]]\nkind = "cages"\ncells = "r1c1"',
    '[[rule]]\nkind = "cage"\ncells = "r1c1"\nsums = 4',
    '[[rule]]\nkind = "cage"\ncells = "r1c1"\nat_least = 4',
    '[[rule]]\nkind = "cage"\ncells = 11',
    '[[rule]]\nkind = "relation"\neach = "row"\nholds = "a < b"',
    '[[rule]]\nkind = "exactly"\ncount = -1\nof = [{kind = "cage", cells = "r1c1"}]',
    '[[rule]]\nkind = "exactly"\ncount = 1\nof = []',
    NESTED.replace('"left"', '"up"'),
    NESTED.replace("at-least = 4", "at-leest = 4"),
]


def test_it_is_a_schema() -> None:
    jsonschema.Draft202012Validator.check_schema(SCHEMA)


@pytest.mark.parametrize("text", GOOD)
def test_it_takes_what_the_reader_takes(text: str) -> None:
    read_document(text, "t.toml")
    assert [error.message for error in VALIDATOR.iter_errors(tomllib.loads(text))] == []


@pytest.mark.parametrize("text", BAD)
def test_it_refuses_what_the_reader_refuses(text: str) -> None:
    with pytest.raises(PuzzleError):
        read_document(text, "t.toml")
    assert not VALIDATOR.is_valid(tomllib.loads(text))
