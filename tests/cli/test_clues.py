"""``gridassay clues`` as people and programs meet it."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from gridassay.verify import check, read

from .run import EXAMPLES, gridassay

LINE = "12....1....32..."
"""A 4×4 puzzle with one solution."""


def spare() -> str:
    """The same with one given more, which the others imply."""
    verdict = check(read(LINE))
    assert verdict.status == "unique"
    digits = verdict.puzzle.line(verdict.solutions[0])
    return LINE[:-1] + digits[-1]


def test_the_screen_says_what_can_go() -> None:
    run = gridassay("clues", EXAMPLES / "harbour-lights.toml")
    assert run.code == 0
    assert run.out.startswith("Harbour Lights, Maren Oltway")
    assert "ONE SOLUTION: 7 of 27 givens could each be removed" in run.out
    assert "r1c5=4  17             42  4: r1c2 r1c5 r3c2 r3c5" in run.out
    assert (
        "at least 3 of these clues can be removed together, such as these: r1c1=8, r3c6=3, r9c5=1"
        in run.out
    )
    assert run.err == ""


def test_no_givens_are_needed_where_rules_are_enough(tmp_path: Path) -> None:
    file = tmp_path / "pinned.toml"
    rows = ["1234", "3412", "2143", "4321"]
    cells = [(r, c, digit) for r, row in enumerate(rows, 1) for c, digit in enumerate(row, 1)]
    pins = "".join(
        f'[[rule]]\nkind = "cage"\ncells = "r{r}c{c}"\nsum = {digit}\n' for r, c, digit in cells
    )
    file.write_text(f"size = 4\n{pins}")
    run = gridassay("clues", file, "--keepers")
    assert run.out.endswith("KEEPER SET: no givens; there is one solution without any\n")


def test_keepers_do_not_print_everything_again() -> None:
    run = gridassay("clues", EXAMPLES / "harbour-lights.toml", "--keepers")
    assert "KEEPER SET: 24 givens; no smaller set is enough" in run.out
    assert "3 givens can be removed together, and no more (see the keeper set)" in run.out
    assert "nearest other solution" not in run.out


def test_json_is_an_object_a_puzzle() -> None:
    run = gridassay(
        "clues", "-", "--json", "--keepers", stdin=f"{LINE}\n{spare()}\n12.\n12345678x\n"
    )
    assert run.code == 2
    objects = run.objects
    assert objects[0]["verdict"] == "unique"
    assert objects[1]["keepers"]["size"] <= objects[0]["keepers"]["size"]
    assert objects[1]["irreducible"] is False
    assert {"source", "error"} == objects[-1].keys()


def test_several_solutions_are_sent_to_check() -> None:
    run = gridassay("clues", "-", stdin="1...............")
    assert run.code == 1
    assert "SEVERAL SOLUTIONS" in run.out
    assert "gridassay check -" in run.out


@pytest.mark.parametrize(
    ("options", "message"),
    [
        (("--keep", "r4c4"), "gridassay: -:1: cannot keep r4c4: it is not among the clues"),
        (("--symmetric", "spiral"), "gridassay: -:1: there is no pattern 'spiral'"),
        (("--fill", "1" * 16), "gridassay: -:1: there is no '?' to fill in"),
    ],
)
def test_options_that_cannot_be(options: tuple[str, str], message: str) -> None:
    run = gridassay("clues", "-", *options, stdin=LINE)
    assert run.code == 2
    assert run.err.startswith(message)
    assert len(run.err.splitlines()) == 1


def test_a_sweep_and_its_filling(tmp_path: Path) -> None:
    file = tmp_path / "open.toml"
    file.write_text(f'size = 4\ngivens = "?{LINE[1:]}"\n')
    assert gridassay("check", file).err == (
        f"gridassay: {file}:2: givens: r1c1: a '?' works only with gridassay clues\n"
    )
    run = gridassay("clues", file)
    assert run.out.startswith("r1c1\n  one solution: ")
    assert run.code == 0
    verdicts = json.loads(gridassay("clues", file, "--json").out)["sweep"][0]["values"]
    for one in verdicts:
        assert one["verdict"] == check(read(f"{one['value']}{LINE[1:]}")).status
    assert {"value": 1, "verdict": "unique"} in verdicts
    solved = check(read(LINE))
    digits = solved.puzzle.line(solved.solutions[0])
    filled = gridassay("clues", file, "--fill", digits)
    assert (filled.code, filled.out) == (0, f'size = 4\ngivens = "{LINE}"\n')
