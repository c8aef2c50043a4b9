"""Growth from 4×4 to 25×25: half of the cells given, each encoding of at-most-one at each size."""

from __future__ import annotations

from collections.abc import Callable
from math import isqrt
from statistics import median
from typing import Any

from benchmarks.cell import Question, measure_apart
from benchmarks.corpora import puzzles
from benchmarks.measure import slope
from benchmarks.tables import alternatives
from gridassay.verify.engines.sat import DEFAULT_SOLVER

FIGURES = ("build", "load", "answer", "clauses", "conflicts", "megabytes")
FROM = 9
"""Slopes are measured from this size on: below it, fixed costs hide the growth."""


def sizes() -> dict[int, list[int]]:
    """The places in the corpus of the puzzles of each size."""
    places: dict[int, list[int]] = {}
    for place, puzzle in enumerate(puzzles("growth")):
        places.setdefault(isqrt(len(puzzle.canvas.cells)), []).append(place)
    return places


def growth(quick: bool, tell: Callable[[str], None] = lambda line: None) -> list[dict[str, Any]]:
    """A line for each encoding with its figures by size and their log-log slopes.

    ``answer`` is the median time of a verdict once the puzzle is loaded. Raises AssertionError if
    a verdict is not the known one.
    """
    grown = []
    for encoding in alternatives("AtMostOne"):
        tell(f"growth: {encoding}")
        solver = "minicard" if encoding == "native" else DEFAULT_SOLVER
        series: dict[str, list[float]] = {figure: [] for figure in FIGURES}
        for places in sizes().values():
            asked = Question(
                "growth", {"AtMostOne": encoding}, solver, places[0], len(places), budget=60
            )
            answers = [measure_apart(asked) for _ in range(1 if quick else 3)]
            if answers[-1].problem:
                raise AssertionError(f"{encoding}: {answers[-1].problem}")
            for figure in FIGURES:
                values = [
                    median(answer.each) if figure == "answer" else getattr(answer, figure)
                    for answer in answers
                ]
                series[figure].append(float(f"{median(values):.4g}"))
        grown.append(
            {
                "encoding": encoding,
                "solver": solver,
                "sizes": list(sizes()),
                **series,
                "slopes": {figure: _slope(list(sizes()), series[figure]) for figure in FIGURES},
            }
        )
    return grown


def _slope(at: list[int], values: list[float]) -> float | None:
    pairs = [(size, value) for size, value in zip(at, values, strict=True) if size >= FROM]
    if any(value <= 0 for _, value in pairs):
        return None
    return round(slope(*zip(*pairs, strict=True)), 2)
