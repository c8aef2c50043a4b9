"""What the commands share: options, reading, exit codes, and where output goes."""

from __future__ import annotations

import json
import shutil
import sys
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Annotated, Any

import typer

from gridassay.encodings.files import read_file
from gridassay.encodings.lines import PuzzleError
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.budget import DEFAULT_SECONDS

Files = Annotated[
    list[str],
    typer.Argument(
        metavar="FILE", help="Puzzle files or files of puzzle lines; - is standard input."
    ),
]
File = Annotated[
    str, typer.Argument(metavar="FILE", help="A puzzle file or a file of one puzzle line.")
]
AsJson = Annotated[bool, typer.Option("--json", help="One JSON object a puzzle, a line each.")]
Budget = Annotated[
    float,
    typer.Option("--budget", min=0.0, metavar="SECONDS", help="Time for each puzzle, at most."),
]
BUDGET = DEFAULT_SECONDS

UNIQUE, NOT_UNIQUE, BAD_INPUT, UNDECIDED = 0, 1, 2, 3


class ExitCode:
    """The exit code of a run over several puzzles: 2 wins over 1, and 1 over 3."""

    _ORDER = (UNIQUE, UNDECIDED, NOT_UNIQUE, BAD_INPUT)

    def __init__(self) -> None:
        self.code = UNIQUE

    def add(self, code: int) -> None:
        """Take the code of one more puzzle into account."""
        self.code = max(self.code, code, key=self._ORDER.index)


def code_of(result: dict[str, Any]) -> int:
    """The exit code of one result of a batch."""
    if "error" in result:
        return BAD_INPUT
    if result["met"]:
        return UNIQUE
    return UNDECIDED if result["verdict"] == "undecided" else NOT_UNIQUE


def read_all(files: Iterable[str]) -> Iterator[Puzzle | PuzzleError]:
    """Every puzzle of every file in order, a bad one as its error."""
    for file in files:
        yield from read_file(file)


def read_one(file: str) -> Puzzle:
    """The only puzzle of a file. Ends the command with exit code 2 where there is another number."""
    found = list(read_file(file))
    if len(found) == 1 and isinstance(found[0], Puzzle):
        return found[0]
    wrong = next((one for one in found if isinstance(one, PuzzleError)), None)
    fail(wrong or PuzzleError(f"this takes one puzzle, and here are {len(found)}", file))
    raise typer.Exit(BAD_INPUT)


def read_words(path: str) -> str:
    """The text of a file of steps, candidates or names. Raises PuzzleError where it has none."""
    try:
        return Path(path).read_text(encoding="utf-8-sig")
    except UnicodeDecodeError:
        raise PuzzleError("this is no text in UTF-8", path) from None
    except OSError as error:
        raise PuzzleError(f"cannot be read: {(error.strerror or '').lower()}", path) from None


def fail(error: PuzzleError) -> None:
    """Say on standard error, in one line, what is wrong with the input."""
    print(f"gridassay: {error}", file=sys.stderr)


def error_json(error: PuzzleError) -> dict[str, Any]:
    """A bad puzzle in the place of its result."""
    return {"source": error.source, "error": error.message}


def print_json(result: dict[str, Any]) -> None:
    """One JSON object on a line of standard output."""
    sys.stdout.write(json.dumps(result, ensure_ascii=False) + "\n")
    sys.stdout.flush()


def terminal_width() -> int:
    """The columns to lay output out for."""
    return shutil.get_terminal_size((100, 24)).columns
