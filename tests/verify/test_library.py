"""The public names of the library."""

from __future__ import annotations

import importlib.util
from typing import Any

import pytest

import gridassay.verify
from gridassay.verify import check, conflicts, explain, export, read, repair
from gridassay.verify.budget import Clock
from gridassay.verify.engines import engine_for
from gridassay.verify.engines.sat import SatEngine


@pytest.mark.parametrize("name", gridassay.verify.__all__)
def test_every_public_name_is_there(name: str) -> None:
    assert callable(getattr(gridassay.verify, name))


@pytest.mark.parametrize("name", gridassay.verify._LATER)
def test_what_is_loaded_later_is_no_module_by_its_name(name: str) -> None:
    assert name in gridassay.verify.__all__
    assert importlib.util.find_spec(f"gridassay.verify.{name}") is None


def test_an_unknown_name_is_an_attribute_error() -> None:
    with pytest.raises(AttributeError, match="no attribute 'nothing'"):
        gridassay.verify.nothing  # noqa: B018


def test_budgets_may_be_seconds_or_left_out() -> None:
    clash = read("1..1" + "." * 12)
    assert conflicts(clash, 5).found == conflicts(clash).found
    verdict = check(read("12" + "." * 14))
    mend = repair(verdict.puzzle, verdict.solutions[0], 5)
    assert mend is not None
    assert mend.proved
    assert explain(check(clash)).to_json()["conflict"] == ["r1c1=1", "r1c4=1", "row 1"]


def test_nothing_is_explained_of_a_puzzle_with_one_solution() -> None:
    verdict = check(read("1....4....4...23"))
    assert explain(verdict).to_json() == verdict.to_json()


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
