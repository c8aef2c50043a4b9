"""Readers' grids: a second solution, right so far, or the first given, house or rule they break."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from .run import gridassay

UNIQUE = "1....4....4...23"

CAGE = """
size = 4
givens = "1234 .... .... ...."
[[rule]]
kind = "cage"
cells = "r2c1 r3c1"
sum = 5
[[rule]]
kind = "thermometer"
cells = "r4c2 r3c2 r2c2"
"""


@pytest.fixture
def harbour(tmp_path: Path) -> Path:
    file = tmp_path / "harbour.txt"
    file.write_text(UNIQUE)
    return file


def solution(file: Path) -> str:
    (result,) = gridassay("check", file, "--json").objects
    line: str = result["solutions"][0]
    return line


def test_the_only_solution(harbour: Path) -> None:
    run = gridassay("answer", harbour, solution(harbour))
    assert (run.code, run.out) == (0, "THE SOLUTION: it is the only one.\n")


def test_right_so_far(harbour: Path) -> None:
    part = solution(harbour)[:6] + "." * 10
    run = gridassay("answer", harbour, part)
    assert (run.code, run.out) == (
        0,
        "RIGHT SO FAR: all 6 entries are in the only solution.\n",
    )


def test_a_second_solution_is_admitted(tmp_path: Path) -> None:
    file = tmp_path / "loose.txt"
    file.write_text(UNIQUE[:-1] + ".")
    (result,) = gridassay("check", file, "--json").objects
    first, second = result["solutions"]
    for line in (first, second):
        (judged,) = gridassay("answer", file, line, "--json").objects
        assert judged["result"] == "second solution"
        assert judged["other"] != line
    assert gridassay("answer", file, first).code == 1
    part = first[:1] + "." * 15
    (judged,) = gridassay("answer", file, part, "--json").objects
    assert judged["result"] == "open so far"


def test_the_first_given_that_is_broken(harbour: Path) -> None:
    run = gridassay("answer", harbour, "2" + "." * 15)
    assert run.code == 1
    assert run.out.startswith("WRONG: it breaks r1c1=1.")


def test_the_first_house_that_is_broken(harbour: Path) -> None:
    (judged,) = gridassay("answer", harbour, "1.1" + "." * 13, "--json").objects
    assert (judged["result"], judged["breaks"]) == ("wrong", "row 1")
    assert judged["wrong_cells"] == ["r1c3"]


def test_everything_that_is_broken_is_named(harbour: Path, tmp_path: Path) -> None:
    (judged,) = gridassay("answer", harbour, "1.1.1" + "." * 11, "--json").objects
    assert judged["broken"] == ["row 1", "column 1", "box 1"]
    said = gridassay("answer", harbour, "1.1.1" + "." * 11).out
    assert said.startswith("WRONG: it breaks row 1, column 1 and box 1.")
    file = tmp_path / "cage.toml"
    file.write_text(CAGE)
    line = "1234 44.. 3... ....".replace(" ", "")
    (judged,) = gridassay("answer", file, line, "--json").objects
    assert {"row 2", "cage r2c1 r3c1"} <= set(judged["broken"])


def test_the_first_rule_that_is_broken_by_a_partial_grid(tmp_path: Path) -> None:
    file = tmp_path / "cage.toml"
    file.write_text(CAGE)
    (judged,) = gridassay("answer", file, "1234 4... 3... ....".replace(" ", ""), "--json").objects
    assert judged["breaks"] == "cage r2c1 r3c1"
    # A 4 in the middle of a thermometer of three cells has nothing above it; next to it, it is allowed.
    (judged,) = gridassay("answer", file, "1234......4.....", "--json").objects
    assert judged["result"] in ("open so far", "right so far")
    (judged,) = gridassay("answer", file, "1234.....4......", "--json").objects
    assert judged["breaks"] == "thermometer r4c2 r3c2 r2c2"


def test_entries_that_break_nothing_and_lead_nowhere(harbour: Path) -> None:
    line = solution(harbour)
    for place in range(16):
        for digit in "1234":
            if digit == line[place]:
                continue
            part = "." * place + digit + "." * (15 - place)
            (judged,) = gridassay("answer", harbour, part, "--json").objects
            assert judged["result"] == "wrong"
            assert judged["wrong_cells"] == [f"r{place // 4 + 1}c{place % 4 + 1}"]
            if UNIQUE[place] == ".":
                assert judged["breaks"] is None


def test_an_answer_may_be_a_file_drawn_as_a_grid(harbour: Path, tmp_path: Path) -> None:
    line = solution(harbour)
    drawn = tmp_path / "letter.txt"
    rows = [line[start : start + 4] for start in range(0, 16, 4)]
    drawn.write_text("\n".join(f"{row[:2]}|{row[2:]}" for row in rows))
    assert gridassay("answer", harbour, drawn).out.startswith("THE SOLUTION")


@pytest.mark.parametrize("grid", ["123", "x" * 16, "9" * 16, "1" * 256, "1" * 5_000, "1\0"])
def test_an_answer_that_does_not_fit_is_bad_input(harbour: Path, grid: str) -> None:
    run = gridassay("answer", harbour, grid)
    assert run.code == 2
    assert len(run.err.splitlines()) == 1


def test_no_time_is_undecided(harbour: Path) -> None:
    assert gridassay("answer", harbour, "." * 16, "--budget", "0").code in (0, 3)


def test_a_puzzle_without_a_solution_is_not_the_readers_fault(tmp_path: Path) -> None:
    file = tmp_path / "none.txt"
    file.write_text("11..............")
    run = gridassay("answer", file, "." * 15 + "4")
    assert run.code == 1
    assert run.out == "NOTHING IS RIGHT: the puzzle has no solution.\n"


def test_a_grid_shows_which_misprint_leaves_no_solution(tmp_path: Path) -> None:
    rows = ["1234", "3412", "2143", "4321"]
    cages = "".join(
        f'[[rule]]\nkind = "cage"\ncells = "r{row}c1..r{row}c4"\nsum = {11 if row == 3 else 10}\n'
        for row in range(1, 5)
    )
    file = tmp_path / "misprint.toml"
    file.write_text(f"size = 4\n{cages}")
    run = gridassay("answer", file, "".join(rows))
    assert run.out == (
        "NOTHING IS RIGHT: the puzzle has no solution. This grid breaks the 11 cage in row 3. "
        "The cages of row 3 total 11, but should total 10.\n"
    )
    told = json.loads(gridassay("answer", file, "".join(rows), "--json").out)
    assert told["result"] == "unsolvable"
    assert told["broken"] == ["cage r3c1 r3c2 r3c3 r3c4"]
