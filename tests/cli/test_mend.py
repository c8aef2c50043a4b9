"""The rest of what check says: for a damaged, a too open and a misprinted puzzle, classic and variant."""

from __future__ import annotations

from pathlib import Path

import pytest

from .run import Run, gridassay

TIDES = "1234341223414123"
"""A 4×4 grid whose every cell can be told from these four givens: see ``FEW``."""

FEW = "1....4....4...23"
CLASH = "1..1............"

KILLER = """
title = "Slack Tide"
size = 4
[[rule]]
kind = "cage"
cells = "r1c1 r1c2"
sum = 3
[[rule]]
kind = "cage"
cells = "r1c3 r2c3"
sum = {total}
[[rule]]
kind = "thermometer"
cells = "r1c1 r2c2 r3c3"
[[rule]]
kind = "cage"
cells = "r2c1 r3c1 r3c2"
sum = 9
[[rule]]
id = "ebb"
kind = "cage"
cells = "r4c2 r4c3"
sum = 6
optional = true
[[rule]]
id = "flood"
kind = "cage"
cells = "r4c1 r4c2"
sum = 5
optional = true
"""


def checked(tmp_path: Path, text: str, *options: str, name: str = "p.toml") -> Run:
    file = tmp_path / name
    file.write_text(text)
    return gridassay("check", file, *options)


GOLDEN_CLASH = """\
NO SOLUTION (sat, TIME)

      1    2    3    4
  ┌─────────┬─────────┐
1 │(1)   ·  │ ·   (1) │
2 │ ·    ·  │ ·    ·  │
  ├─────────┼─────────┤
3 │ ·    ·  │ ·    ·  │
4 │ ·    ·  │ ·    ·  │
  └─────────┴─────────┘

These contradict each other (no smaller set does; see the brackets above):
  givens: r1c1=1, r1c4=1
  houses: row 1

What would repair it:
  remove r1c1=1 (no smaller change works): several solutions are left
    or instead r1c4=1
"""


def test_a_rule_that_no_digits_keep_is_said_to_be_one(tmp_path: Path) -> None:
    cage = 'size = 6\n[[rule]]\nkind = "cage"\ncells = "r1c1 r1c2 r2c1"\nsum = 4\n'
    run = checked(tmp_path, cage, name="cage.toml")
    assert "No digits satisfy this (see the brackets above):\n  rules: the " in run.out
    assert "contradict" not in run.out


def test_the_screen_for_a_conflict(tmp_path: Path) -> None:
    run = checked(tmp_path, CLASH, name="clash.txt")
    assert run.code == 1
    # Either given is right, and which comes first depends on the solver.
    shown = run.out.replace("remove r1c4=1", "remove r1c1=1").replace(
        "instead r1c1=1", "instead r1c4=1"
    )
    assert shown == GOLDEN_CLASH


def test_a_damaged_classic_puzzle(tmp_path: Path) -> None:
    (result,) = checked(tmp_path, CLASH, "--json", name="clash.txt").objects
    assert result["conflict"] == ["r1c1=1", "r1c4=1", "row 1"]
    assert result["conflicts"] == [{"premises": result["conflict"], "smallest": True}]
    assert result["conflicts_complete"] is True
    assert result["drop"]["premises"] in (["r1c1=1"], ["r1c4=1"])


def test_a_damaged_variant_puzzle(tmp_path: Path) -> None:
    text = KILLER.format(total=7)
    run = checked(tmp_path, text)
    assert (
        "  rules: the 7 cage in box 2, the thermometer from r1c1 to r3c3\n  houses: column 3\n"
        in run.out
    )
    assert "  possible slip: the sum of the 7 cage in box 2 should be 4, not 7\n" in run.out
    (result,) = checked(tmp_path, text, "--json").objects
    assert result["conflict"] == ["cage r1c3 r2c3", "thermometer r1c1 r2c2 r3c3", "column 3"]
    assert result["drop"] == {
        "premises": ["cage r1c3 r2c3"],
        "smallest": True,
        "leaves": "unique",
        "instead": [],
        "instead_leaves": {},
    }
    (right,) = checked(tmp_path, KILLER.format(total=4), "--json").objects
    assert {
        "slip": "cage r1c3 r2c3: sum should be 4, not 7",
        "solution": right["solutions"][0],
    } in result["slips"]


def test_a_misprinted_classic_puzzle(tmp_path: Path) -> None:
    assert checked(tmp_path, FEW, name="few.txt").code == 0
    misprinted = FEW[:5] + "1" + FEW[6:]
    run = checked(tmp_path, misprinted, name="misprint.txt")
    assert run.code == 1
    assert "  possible slip: r2c2 should be 4, not 1\n" in run.out


def test_an_over_free_classic_puzzle(tmp_path: Path) -> None:
    free = FEW[:-1] + "."
    run = checked(tmp_path, free, name="free.txt")
    assert run.out.startswith("SEVERAL SOLUTIONS")
    assert "no two differ in fewer" in run.out
    assert "What would repair it:\n  add r" in run.out
    (result,) = checked(tmp_path, free, "--json", name="free.txt").objects
    assert result["differs_fewest"]
    assert len(result["differs"]) == sum(a != b for a, b in zip(*result["solutions"], strict=True))
    assert result["solution_count"]["exact"]
    assert len(result["possible"]) == 16
    assert result["repair_smallest"]
    assert result["repair_solution"] == result["solutions"][0]
    # Added to the puzzle, the repair leaves the one solution that it names.
    line = list(free)
    for given in result["repair"]:
        row, column, digit = int(given[1]), int(given[3]), given[5]
        line[4 * (row - 1) + column - 1] = digit
    (mended,) = checked(tmp_path, "".join(line), "--json", name="mended.txt").objects
    assert mended["solutions"] == [result["repair_solution"]]


def test_an_over_free_variant_puzzle_is_offered_its_optional_rules(tmp_path: Path) -> None:
    text = KILLER.format(total=4).replace("sum = 9", "at-least = 5")
    run = checked(tmp_path, text)
    assert run.out.splitlines()[1].startswith("SEVERAL SOLUTIONS")
    assert "make these optional rules count (the fewest possible): " in run.out
    (result,) = checked(tmp_path, text, "--json").objects
    rules = result["repair_rules"]
    assert rules["enough"]
    assert rules["smallest"]
    for name in rules["rules"]:
        at = text.index(f'id = "{name}"')
        text = text[:at] + text[at:].replace("optional = true", "optional = false", 1)
    (mended,) = checked(tmp_path, text, "--json").objects
    assert (mended["verdict"], mended["solutions"]) == ("unique", [rules["solution"]])


def test_a_repair_keeps_the_solution_that_is_named(tmp_path: Path) -> None:
    (result,) = checked(
        tmp_path, "1...............", "--json", "--solution", TIDES, name="free.txt"
    ).objects
    assert result["repair_solution"] == TIDES
    for given in result["repair"]:
        assert TIDES[4 * (int(given[1]) - 1) + int(given[3]) - 1] == given[5]


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("2" * 16, "not a solution of the puzzle"),
        ("1...............", "not a full grid"),
        ("12", "2 symbols"),
        ("1234341223414129", "'9' is not a digit here"),
    ],
)
def test_a_named_solution_that_is_none_is_bad_input(tmp_path: Path, line: str, words: str) -> None:
    run = checked(tmp_path, "1" + "." * 15, "--solution", line, name="free.txt")
    assert run.code == 2
    assert words in run.err
    assert len(run.err.splitlines()) == 1
    two = "1" + "." * 15 + "\n" + FEW
    run = checked(tmp_path, two, "--solution", line, "--json", name="free.txt")
    assert run.code == 2
    bad, good = run.objects
    assert words in bad["error"]
    assert good["verdict"] == "unique"


def test_any_solution_says_how_many_were_tried(tmp_path: Path) -> None:
    free = FEW[:-1] + "."
    run = checked(tmp_path, free, "--any-solution", name="free.txt")
    assert "solutions tried" in run.out
    (result,) = checked(tmp_path, free, "--any-solution", "--json", name="free.txt").objects
    assert result["repair_tried"] == result["solution_count"]["count"]


def test_the_count_goes_up_to_the_limit(tmp_path: Path) -> None:
    run = checked(tmp_path, "." * 16, "--limit", "200", name="empty.txt")
    assert "It has at least 200 solutions.\n" in run.out
    run = checked(tmp_path, "." * 16, "--limit", "300", name="empty.txt")
    assert "It has 288 solutions.\n" in run.out


def test_blind_says_nothing_of_what_is_wrong(tmp_path: Path) -> None:
    for text in (KILLER.format(total=7), KILLER.format(total=4).replace("sum = 9", "at-least = 5")):
        run = checked(tmp_path, text, "--blind")
        assert len(run.out.splitlines()) == 2
        assert "r1c" not in run.out
        (result,) = checked(tmp_path, text, "--blind", "--json").objects
        assert set(result) == {"title", "source", "verdict", "engine", "seconds"}


def test_what_runs_out_of_time_says_so(tmp_path: Path) -> None:
    file = tmp_path / "wide.txt"
    file.write_text("." * 625)
    (result,) = gridassay("check", file, "--json", "--budget", "3").objects
    assert result["verdict"] in ("multiple", "undecided")
    if result["verdict"] == "multiple":
        assert result["ran_out"] or not result["slips_complete"]
