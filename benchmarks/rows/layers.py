"""Layers: counting to two, built and warm, against the best CP-SAT model we can write."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import lru_cache
from statistics import median

from benchmarks.corpora import puzzles
from benchmarks.measure import Measured, Row, seconds, spread
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.budget import Clock
from gridassay.verify.engines.sat import SatEngine


def _ours(engine: SatEngine, puzzle: Puzzle) -> int:
    """0, 1 or 2 solutions of a puzzle whose model is compiled."""
    first = engine.solve(puzzle.givens, Clock(120))
    if first is None:
        return 0
    other = engine.forbid(first)
    second = engine.solve(puzzle.givens, Clock(120), demands=[other])
    engine.retire(other)
    return 1 if second is None else 2


@lru_cache
def counted(name: str, quick: bool) -> tuple[tuple[float, float], ...]:
    """For each puzzle our seconds and the peer's, of the processor; the counts compared first."""
    from benchmarks.peers.cp_layers import Counted

    return tuple(
        _both(puzzle, Counted(puzzle).count) for puzzle in puzzles(name, 0, 8 if quick else 40)
    )


def _both(puzzle: Puzzle, theirs: Callable[[], int]) -> tuple[float, float]:
    engine = SatEngine(puzzle.model, Clock(120))
    counts: list[int] = []
    ours = seconds(lambda: counts.append(_ours(engine, puzzle))).cpu
    other = seconds(lambda: counts.append(theirs())).cpu
    if len(set(counts)) > 1:
        raise AssertionError(f"the counts of {puzzle.source} differ: {counts}")
    return ours, other


def _milliseconds(names: Sequence[str], quick: bool) -> Measured:
    return spread([1000 * ours for name in names for ours, _ in counted(name, quick)])


def _slowest(names: Sequence[str], quick: bool) -> Measured:
    times = [ours for name in names for ours, _ in counted(name, quick)]
    return Measured(max(times), median(times), max(times), "the slowest of all")


def _ahead(names: Sequence[str], quick: bool) -> Measured:
    return spread([theirs / ours for name in names for ours, theirs in counted(name, quick)])


SHADED, LINES, LARGE = ("waters9", "caves9"), ("loops9", "borders10"), ("waters12",)
ROWS = (
    Row(22, "9×9 shadings to two", "at most", 50, "ms", lambda q: _milliseconds(SHADED, q)),
    Row(22, "the slowest of them", "at most", 1, "s", lambda q: _slowest(SHADED, q)),
    Row(22, "9×9 shadings: CP-SAT against us", "at least", 3, "×", lambda q: _ahead(SHADED, q)),
    Row(
        22, "9×9 loops, 10×10 border loops", "at most", 50, "ms", lambda q: _milliseconds(LINES, q)
    ),
    Row(22, "loops: CP-SAT against us", "at least", 3, "×", lambda q: _ahead(LINES, q)),
    Row(22, "12×12 shadings: the slowest", "at most", 10, "s", lambda q: _slowest(LARGE, q)),
)
