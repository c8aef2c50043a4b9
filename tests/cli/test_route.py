"""``gridassay route`` and ``gridassay audit``, as a person would use them."""

from __future__ import annotations

from pathlib import Path

import pytest

from .. import published
from .run import EXAMPLES, gridassay


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


def test_a_wrong_name_has_its_mark_and_is_found_from_the_summary(tmp_path: Path) -> None:
    lights, steps = EXAMPLES / "harbour-lights.toml", tmp_path / "lights.steps"
    steps.write_text(
        "# the opening\nr1c6 = 6 because bananas\n\nr3c5 = 9\n"
        "r7c5 = 6 because naked single: digit 6, box 8\nr9c4 = 7 because naked single: r9c4\n"
        "r1c6 = 6\n"
    )
    run = gridassay("audit", lights, steps)
    assert run.code == 1
    lines = run.out.splitlines()
    assert lines[1].split() == ["step", "line"]
    heads = [line.split()[:4] for line in lines if " because " in line]
    assert heads == [
        ["?", "1", "2", "sound"],
        ["?", "3", "5", "sound"],
        ["!", "4", "6", "wider"],
    ]
    assert "there is no technique 'bananas'; it is a hidden single" in run.out
    assert "3 sound, 2 of them misnamed; 1 wider; 1 idle\n" in run.out
    assert "\n? misnamed: steps 1, 3 (lines 2, 5)\n! wider: step 4 (line 6)\n" in run.out
    assert "\n  idle: step 5 (line 7)\n" in run.out
    (result,) = gridassay("audit", lights, steps, "--json").objects
    assert result["misnamed"] == 2
    assert [step["line"] for step in result["steps"] if step["misnamed"]] == [2, 5]


def test_a_wrong_name_alone_passes_by_the_exit_code(tmp_path: Path) -> None:
    """The contract: every step is sound or idle. The mark is there all the same."""
    steps = tmp_path / "lights.steps"
    steps.write_text("r1c6 = 6 because bananas\n")
    run = gridassay("audit", EXAMPLES / "harbour-lights.toml", steps)
    assert run.code == 0
    assert "\n?     1    1  sound" in run.out


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


def test_the_words_of_the_trade_leave_out_what_they_mean(puzzle: Path) -> None:
    words = ["naked singles", "Cross-hatching", "full house"]
    run = gridassay("route", puzzle, *(word for name in words for word in ("--without", name)))
    assert run.code == 1
    assert "without naked single and hidden single and last cell: stuck after 0" in run.out


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["--without", "naked sigle"], "'naked sigle'; did you mean naked single?"),
        (
            ["--without", "bananas"],
            "no technique 'bananas'; the techniques are last cell, hidden single",
        ),
        (["--to", "naked subset"], "may be naked pair, naked triple or naked quad; say which"),
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


@pytest.mark.parametrize("command", ["route", "assay", "clues", "check", "kin"])
def test_a_canvas_on_which_nothing_is_said(command: str) -> None:
    bare = 'houses = "none"\nrows = 2\ncolumns = 2\ndigits = [1, 2]\n'
    run = gridassay(command, "-", "--json", stdin=bare)
    assert run.code in (0, 1)
    assert len(run.objects) == 1


OPENING = """
size = 6
rule = [
    {kind = "cage", cells = "r1c1 r1c2", sum = 4},
    {kind = "thermometer", cells = "r3c1 r3c2 r3c3"},
    {kind = "cage", cells = "r5c4 r5c5", sum = 10},
]
"""


def test_the_opening_marks_are_one_step_on_the_terminal_and_single_ones_in_json(
    tmp_path: Path,
) -> None:
    path = tmp_path / "quay.toml"
    path.write_text(OPENING)
    (result,) = gridassay("route", path, "--json").objects
    opening = [step for step in result["steps"] if step.get("group") == "opening"]
    assert len(opening) > 1
    assert result["steps"][: len(opening)] == opening
    lines = gridassay("route", path).out.splitlines()
    head = next(line for line in lines if "opening marks" in line)
    assert head.split("  ")[0].strip() == f"1–{len(opening)}"
    assert sum(line.startswith("     - ") for line in lines) == len(opening)
    # The next step is numbered as in JSON.
    assert any(line.startswith(f"{len(opening) + 1:>3}  ") for line in lines)
    steps = tmp_path / "quay.steps"
    gridassay("route", path, "--save", steps)
    assert sum("because" in line for line in steps.read_text().splitlines()) == len(result["steps"])
