"""Two versions of one puzzle: what changed in the clues, the verdict and the solution."""

from __future__ import annotations

from pathlib import Path

from .run import Run, gridassay

OLD = """
title = "Slack Tide"
size = 4
givens = "1... .... .... ...."
[[rule]]
id = "quay"
kind = "cage"
cells = "r1c1 r1c2"
sum = 3
[[rule]]
kind = "thermometer"
cells = "r1c1 r2c2 r3c3"
"""


def compared(tmp_path: Path, old: str, new: str, *options: str) -> Run:
    before, after = tmp_path / "old.toml", tmp_path / "new.toml"
    before.write_text(old)
    after.write_text(new)
    return gridassay("compare", before, after, *options)


def test_nothing_changed(tmp_path: Path) -> None:
    run = compared(tmp_path, OLD, OLD)
    assert run.out.startswith("the clues are the same\nverdict: multiple, as before\n")
    assert run.code == 1


def test_changed_clues_are_listed(tmp_path: Path) -> None:
    new = (
        OLD.replace('"1... .... .... ...."', '"2... ...1 .... ...."')
        .replace("sum = 3", "sum = 4")
        .replace("r1c1 r2c2 r3c3", "r1c1 r2c2 r3c3 r4c4")
        .replace("Slack", "Spring")
    )
    run = compared(tmp_path, OLD, new)
    assert run.out.splitlines()[:6] == [
        "r1c1: 2, was 1",
        "added r2c4: 1",
        "the cage 'quay', sum: 4, was 3",
        "removed the thermometer from r1c1 to r3c3: kind thermometer",
        "added the thermometer from r1c1 to r4c4: kind thermometer",
        "title: Spring Tide, was Slack Tide",
    ]


def test_a_rule_in_another_place_of_the_file_is_no_change(tmp_path: Path) -> None:
    head, quay, thermometer = OLD.split("[[rule]]")
    run = compared(tmp_path, OLD, f"{head}[[rule]]{thermometer}[[rule]]{quay}")
    assert run.out.startswith("the clues are the same\n")


def test_the_solution_is_compared_where_both_have_one(tmp_path: Path) -> None:
    old = 'size = 4\ngivens = "1....4....4...23"\n'
    (result,) = compared(tmp_path, old, old, "--json").objects
    assert (result["changes"], result["moved"], result["same_verdict"]) == ([], [], True)
    line = result["old"]["solutions"][0]
    swap = str.maketrans("1234", "2143")
    new = 'size = 4\ngivens = "1....4....4...23"\n'.translate(swap).replace("size = 3", "size = 4")
    (result,) = compared(tmp_path, old, new, "--json").objects
    assert result["new"]["solutions"] == [line.translate(swap)]
    assert len(result["moved"]) == 16
    assert {"what": "r1c1", "old": "1", "new": "2"} in result["changes"]


def test_a_verdict_that_changed_leaves_no_solution_to_compare(tmp_path: Path) -> None:
    old = 'size = 4\ngivens = "1....4....4...23"\n'
    run = compared(tmp_path, old, old.replace("23", "2."))
    assert run.out == "removed r4c4: 3\nverdict: multiple, was unique\n"
    assert run.code == 1


def test_another_grid_is_a_change(tmp_path: Path) -> None:
    run = compared(tmp_path, "size = 4\n", "size = 6\n")
    assert run.out.startswith("the grid: 6x6, 36 cells, 18 houses, was 4x4, 16 cells, 12 houses\n")
