"""Verdicts on variants: against the same puzzles written straight in OR-Tools and in CPMpy."""

from __future__ import annotations

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
    """Each family against its better peer, the answers compared before any time counts.

    A round gives each puzzle to us and to both peers in turn; a ratio is the median over the
    rounds. Our engine is built anew for each puzzle, as are the peers' models.
    """
    peers = _peers()
    for puzzles in variants().values():
        for puzzle in puzzles:
            ours = _NUMBER[check(_fresh(puzzle)).status]
            for name, count in peers.items():
                if count(_fresh(puzzle)) != ours:
                    raise AssertionError(f"{name} gives another verdict on {puzzle.source}")
    found = []
    for name, puzzles in variants().items():
        by_peer: dict[str, list[float]] = {peer: [] for peer in peers}
        for puzzle in puzzles:
            samples: dict[str, list[float]] = {peer: [] for peer in peers}
            for _ in range(rounds):
                mine = _fresh(puzzle)
                us = seconds(lambda mine=mine: check(mine)).cpu  # type: ignore[misc]
                for peer, count in peers.items():
                    theirs = _fresh(puzzle)
                    them = seconds(lambda count=count, theirs=theirs: count(theirs)).cpu  # type: ignore[misc]
                    samples[peer].append(them / us)
            for peer, ratios in samples.items():
                by_peer[peer].append(median(ratios))
        better = min(by_peer, key=lambda peer: _mean(tuple(by_peer[peer])))
        found.append(Family(name, tuple(by_peer[better])))
    return tuple(found)


def overall(quick: bool) -> Measured:
    """The geometric mean over the families of how far we are ahead of the better peer."""
    found = families(3 if quick else 9)
    means = [family.mean for family in found]
    low, _, high = quantiles(means, n=4)
    note = ", ".join(f"{family.name} {family.mean:.1f}" for family in found)
    return Measured(_mean(tuple(means)), low, high, note)


def worst(quick: bool) -> Measured:
    """How far we are behind the better peer in the family where we are worst."""
    last = min(families(3 if quick else 9), key=lambda family: family.mean)
    behind = [1 / ratio for ratio in last.ratios]
    return Measured(1 / last.mean, min(behind), max(behind), last.name)


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
)
