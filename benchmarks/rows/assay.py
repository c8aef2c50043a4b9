"""The assay as a person meets it: a whole process, from the command to the last sentence."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path
from time import perf_counter

from benchmarks.corpora import RULE_OFF, lines, puzzles, text
from benchmarks.measure import (
    COMMAND,
    Measured,
    Row,
    installed,
    process,
    seconds,
    spread,
    surroundings,
)

WITH_RULES = 25
"""The least number of rules of a puzzle that counts as having thirty."""


def whole(documents: list[str]) -> Measured:
    """``gridassay assay`` on each document, in seconds of processor time; the first warms up."""
    times = []
    with installed() as folder:
        file = folder / "puzzle"
        for number, document in enumerate(documents):
            file.write_text(document, encoding="utf-8")

            def ask(path: Path = file, at: Path = folder, source: int = number) -> None:
                finished = process("-c", COMMAND, "assay", "--json", str(path), path=str(at))
                if '"ran_out": []' not in finished.stdout:
                    raise AssertionError(f"number {source} is not examined to the end")

            times.append(seconds(ask).cpu)
    return spread(times[1:], f"{len(times)} puzzles, slowest {max(times):.2f} s")


def classic(quick: bool) -> Measured:
    """Hard classic grids."""
    return whole(list(lines("hard9")[: 6 if quick else 30]))


def _variants(count: int) -> list[str]:
    """Puzzle files of cages, all over the grid."""
    known = zip(puzzles("cages9"), text("cages9").split(RULE_OFF), strict=True)
    return [document for puzzle, document in known if len(puzzle.rules) >= WITH_RULES][:count]


def variant(quick: bool) -> Measured:
    """Cages: rules of their own on every cell."""
    return whole(_variants(6 if quick else 20))


def verdict_shown(quick: bool) -> Measured:
    """The time from the start of the process to the verdict on the screen, in milliseconds.

    Wall time, minus that of an interpreter that does nothing.
    """
    times = []
    with installed() as folder:
        file = folder / "puzzle.toml"
        for document in _variants(6 if quick else 20):
            file.write_text(document, encoding="utf-8")
            bare = seconds(lambda: process("-c", "pass")).wall
            times.append(1e3 * (_shown(file, folder) - bare))
    return spread(times[1:])


def _shown(file: Path, folder: Path) -> float:
    environment = surroundings(str(folder))
    command = [sys.executable, "-c", COMMAND, "assay", str(file)]
    started = perf_counter()
    with subprocess.Popen(command, stdout=subprocess.PIPE, env=environment) as running:
        assert running.stdout is not None
        while line := running.stdout.readline():
            if b"SOLUTION" in line:
                spent = perf_counter() - started
                running.stdout.read()
                return spent
    raise AssertionError("no verdict is shown")


ROWS = (
    Row(12, "whole assay of a hard classic 9×9, as a process", "at most", 1, "s", classic),
    Row(12, "whole assay of a 9×9 with some 30 cages, as a process", "at most", 5, "s", variant),
    Row(
        12, "verdict of an assay on the screen, some 30 cages", "at most", 200, "ms", verdict_shown
    ),
)
