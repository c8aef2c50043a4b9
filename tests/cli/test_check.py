"""``gridassay check`` as people and programs meet it."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from ..hard import PIGEONS
from .run import EXAMPLES, gridassay

UNIQUE = "12343412214343.1"
SEVERAL = "12..3..........."
NONE = "11.............."

GOLDEN_UNIQUE = """\
Small Craft
ONE SOLUTION (sat, TIME)

givens            solution
    1  2  3  4        1  2  3  4
  ┌─────┬─────┐     ┌─────┬─────┐
1 │1  2 │·  · │   1 │1  2 │3  4 │
2 │·  · │1  · │   2 │3  4 │1  2 │
  ├─────┼─────┤     ├─────┼─────┤
3 │·  · │·  3 │   3 │4  1 │2  3 │
4 │2  · │·  · │   4 │2  3 │4  1 │
  └─────┴─────┘     └─────┴─────┘
"""

GOLDEN_SEVERAL = """\
SEVERAL SOLUTIONS (sat, TIME)

givens            two solutions, as a/b where they differ
    1  2  3  4          1    2    3    4
  ┌─────┬─────┐     ┌─────────┬─────────┐
1 │1  2 │3  4 │   1 │ 1    2  │ 3    4  │
2 │3  4 │·  · │   2 │ 3    4  │1/2  2/1 │
  ├─────┼─────┤     ├─────────┼─────────┤
3 │2  1 │4  3 │   3 │ 2    1  │ 4    3  │
4 │4  3 │·  · │   4 │ 4    3  │2/1  1/2 │
  └─────┴─────┘     └─────────┴─────────┘
"""


def test_the_screen_for_one_solution(tmp_path: Path) -> None:
    file = tmp_path / "small.toml"
    file.write_text('title = "Small Craft"\nsize = 4\ngivens = "12....1....32..."\n')
    run = gridassay("check", file)
    assert (run.code, run.out, run.err) == (0, GOLDEN_UNIQUE, "")


def test_the_screen_for_several() -> None:
    run = gridassay("check", "-", stdin="123434..214343..")
    assert run.code == 1
    # Which of the two solutions comes first depends on the solver.
    shown = run.out.replace("2/1  1/2", "1/2  2/1")
    assert shown.startswith(GOLDEN_SEVERAL.replace("2/1  1/2", "1/2  2/1").rstrip("\n"))


def test_many_puzzles_get_a_line_each_and_a_summary(tmp_path: Path) -> None:
    file = tmp_path / "log.txt"
    file.write_text(f"{UNIQUE}\n{SEVERAL}\n{NONE}\n123\n")
    run = gridassay("check", file)
    lines = run.out.splitlines()
    assert [line.split()[0] for line in lines[:3]] == ["unique", "multiple", "none"]
    assert lines[-1] == "4 puzzles: 1 unique, 1 multiple, 1 none, 1 bad input"
    assert (
        run.err
        == f"gridassay: {file}:4: 3 symbols do not make a square grid (16, 36, 81, 144, 256, 625 …)\n"
    )
    assert run.code == 2


def test_json_is_one_object_a_puzzle_and_nothing_else(tmp_path: Path) -> None:
    file = tmp_path / "log.txt"
    file.write_text(f"{UNIQUE}\n{SEVERAL}\nxx\n{NONE}\n")
    run = gridassay("check", "--json", file)
    one, two, bad, none = run.objects
    assert one["verdict"] == "unique"
    assert one["solutions"] == ["1234341221434321"]
    assert one["source"] == f"{file}:1"
    assert two["verdict"] == "multiple"
    assert len(two["solutions"]) == 2
    assert two["differs"]
    assert set(bad) == {"source", "error"}
    assert bad["source"] == f"{file}:3"
    assert none["verdict"] == "none"
    assert run.code == 2
    assert run.err == ""


@pytest.mark.parametrize(
    ("lines", "code"),
    [
        ((UNIQUE,), 0),
        ((UNIQUE, SEVERAL), 1),
        ((NONE,), 1),
        ((SEVERAL, "12"), 2),
    ],
)
@pytest.mark.parametrize("options", [(), ("--json",), ("--blind",)])
def test_exit_codes(lines: tuple[str, ...], code: int, options: tuple[str, ...]) -> None:
    assert gridassay("check", "-", *options, stdin="\n".join(lines)).code == code


def test_undecided_says_what_is_known(tmp_path: Path) -> None:
    file = tmp_path / "pigeons.toml"
    file.write_text(PIGEONS)
    run = gridassay("check", file, "--budget", "0.2")
    assert run.code == 3
    assert run.out.startswith("UNDECIDED when the budget ran out: no solution found yet")
    (result,) = gridassay("check", file, "--budget", "0.2", "--json").objects
    assert result["verdict"] == "undecided"
    assert result["solutions"] == []


def test_an_expectation_is_honoured(tmp_path: Path) -> None:
    file = tmp_path / "open.toml"
    file.write_text(f'size = 4\nexpect = "multiple"\ngivens = "{SEVERAL}"\n')
    run = gridassay("check", file)
    assert run.code == 0
    assert "as the file expects (multiple)" in run.out
    file.write_text(f'size = 4\nexpect = "none"\ngivens = "{SEVERAL}"\n')
    run = gridassay("check", file)
    assert run.code == 1
    assert "NOT as the file expects (none)" in run.out


@pytest.mark.parametrize("line", [UNIQUE, SEVERAL, NONE])
def test_blind_shows_no_digit_and_no_cell(line: str) -> None:
    run = gridassay("check", "--blind", "-", stdin=line)
    assert not re.search(r"r\d+c\d+|\d", run.out.replace("TIME", ""))
    (result,) = gridassay("check", "--blind", "--json", "-", stdin=line).objects
    assert set(result) == {"title", "source", "verdict", "engine", "seconds"}


@pytest.mark.parametrize("engine", ["sat", "cp", "both"])
def test_every_engine(engine: str) -> None:
    (result,) = gridassay("check", "--engine", engine, "--json", "-", stdin=UNIQUE).objects
    assert (result["verdict"], result["engine"]) == ("unique", engine)


def test_the_proof_sheet() -> None:
    verdicts = [
        result["verdict"]
        for result in gridassay("check", "--json", EXAMPLES / "tide-table.txt").objects
    ]
    assert verdicts == ["unique", "multiple", "none"]


def test_a_wrong_option_is_bad_usage() -> None:
    assert gridassay("check", "--engine", "abacus", "-").code == 2
    assert gridassay("check").code == 2


def test_a_missing_file() -> None:
    run = gridassay("check", "no/such/file.txt")
    assert run.code == 2
    assert run.err == "gridassay: no/such/file.txt: cannot be read: no such file or directory\n"


def test_what_the_page_keeps_is_told_from_a_puzzle_file(tmp_path: Path) -> None:
    kept = tmp_path / "harbour-lights.page.json"
    kept.write_text('{\n "text": "1......2..3..4..",\n "givens": [],\n "rules": []\n}')
    done = gridassay("check", str(kept))
    assert done.code == 2
    assert done.err.count("\n") == 1
    assert "the page of gridassay serve" in done.err
    kept.write_text('[{"id": 3}]')
    assert "TOML" in gridassay("check", str(kept)).err
