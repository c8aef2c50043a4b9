"""``gridassay rules``: reference, pages, rule text, schema."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from gridassay.encodings.rules import RULES

from .run import EXAMPLES, gridassay

CAGE = """\
cage

The cells total ``sum`` (or at least, or at most, a number) and hold no digit twice.

With ``repeats = true`` digits may repeat if houses allow it. Without any total the cage only
says that its digits differ.

Example: `kind = "cage"`, `cells = "r1c1 r1c2 r2c1"`, `sum = 7` leaves 1, 2 and 4 in some order.

Printed as: "Digits in a cage add up to the number in its corner and do not repeat."

Fields:
  cells: references such as 'r1c1 r1c2' or 'r1c1..r1c5', or an array of them
  sum (optional)
  at-least (optional)
  at-most (optional)
  repeats = false (optional)
  id (optional): what results call it
  optional = false (optional): off for verdicts, a candidate when a puzzle needs repair
  text (optional): the setter's own sentence, printed instead of ours
"""


def test_every_kind_has_a_line() -> None:
    run = gridassay("rules")
    assert [line.split()[0] for line in run.out.splitlines()] == sorted(RULES)
    assert all(len(line.split()) > 3 for line in run.out.splitlines())


@pytest.mark.parametrize("kind", RULES)
def test_every_kind_has_a_page_with_an_example(kind: str) -> None:
    run = gridassay("rules", kind)
    assert run.code == 0
    assert "Example" in run.out
    assert 'Printed as: "' in run.out


def test_the_page_of_a_cage() -> None:
    assert gridassay("rules", "cage").out == CAGE


def test_a_kind_that_is_not_there() -> None:
    run = gridassay("rules", "thermometre")
    assert run.code == 2
    assert run.err == "gridassay: there is no rule 'thermometre'; did you mean 'thermometer'?\n"


def test_the_schema_is_json() -> None:
    assert "properties" in json.loads(gridassay("rules", "--schema").out)


def test_rule_text(tmp_path: Path) -> None:
    assert gridassay("rules", "--text", EXAMPLES / "two-piers.toml").out == (
        "Put the digits 1 to 9 into each row, column and box of each of the 2 grids, each once.\n"
    )
    file = tmp_path / "cages.toml"
    cage = '[[rule]]\nkind = "cage"\nsum = 9\ncells = '
    file.write_text(f'size = 5\n{cage}"r1c1 r1c2"\n{cage}"r2c1 r2c2"\n')
    assert gridassay("rules", "--text", file).out.splitlines() == [
        "Put the digits 1 to 5 into each row and column, each once.",
        "Digits in a cage add up to the number in its corner and do not repeat.",
    ]
