"""Cells: right figures, the same answers every time, plug-ins beside the built-in encodings."""

from __future__ import annotations

from math import comb
from pathlib import Path

import pytest

from benchmarks import tables
from benchmarks.cell import Answer, Question, measure_apart, wrong
from benchmarks.tables import CORPORA, alternatives, cells_of, side_by_side
from gridassay.verify.engines.sat import DEFAULT_SOLVER

from .plugged import measure_here, plant


def test_two_runs_give_the_same_answers_and_counts() -> None:
    first, second = (measure_apart(Question("damaged9", limit=30)) for _ in "ab")
    assert first.problem == ""
    assert set(first.verdicts) == {"u", "m", "n"}
    for name in ("verdicts", "clauses", "variables", "literals", "conflicts", "propagations"):
        assert getattr(first, name) == getattr(second, name), name
    assert first.conflicts > 0


def test_clauses_of_pairwise_by_the_formula() -> None:
    found = measure_apart(Question("hard9", {"AtMostOne": "pairwise"}, limit=1))
    # 81 cells and 27 houses × 9 digits, each at least one and no two of nine.
    assert found.clauses == (81 + 27 * 9) * (1 + comb(9, 2))
    assert found.variables == 729 + 27


def test_a_solver_that_cannot_is_a_problem_and_no_figure() -> None:
    found = measure_apart(Question("hard9", solver="lingeling", limit=1))
    assert found.total == 0
    assert "Lingeling" in found.problem


def test_too_little_time_and_wrong_solutions_are_said() -> None:
    question = Question("damaged9", limit=3, budget=5)
    assert wrong(question, Answer(verdicts="mnm")) == ""
    assert wrong(question, Answer(verdicts="m?m")) == "1 of 3 undecided in 5 s"
    assert wrong(question, Answer(verdicts="mn!")) == "WRONG on 1 of 3 puzzles, number 3 first"


def test_every_corpus_starts_with_its_baseline() -> None:
    for corpus in {name for corpora in CORPORA.values() for name in corpora}:
        assert next(cells_of(corpus)) == ("", "", DEFAULT_SOLVER)


def test_plugged_encodings_stand_in_the_tables(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    plant(tmp_path, monkeypatch, "plain", "wrong")
    monkeypatch.setattr(tables, "measure_apart", measure_here)
    assert alternatives("AtMostOne")[-2:] == ["plain", "wrong"]
    cells = [cell for cell in cells_of("hard9") if cell[2] == DEFAULT_SOLVER]
    assert ("AtMostOne", "plain", DEFAULT_SOLVER) in cells
    base, plain, bad = side_by_side("hard9", [cells[0], *cells[-2:]], rounds=1, limit=2)
    assert plain["clauses"] == base["clauses"]
    assert plain["ratio"] > 0
    assert bad["problem"].startswith("WRONG on ")
    assert "ratio" not in bad
