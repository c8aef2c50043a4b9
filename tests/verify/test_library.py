"""The public names of the library."""

from __future__ import annotations

import importlib.util
import subprocess
import sys
from collections.abc import Callable
from dataclasses import is_dataclass
from importlib.metadata import version
from inspect import Parameter, isclass, isfunction, signature
from pathlib import Path
from typing import Any

import pytest

import gridassay.verify
from gridassay import verify
from gridassay.encodings.grid import Cell, GridError
from gridassay.verify import (
    PuzzleError,
    assay,
    audit,
    check,
    clues,
    conflicts,
    explain,
    export,
    read,
    read_file,
    repair,
    route,
)
from gridassay.verify.budget import Clock
from gridassay.verify.engines import engine_for
from gridassay.verify.engines.sat import SatEngine

PUZZLE = read("1... ...2 .... ....")


def run(*command: str, given: str = "") -> str:
    return subprocess.run(command, input=given, capture_output=True, text=True, check=True).stdout


@pytest.mark.parametrize("name", gridassay.verify.__all__)
def test_every_public_name_is_there(name: str) -> None:
    assert callable(getattr(gridassay.verify, name))


@pytest.mark.parametrize("name", gridassay.verify.__all__)
def test_no_module_is_called_what_a_public_name_is(name: str) -> None:
    assert importlib.util.find_spec(f"gridassay.verify.{name}") is None


def test_an_unknown_name_is_an_attribute_error() -> None:
    with pytest.raises(AttributeError, match="no attribute 'nothing'"):
        gridassay.verify.nothing  # noqa: B018


def test_budgets_may_be_seconds_or_left_out() -> None:
    clash = read("1..1" + "." * 12)
    assert conflicts(clash, budget=5).found == conflicts(clash).found
    verdict = check(read("12" + "." * 14))
    mend = repair(verdict.puzzle, verdict.solutions[0], budget=5)
    assert mend is not None
    assert mend.proved
    assert explain(check(clash)).to_json()["conflict"] == ["r1c1=1", "r1c4=1", "row 1"]


def test_nothing_is_explained_of_a_puzzle_with_one_solution() -> None:
    verdict = check(read("1....4....4...23"))
    assert explain(verdict).to_json() == verdict.to_json()


def test_names_are_listed_for_completion_before_they_are_used() -> None:
    code = "import gridassay.verify as v, sys; print(*dir(v)); print('gridassay.verify.kin' in "
    code += "sys.modules)"
    shown, loaded = run(sys.executable, "-c", code).splitlines()
    assert {"check", "kin_groups", "read_file", "Cell", "__version__"} <= set(shown.split())
    assert loaded == "False"


def test_the_version_is_that_of_the_package() -> None:
    assert gridassay.verify.__version__ == version("gridassay")


def test_gridassay_runs_as_a_module() -> None:
    assert run(
        sys.executable, "-m", "gridassay", "check", "-", given="1....4....4...23"
    ).startswith("ONE SOLUTION")


def test_a_path_given_for_a_text_is_told(tmp_path: Path) -> None:
    file = tmp_path / "boats.txt"
    file.write_text("1....4....4...23")
    with pytest.raises(PuzzleError, match=r"boats.txt' is a file: use read_file$"):
        read(str(file))
    assert check(read_file(file)).status == "unique"


def test_one_file_one_puzzle(tmp_path: Path) -> None:
    file = tmp_path / "boats.txt"
    file.write_text("1....4....4...23\n" * 2)
    with pytest.raises(PuzzleError, match=r"boats.txt: this takes one puzzle, but there are 2$"):
        read_file(file)
    with pytest.raises(PuzzleError, match=r"none.txt: cannot be read: no such file or directory$"):
        read_file(tmp_path / "none.txt")


def test_an_error_without_a_source_begins_with_its_line() -> None:
    with pytest.raises(PuzzleError, match=r"^line 1: 4 symbols do not make a square grid"):
        read("1...")


@pytest.mark.parametrize("budget", [-1, float("nan")])
def test_a_negative_budget_is_refused(budget: float) -> None:
    with pytest.raises(ValueError, match="a budget is a number of seconds of 0 or more"):
        check(read("1....4....4...23"), budget=budget)


@pytest.mark.parametrize("engine", ["CP", "Sat", "", "clingo", None])
def test_an_engine_that_is_not_there_gives_no_verdict(engine: Any) -> None:
    puzzle = read("1....4....4...23")
    with pytest.raises(ValueError, match="there is no engine"):
        check(puzzle, engine=engine)
    with pytest.raises(ValueError, match="there is no engine"):
        engine_for(puzzle, Clock(5), engine)


def test_what_else_is_named_has_to_be_there() -> None:
    puzzle = read("1....4....4...23")
    with pytest.raises(ValueError, match="there is no format 'DIMACS'"):
        export(puzzle, "DIMACS")  # type: ignore[arg-type]
    with pytest.raises(ValueError, match="there is no constraint 'sum'"):
        SatEngine(puzzle.model, Clock(5), {"sum": "order"})
    with pytest.raises(ValueError, match="there is no encoding 'best' of AtMostOne"):
        SatEngine(puzzle.model, Clock(5), {"AtMostOne": "best"})
    with pytest.raises(ValueError, match="python-sat has no solver 'best'"):
        SatEngine(puzzle.model, Clock(5), solver="best")


def test_results_are_short_in_a_session_and_pictures_or_tables_in_a_notebook() -> None:
    one, two = read("1....4....4...23"), read("12" + "." * 14)
    clash = conflicts(read("1..1" + "." * 12)).found[0]
    solved = route(one)
    walked = audit(one, "r1c2 = 2\nr1c3 = 9\n<b>")
    for result, says, holds in [
        (check(one), "<Verdict: unique (sat, ", "<svg"),
        (check(two), "<Verdict: multiple in r", "<svg"),
        (clues(one), "<Clues: unique, 5 givens and 0 rules, ", "<svg"),
        (clues(two), "<Clues: multiple, ", "<svg"),
        (clash, "<Conflict: r1c1=1, r1c4=1, row 1>", "<td>row 1</td>"),
        (solved, "<Route: 11 steps, solved>", "<td>11</td>"),
        (solved.steps[0], "<Step: ", solved.steps[0].technique),
        (walked, "<Audit: ", "&lt;b&gt;"),
        (assay(one), "<Assay: ", "<td>verdict</td>"),
    ]:
        assert repr(result).startswith(says)
        assert len(repr(result)) < 250
        assert holds in (result._repr_html_() or "")


def test_budgets_are_passed_by_name_and_in_one_way() -> None:
    """Whatever takes a budget takes it by that name alone, ten seconds if nothing is said."""
    public = {name: getattr(verify, name) for name in dir(verify)}
    members = [
        (f"{name}.{part}", value)
        for name, one in public.items()
        if isclass(one)
        for part, value in vars(one).items()
        if isfunction(value) and (part == "__init__" or not part.startswith("_"))
    ]
    functions = [(name, one) for name, one in public.items() if isfunction(one)]
    asked = {
        name: signature(one).parameters["budget"]
        for name, one in (*functions, *members)
        if "budget" in signature(one).parameters
    }
    assert len(asked) > 20
    assert {"Catalogue.__init__", "Catalogue.search"} < set(asked)
    assert not [name for name, one in members if "clock" in signature(one).parameters]
    for name, budget in asked.items():
        assert budget.kind is Parameter.KEYWORD_ONLY, name
        assert budget.default == 10.0, name


def test_one_name_stands_for_a_list_of_it() -> None:
    puzzle = verify.read("1......2..3..4..")
    whole = verify.route(puzzle, without=["hidden single"])
    assert verify.route(puzzle, without="hidden single").steps == whole.steps
    assert verify.open_steps(puzzle, without="hidden single") == verify.open_steps(
        puzzle, without=["hidden single"]
    )
    first = verify.route(puzzle, order=["naked single"])
    assert verify.route(puzzle, order="naked single").steps == first.steps


def test_cells_are_called_by_their_names() -> None:
    one, other = Cell(1, 1), Cell(2, 3)
    by_name = verify.View(
        digits={"r1c1": 3},
        ringed="r1c1 r2c3",
        struck=[("r2c3", 4)],
        sights=[("r1c1", "r2c3")],
        doubled=["r2c3"],
    )
    assert by_name == verify.View(
        digits={one: 3},
        ringed=(one, other),
        struck=((other, 4),),
        sights=((one, other),),
        doubled=(other,),
    )
    with pytest.raises(GridError, match="nowhere"):
        verify.View(ringed="nowhere")


def test_what_is_answered_is_frozen() -> None:
    classes = [one for name in verify.__all__ if is_dataclass(one := getattr(verify, name))]
    assert len(classes) > 20
    for one in classes:
        assert one.__dataclass_params__.frozen, one  # type: ignore[union-attr]


@pytest.mark.parametrize(
    ("slip", "says"),
    [
        (
            lambda: check("1... .... .... ...."),
            "check takes a Puzzle, not a str: read or read_file",
        ),
        (lambda: explain(PUZZLE), "explain takes a Verdict, not a Puzzle: check gives one"),
        (lambda: verify.sweep(PUZZLE), "sweep takes an OpenPuzzle, not a Puzzle: read_layout"),
        (lambda: verify.certify(PUZZLE), "certify takes bytes, not a Puzzle: those of a file"),
        (lambda: check(PUZZLE, budget="5"), "a budget is a number of seconds or a Clock, not '5'"),
        (
            lambda: read(Path("a.toml")),
            "read takes the text of a puzzle, .*; read_file takes a path",
        ),
    ],
)
def test_the_wrong_thing_is_answered_with_where_the_right_one_comes_from(
    slip: Callable[[], Any], says: str
) -> None:
    with pytest.raises(TypeError, match=says):
        slip()


def test_puzzles_and_clocks_are_one_line_in_a_session() -> None:
    harbour = read_file(Path(__file__).parents[2] / "examples" / "harbour-lights.toml")
    assert repr(harbour) == "<Puzzle: Harbour Lights, 9x9, 27 givens, 0 rules>"
    assert repr(PUZZLE) == "<Puzzle: 4x4, 2 givens, 0 rules>"
    assert repr(PUZZLE.canvas) == "<Canvas: 4x4, 16 cells>"
    assert repr(Clock(0)) == "<Clock: 0.0 s left>"


def test_a_text_is_named_by_its_line() -> None:
    assert PUZZLE.source == "line 1"
    assert read("1... ...2 .... ....", "june.txt").source == "june.txt:1"


def test_a_misspelt_name_gets_a_suggestion() -> None:
    code = "import gridassay.verify as v; v.chek"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True)
    assert "Did you mean: 'check'?" in done.stderr
