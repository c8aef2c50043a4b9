"""Layers: counting to two, built and warm, against the best CP-SAT model we can write."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import lru_cache, partial
from math import inf
from statistics import median

from benchmarks.corpora import known_verdicts, puzzles
from benchmarks.measure import Measured, Row, seconds, spread
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.budget import Clock, OutOfTime
from gridassay.verify.engines.sat import SatEngine


def _ours(engine: SatEngine, puzzle: Puzzle) -> int:
    """0, 1 or 2 solutions of a puzzle whose model is compiled."""
    clock = Clock(120)
    first = engine.solve(puzzle.givens, clock)
    if first is None:
        return 0
    other = engine.forbid(first)
    second = engine.solve(puzzle.givens, clock, demands=[other])
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
    times = [1000 * ours for name in names for ours, _ in counted(name, quick)]
    return spread(
        times, f"{len(times)} asked, each counted as by CP-SAT; slowest {max(times):.0f} ms"
    )


def _slowest(names: Sequence[str], quick: bool) -> Measured:
    times = [ours for name in names for ours, _ in counted(name, quick)]
    return Measured(max(times), median(times), max(times), "the slowest of all")


def _ahead(names: Sequence[str], quick: bool) -> Measured:
    return spread([theirs / ours for name in names for ours, theirs in counted(name, quick)])


def _within(name: str, most: float, out_of: int, quick: bool) -> Measured:
    """Of how many puzzles the count to two takes so many seconds of the processor at most.

    A quick run asks a fifth of them, and its number is scaled up to all.
    """
    asked = puzzles(name, 0, out_of // 5 if quick else out_of)
    known = known_verdicts(name)
    times = [
        _alone(puzzle, "num".index(verdict)) for puzzle, verdict in zip(asked, known, strict=False)
    ]
    number = out_of * sum(one <= most for one in times) / len(times)
    told = f"median {median(times):.2f} s, slowest {max(times):.2f} s"
    note = f"{len(asked)} asked, each counted as known; {told}"
    return Measured(number, number, number, note)


def _alone(puzzle: Puzzle, known: int) -> float:
    """Seconds of the processor; infinite if there is no answer. The count is held to the known one."""
    engine = SatEngine(puzzle.model, Clock(120))
    counts: list[int] = []
    try:
        spent = seconds(lambda: counts.append(_ours(engine, puzzle))).cpu
    except OutOfTime:
        return inf
    if counts != [known]:
        raise AssertionError(f"{puzzle.source}: {counts[0]} counted, {known} known")
    return spent


def _proved(name: str, quick: bool) -> Measured:
    """Milliseconds where the second count has to be proved: one solution, and nothing wasted."""
    times = [1000 * _alone(puzzle, 1) for puzzle in puzzles(name, 0, 4 if quick else 20)]
    return spread(times, f"{len(times)} asked; slowest {max(times):.0f} ms")


SHADED, REGIONS = ("waters9", "caves9"), ("wards6",)
ROWS = (
    Row(22, "9×9 shadings to two", "at most", 50, "ms", lambda q: _milliseconds(SHADED, q)),
    Row(22, "the slowest of them", "at most", 1, "s", lambda q: _slowest(SHADED, q)),
    Row(22, "9×9 shadings: CP-SAT against us", "at least", 3, "×", lambda q: _ahead(SHADED, q)),
    Row(22, "9×9 loops to two", "at most", 50, "ms", lambda q: _milliseconds(("loops9",), q)),
    Row(
        22,
        "10×10 border loops to two",
        "at most",
        50,
        "ms",
        lambda q: _milliseconds(("borders10",), q),
    ),
    Row(
        22,
        "9×9 loops, 10×10 border loops: CP-SAT against us",
        "at least",
        3,
        "×",
        lambda q: _ahead(("loops9", "borders10"), q),
    ),
    Row(22, "6×6 regions to two", "at most", 200, "ms", lambda q: _milliseconds(REGIONS, q)),
    Row(22, "6×6 regions: CP-SAT against us", "at least", 1, "×", lambda q: _ahead(REGIONS, q)),
    Row(
        22,
        "9×9 regions with cages in 10 s, of ten",
        "at least",
        8,
        "puzzles",
        lambda q: _within("parishes9", 10, 10, q),
    ),
    Row(
        22,
        "12×12 shadings in 10 s, of forty",
        "at least",
        38,
        "puzzles",
        lambda q: _within("waters12", 10, 40, q),
    ),
    *(
        Row(22, f"{what} with one solution, proved", "at most", most, "ms", partial(_proved, name))
        for what, most, name in (
            ("9×9 two colours", 50, "waters9single"),
            ("9×9 caves", 50, "caves9single"),
            ("9×9 loops", 50, "loops9single"),
            ("10×10 border loops", 50, "borders10single"),
            ("6×6 regions", 200, "wards6single"),
        )
    ),
)
