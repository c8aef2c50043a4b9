"""``gridassay route`` and ``gridassay audit``, as a person would use them."""

from __future__ import annotations

from pathlib import Path

import pytest

from .. import published
from .run import gridassay


@pytest.fixture
def puzzle(tmp_path: Path) -> Path:
    path = tmp_path / "tide.txt"
    path.write_text(published.ENCYCLOPAEDIA + "\n")
    return path


def test_a_route_is_read_aloud_saved_and_audited(puzzle: Path, tmp_path: Path) -> None:
    steps = tmp_path / "tide.steps"
    run = gridassay("route", puzzle, "--save", steps)
    assert run.code == 0
    assert "r5c5 = 5  [" in run.out
    assert "solved in 51 steps" in run.out
    held = gridassay("audit", puzzle, steps)
    assert held.code == 0
    assert held.out.endswith("51 sound\nthe end is the solution\n")


def test_a_step_edited_into_nonsense_is_told(puzzle: Path, tmp_path: Path) -> None:
    steps = tmp_path / "tide.steps"
    gridassay("route", puzzle, "--save", steps)
    text = steps.read_text().replace("r5c5 = 5", "r5c5 = 6")
    steps.write_text(text)
    run = gridassay("audit", puzzle, steps)
    assert run.code == 1
    assert "! " in run.out
    assert "r5c5 is 5 in the solution" in run.out
    (result,) = gridassay("audit", puzzle, steps, "--json").objects
    assert result["ok"] is False
    assert "wrong" in {step["result"] for step in result["steps"]}


def test_json_of_a_route(puzzle: Path) -> None:
    (result,) = gridassay("route", puzzle, "--json", "--needed").objects
    assert result["solved"] is True
    assert result["steps"][0]["proved"] is True
    assert isinstance(result["needed"], dict)


def test_next_all_next_from_and_to(puzzle: Path, tmp_path: Path) -> None:
    (first,) = gridassay("route", puzzle, "--next", "--json").objects
    assert len(first["steps"]) == 1
    (every,) = gridassay("route", puzzle, "--all-next", "--json").objects
    assert len(every["steps"]) > 5
    assert every["only"] is False
    assert "naked single" in gridassay("route", puzzle, "--all-next").out
    steps = tmp_path / "half.steps"
    steps.write_text("r5c5 = 5\n")
    (rest,) = gridassay("route", puzzle, "--from", steps, "--json").objects
    assert rest["placements"] == 50
    run = gridassay("route", puzzle, "--to", "naked single")
    assert run.code == 0
    assert "[naked single]" in run.out


def test_without_a_technique(puzzle: Path) -> None:
    run = gridassay(
        "route",
        puzzle,
        *(["--without", "naked single"]),
        *(["--without", "hidden single"]),
        *(["--without", "last cell"]),
    )
    assert run.code == 1
    assert "stuck after 0 placements; these candidates are left" in run.out
    assert "┌" in run.out


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["--without", "naked sigle"], "there is no technique 'naked sigle'"),
        (["--from", "nowhere.steps"], "nowhere.steps: cannot be read"),
        (["--to", "unique rectangle"], "unique rectangle never applies"),
        (["--save", "/nowhere/at/all"], "cannot be written"),
    ],
)
def test_bad_input_is_one_line(puzzle: Path, arguments: list[str], said: str) -> None:
    run = gridassay("route", puzzle, *arguments)
    assert run.code == 2
    assert said in run.err
    assert run.err.count("\n") == 1


def test_a_bad_steps_file_names_its_line(puzzle: Path, tmp_path: Path) -> None:
    steps = tmp_path / "bad.steps"
    steps.write_text("r5c5 = 5\nr5c6 = lantern\n")
    run = gridassay("route", puzzle, "--from", steps)
    assert run.code == 2
    assert "bad.steps:2:" in run.err
    held = gridassay("audit", puzzle, steps, "--json")
    assert held.code == 1
    assert held.objects[0]["steps"][1]["result"] == "unreadable"


def test_a_puzzle_without_one_solution(tmp_path: Path) -> None:
    path = tmp_path / "none.txt"
    path.write_text("11..............\n")
    run = gridassay("route", path)
    assert run.code == 1
    assert "no solution" in run.out
    path.write_text("1...............\n")
    run = gridassay("route", path)
    assert run.code == 1
    assert "several solutions" in run.out
    assert gridassay("route", path, "--budget", "0").code == 3
