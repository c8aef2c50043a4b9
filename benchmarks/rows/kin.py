"""Kin: canonical forms, groups among many lines, a look-up in a catalogue."""

from __future__ import annotations

import tempfile
from pathlib import Path

from benchmarks.corpora import disguised, lines, take
from benchmarks.measure import Measured, Row, seconds, spread
from gridassay.verify import Catalogue, canonical, kin_groups, read


def form(quick: bool) -> Measured:
    """Grids not met before, reading left out; the mean of a hundred, in milliseconds."""
    fresh = disguised(lines("hard9"), seed=1)
    means = []
    for _ in range(6 if quick else 20):
        puzzles = [read(line) for line in take(fresh, 100)]
        means.append(10 * seconds(lambda asked=puzzles: [canonical(p) for p in asked]).cpu)  # type: ignore[misc]
    return spread(means[1:])


def many(quick: bool) -> Measured:
    """Ten thousand lines, two hundred puzzles in disguise, reading included; told per 10,000."""
    number = 1_000 if quick else 10_000
    asked = take(disguised(lines("hard9"), seed=2), number)
    times = []
    for _ in range(1 if quick else 3):
        found: list[int] = []
        spent = seconds(lambda found=found: found.append(len(kin_groups(map(read, asked)))))  # type: ignore[misc]
        if found[0] > len(lines("hard9")):
            raise AssertionError("disguises of one puzzle stand in several groups")
        times.append(spent.cpu * 10_000 / number)
    return spread(times, f"{found[0]} groups")


def look_up(quick: bool) -> Measured:
    """A search among ten thousand entries, in milliseconds."""
    number = 1_000 if quick else 10_000
    fresh = disguised(lines("easy9"), seed=3)
    with (
        tempfile.TemporaryDirectory() as folder,
        Catalogue(Path(folder) / "kept.sqlite", budget=600) as kept,
    ):
        for line in take(fresh, number):
            kept.search(read(line), add=True, budget=60)
        asked = [read(line) for line in take(disguised(lines("hard9"), seed=4), 30)]
        times = [
            1e3 * seconds(lambda one=one: kept.search(one, budget=60)).cpu  # type: ignore[misc]
            for one in asked
        ]
    return spread(times[1:], f"{number:,} entries")


ROWS = (
    Row(8, "canonical form of a 9×9", "at most", 0.6, "ms", form),
    Row(8, "ten thousand lines grouped", "at most", 8, "s", many),
    Row(8, "look-up in a catalogue of ten thousand", "at most", 10, "ms", look_up),
)
