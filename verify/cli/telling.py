"""Input and output of a command, in lines and in JSON, and the exit code that follows.

Nothing here needs the libraries of the command line or the screen.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from gridassay.encodings.files import read_puzzles
from gridassay.encodings.lines import PuzzleError
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.budget import Clock
from gridassay.verify.cli.ending import BAD_INPUT, FAULT, NOT_UNIQUE, UNDECIDED, UNIQUE
from gridassay.verify.cli.streams import can_take
from gridassay.verify.faults import fault_words
from gridassay.verify.safe_text import printable


class ExitCode:
    """The exit code of a run over several puzzles: 4 goes before 2, 2 before 1, and 1 before 3."""

    _ORDER = (UNIQUE, UNDECIDED, NOT_UNIQUE, BAD_INPUT, FAULT)

    def __init__(self) -> None:
        self.code = UNIQUE

    def add(self, code: int) -> None:
        """Take the code of one more puzzle into account."""
        self.code = max(self.code, code, key=self._ORDER.index)


def code_of(status: str, met: bool) -> int:
    """The exit code of a verdict; ``met`` says whether the puzzle is as it should be."""
    if met:
        return UNIQUE
    return UNDECIDED if status == "undecided" else NOT_UNIQUE


def read_all(files: Iterable[str]) -> Iterator[Puzzle | PuzzleError]:
    """Every puzzle of every file in order, a bad one as its error."""
    for file in files:
        yield from read_puzzles(file)


def with_clocks(
    files: Sequence[str], budget: float
) -> Iterator[tuple[Puzzle | PuzzleError, Clock]]:
    """Every puzzle of every file, each with a clock started before it was read.

    Standard input may be slow: there each clock starts once the puzzle has been read.
    """
    found, waiting = read_all(files), "-" in files
    while True:
        clock = Clock(budget)
        one = next(found, None)
        if one is None:
            return
        yield one, Clock(budget) if waiting else clock


def fail(error: PuzzleError) -> None:
    """Say on standard error, in one line, what is wrong with the input."""
    print(printable(f"gridassay: {error}"), file=sys.stderr)


def tell(error: PuzzleError, *, as_json: bool) -> None:
    """Say what is wrong with the input: in a line, or as an object in place of the result."""
    if as_json:
        print_json({"source": error.source, "error": error.message})
    else:
        fail(error)


def tell_undecided(file: str, *, as_json: bool) -> None:
    """Say that the budget ran out before there was any answer."""
    if as_json:
        print_json({"source": file, "verdict": "undecided"})
    else:
        fail(PuzzleError("undecided when the budget ran out", file))


def fault_of(error: Exception, source: str) -> PuzzleError:
    """A fault of gridassay itself on one of many puzzles, reported in place of its result."""
    return PuzzleError(fault_words(error, source), source)


_ENCODE = json.JSONEncoder(ensure_ascii=False).encode


def print_json(result: dict[str, Any]) -> None:
    """One JSON object on a line of standard output."""
    line = _ENCODE(result)
    sys.stdout.write((line if can_take(line) else json.dumps(result)) + "\n")
    sys.stdout.flush()
