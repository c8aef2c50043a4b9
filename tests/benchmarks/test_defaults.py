"""The defaults follow from the tables of docs/benchmarks/results.json.

A default is held to the recorded times of the encoding that it is now: its clauses are counted anew,
and found among the recorded cells. A change of defaults or encodings that no record knows asks for a
new one: ``python -m benchmarks --page cells``.
"""

from __future__ import annotations

import json
from functools import cache
from statistics import geometric_mean
from typing import Any

import pytest

from benchmarks.corpora import puzzles
from benchmarks.measure import ROOT
from benchmarks.tables import CORPORA
from gridassay.encodings.cnf.compile import compile_model
from gridassay.encodings.model import Model
from gridassay.verify.engines.sat import DEFAULT_SOLVER

CLEARLY = 0.75
"""An encoding is clearly better when its upper quartile is below this part of the default's time."""

PAIRS = [(kind, corpus) for kind, corpora in CORPORA.items() for corpus in corpora]


@cache
def cells() -> list[dict[str, Any]]:
    results = json.loads((ROOT / "docs/benchmarks/results.json").read_text(encoding="utf-8"))
    return [cell for cell in results["cells"] if "ratio" in cell]


@cache
def size_now(corpus: str) -> tuple[int, int, int]:
    """Clauses, variables and literals of a corpus in the configured encodings of today."""
    models: dict[Model, None] = dict.fromkeys(puzzle.model for puzzle in puzzles(corpus))
    compiled = [compile_model(model) for model in models]
    return (
        sum(len(one.clauses) for one in compiled),
        sum(one.variables for one in compiled),
        sum(len(clause) for one in compiled for clause in one.clauses),
    )


@pytest.mark.parametrize(("kind", "corpus"), PAIRS)
def test_no_clearly_better_encoding_is_left_unused(kind: str, corpus: str) -> None:
    usable = [
        cell
        for cell in cells()
        if cell["corpus"] == corpus
        and cell["kind"] in ("", kind)
        and cell["solver"] == DEFAULT_SOLVER
    ]
    sizes = {
        (cell["clauses"], cell["variables"], cell["literals"]): cell["ratio"] for cell in usable
    }
    assert size_now(corpus) in sizes, "no record of this default: python -m benchmarks --page cells"
    default = sizes[size_now(corpus)]
    better = [cell["encoding"] for cell in usable if cell["high"] < CLEARLY * default]
    assert better == []


def test_no_clearly_better_solver_is_left_unused() -> None:
    by_solver: dict[str, list[float]] = {}
    for cell in cells():
        if not cell["kind"]:
            by_solver.setdefault(cell["solver"], []).append(cell["ratio"])
    corpora = len(by_solver[DEFAULT_SOLVER])
    means = {
        solver: geometric_mean(ratios)
        for solver, ratios in by_solver.items()
        if len(ratios) == corpora
    }
    assert means[DEFAULT_SOLVER] == 1
    assert min(means.values()) >= CLEARLY, means
