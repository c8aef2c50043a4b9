"""Probable slips are warned of, and nothing else is: the examples have none."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from gridassay.encodings.documents import read_document
from gridassay.verify.budget import Clock
from gridassay.verify.mending.cautions import warnings

from ...cli.run import EXAMPLES, gridassay

FILES = sorted(EXAMPLES.glob("*.toml"))


def rule(kind: str, *fields: str) -> str:
    return "\n".join(("[[rule]]", f'kind = "{kind}"', *fields, ""))


def cage(cells: str, total: int | str, *more: str) -> str:
    return rule("cage", f'cells = "{cells}"', f"sum = {total}", *more)


ROWS = "".join(cage(f"r{row}c1 r{row}c2", 15 if row == 1 else 10) for row in (1, 2, 3)) + "".join(
    cage(f"r{row}c3..r{row}c9", 35) for row in (1, 2, 3)
)


@pytest.mark.parametrize(
    ("rules", "said"),
    [
        (
            rule("thermometer", 'cells = "r1c1 r1c2 r3c3"'),
            "The thermometer in box 1 jumps from r1c2 to r3c3, which do not touch",
        ),
        (
            rule("consecutive-pair", 'cells = "r1c1 r2c2"'),
            "The white dot in box 1 stands between r1c1 and r2c2, which do not share a side",
        ),
        (
            cage("r1c1 r1c2 r2c3", 12),
            "The 12 cage in box 1 is in two pieces: r1c1 r1c2; r2c3",
        ),
        (
            rule("arrow", 'bulb = "r1c1"', 'shaft = "r3c3 r3c4"'),
            "jumps from r1c1 to r3c3, which do not touch",
        ),
        (
            cage("r1c1 r1c2", 12) + cage("r1c2 r1c1", 12),
            "The 12 cage r1c2 r1c1 says the same as the 12 cage r1c1 r1c2",
        ),
        (
            rule("palindrome", 'cells = "r1c1 r2c2 r3c3"') * 2,
            "The second palindrome r1c1 r2c2 r3c3 says the same as the first palindrome r1c1 r2c2",
        ),
        (
            cage("r1c1..r1c9", 45) + cage("r2c1 r2c2", '"A"') + cage("r3c1 r3c2", '"A"'),
            "The 45 cage in row 1 has no effect: every grid satisfies it",
        ),
        (
            cage("r1c1 r1c2", '"A"') + cage("r2c1 r2c2", '"B"') + cage("r3c1 r3c2", '"B"'),
            "The letter A is used in only one clue, the A cage in box 1; if a number was meant, write",
        ),
        (
            rule("pair-sum", 'cells = "r1c1 r1c2"', 'sum = "x"'),
            "if a number was meant (X is 10), write it without quotes",
        ),
        (
            rule(
                "exactly",
                "count = 1",
                "[[rule.of]]",
                'kind = "cage"',
                'cells = "r1c1 r3c2"',
                "sum = 4",
            )
            + '[[rule.of]]\nkind = "even"\ncells = "r9c9"\n',
            "The 4 cage in box 1, in the claim that 1 of 2 clues is true, is in two pieces: r1c1; r3c2",
        ),
        (cage("r1c1 r1c2", 18), "No digits satisfy the 18 cage in box 1"),
        (cage("r1c1..r1c9", 45), "The 45 cage in row 1 has no effect: every grid satisfies it"),
        (
            rule("all-different", 'cells = "r1c1 r2c2 r3c3"'),
            "The all-different area in box 1 has no effect: every grid satisfies it",
        ),
        (ROWS, "The cages of row 1 total 50, but should total 45"),
        (
            ROWS.replace("sum = 15", "sum = 9"),
            "The cages of row 1 total 44, but should total 45",
        ),
    ],
)
def test_a_slip_is_warned_of(rules: str, said: str) -> None:
    found = warnings(read_document(f"size = 9\n{rules}"), Clock(60))
    assert len(found) == 1, found
    assert said in found[0]


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_the_examples_have_nothing_to_warn_of(file: Path) -> None:
    assert warnings(read_document(file.read_text(encoding="utf-8")), Clock(60)) == ()


def test_cages_of_three_columns_are_added_up() -> None:
    columns = "".join(
        cage(f"r{row}c1 r{row}c2 r{row}c3 r{row + 1}c3 r{row + 1}c2 r{row + 1}c1", 30)
        for row in (1, 3, 5, 7)
    ) + cage("r9c1 r9c2 r9c3", 14)
    found = warnings(read_document(f"size = 9\n{columns}"), Clock(60))
    assert found[0] == "The cages of columns 1 to 3 total 134, but should total 135"
    assert found[1:] == ("The cages of box 7 total 44, but should total 45",)


def test_commands_warn_unless_they_are_told_not_to(tmp_path: Path) -> None:
    file = tmp_path / "slip.toml"
    file.write_text("size = 4\n" + rule("consecutive-pair", 'cells = "r1c1 r2c2"'))
    said = "stands between r1c1 and r2c2, which do not share a side"
    for command in ("check", "assay"):
        told = " ".join(gridassay(command, file).out.split())
        assert said in told
        assert said not in " ".join(gridassay(command, file, "--no-warnings").out.split())
        assert said in json.loads(gridassay(command, "--json", file).out)["warnings"][0]
        assert "warnings" not in json.loads(gridassay(command, "--json", "--no-warnings", file).out)
        codes = {gridassay(command, file, *more).code for more in ((), ("--no-warnings",))}
        assert len(codes) == 1
    out = tmp_path / "out.jsonl"
    assert "1 of 1 with warnings" in gridassay("batch", file, "--out", out).out
    assert said in json.loads(out.read_text())["warnings"][0]
    other = tmp_path / "other.jsonl"
    gridassay("batch", file, "--out", other, "--no-warnings")
    assert "warnings" not in json.loads(other.read_text())
