"""Verdicts on variants: against the same puzzles written straight in OR-Tools and in CPMpy."""

from __future__ import annotations

import gc
from collections.abc import Callable
from dataclasses import replace
from functools import lru_cache
from math import exp, log
from statistics import median, quantiles
from typing import NamedTuple

from benchmarks.corpora.variants import variants
from benchmarks.measure import Measured, Row, seconds
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify import check

Count = Callable[[Puzzle], int]
_NUMBER = {"none": 0, "unique": 1, "multiple": 2}


class Family(NamedTuple):
    """A family's ratios to the better peer: of each puzzle, and their geometric mean."""

    name: str
    ratios: tuple[float, ...]

    @property
    def mean(self) -> float:
        """How many times as long the better peer takes."""
        return _mean(self.ratios)


def _mean(ratios: tuple[float, ...]) -> float:
    return exp(sum(map(log, ratios)) / len(ratios))


def _peers() -> dict[str, Count]:
    from benchmarks.peers import cp_variants, cpmpy_variants

    return {"OR-Tools": cp_variants.count, "CPMpy": cpmpy_variants.count}


def _fresh(puzzle: Puzzle) -> Puzzle:
    """The puzzle as if it had just been read: nothing of its model is known yet."""
    return replace(puzzle)


@lru_cache
def families(rounds: int) -> tuple[Family, ...]:
    """Each family against its better peer, the answers compared before any time counts."""
    return tuple(against(name, puzzles, rounds) for name, puzzles in variants().items())


def against(name: str, puzzles: tuple[Puzzle, ...], rounds: int) -> Family:
    """One family against its better peer.

    In each round we, then each peer, are given the puzzles one after another, as a batch is; the
    first round warms up. A puzzle's ratio is the median over the rounds. Engines and models are
    built anew for each puzzle.
    """
    counts: dict[str, Count] = {"us": _ours} | _peers()
    for puzzle in puzzles:
        if len({count(_fresh(puzzle)) for count in counts.values()}) > 1:
            raise AssertionError(f"the verdicts on {puzzle.source} differ")
    gc.collect()
    gc.freeze()  # else the collection before each sample goes through all that the peers import
    spent = [
        {who: [_time(count, puzzle) for puzzle in puzzles] for who, count in counts.items()}
        for _ in range(rounds + 1)
    ][1:]
    gc.unfreeze()
    by_peer = [
        Family(
            name,
            tuple(
                median(times[peer][at] / times["us"][at] for times in spent)
                for at in range(len(puzzles))
            ),
        )
        for peer in counts
        if peer != "us"
    ]
    return min(by_peer, key=lambda family: family.mean)


def _ours(puzzle: Puzzle) -> int:
    return _NUMBER[check(puzzle).status]


def _time(count: Count, puzzle: Puzzle) -> float:
    fresh = _fresh(puzzle)
    return seconds(lambda: count(fresh)).cpu


def overall(quick: bool) -> Measured:
    """The geometric mean over the families of how far we are ahead of the better peer."""
    found = families(3 if quick else 9)
    means = [family.mean for family in found]
    low, _, high = quantiles(means, n=4)
    note = ", ".join(f"{family.name} {family.mean:.1f}" for family in found)
    return Measured(_mean(tuple(means)), low, high, note)


def worst(quick: bool) -> Measured:
    """How far we are behind the better peer in the family where we are worst."""
    return _behind(min(families(3 if quick else 9), key=lambda family: family.mean))


def outside(quick: bool) -> Measured:
    """How far we are behind the better peer in the family of outside clues."""
    return _behind(next(one for one in families(3 if quick else 9) if one.name == "outside"))


def _behind(family: Family) -> Measured:
    behind = [1 / ratio for ratio in family.ratios]
    return Measured(1 / family.mean, min(behind), max(behind), family.name)


ROWS = (
    Row(
        3,
        "variants, warm: the better of OR-Tools and CPMpy against us",
        "at least",
        2,
        "×",
        overall,
    ),
    Row(3, "variants, warm: the worst family, behind the better peer", "at most", 1.3, "×", worst),
    Row(20, "the same variants, three times ahead", "at least", 3, "×", overall),
    Row(20, "outside clues, warm, behind the better peer", "at most", 1, "×", outside),
)
