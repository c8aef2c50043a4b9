"""``gridassay compare OLD NEW STEPS``: which steps of a walkthrough no longer hold."""

from __future__ import annotations

from pathlib import Path

from .run import EXAMPLES, gridassay

LIGHTS, STEPS = EXAMPLES / "harbour-lights.toml", EXAMPLES / "harbour-lights.steps"


def test_the_same_puzzle_keeps_every_step() -> None:
    run = gridassay("compare", LIGHTS, LIGHTS, STEPS)
    assert run.code == 0
    assert run.out.endswith("every step that held still holds\n")


def test_a_given_that_goes_takes_steps_with_it(tmp_path: Path) -> None:
    changed = tmp_path / "changed.toml"
    text = LIGHTS.read_text()
    row = next(line for line in text.splitlines() if line.startswith("8"))
    changed.write_text(text.replace(row, row.replace("4", "."), 1))
    run = gridassay("compare", LIGHTS, changed, STEPS)
    assert run.code == 1
    assert "removed r1c5: 4" in run.out
    (result,) = gridassay("compare", "--json", LIGHTS, changed, STEPS).objects
    assert result["lost"]
    assert all(step["result"] not in ("sound", "idle") for step in result["lost"])
    first = result["lost"][0]
    assert f"step {first['step']}, line {first['line']}, is now" in run.out


def test_against_a_version_without_solution_no_step_is_held(tmp_path: Path) -> None:
    broken = tmp_path / "broken.toml"
    text = LIGHTS.read_text()
    row = next(line for line in text.splitlines() if line.startswith("8"))
    broken.write_text(text.replace(row, row.replace(".", "8", 1), 1))
    run = gridassay("compare", LIGHTS, broken, STEPS)
    assert run.code == 1
    assert run.out.endswith(
        "\nthe later version has no solution, so no step can be checked against it\n"
    )
    assert "is now" not in run.out
    (result,) = gridassay("compare", "--json", LIGHTS, broken, STEPS).objects
    assert result["lost"] is None
    assert result["unheld"].startswith("the later version has no solution")
    back = gridassay("compare", broken, LIGHTS, STEPS)
    assert "the earlier version has no solution, so no step can be checked against it" in back.out


def test_a_walkthrough_that_is_not_there(tmp_path: Path) -> None:
    run = gridassay("compare", LIGHTS, LIGHTS, tmp_path / "none.steps")
    assert run.code == 2
    assert len(run.err.splitlines()) == 1
