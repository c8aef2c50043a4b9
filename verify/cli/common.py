"""Shared by the commands: options, reading, exit codes, and where output goes."""

from __future__ import annotations

import shutil
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from math import inf
from pathlib import Path
from typing import Annotated, NoReturn

import typer

from gridassay.encodings.files import read_puzzles
from gridassay.encodings.lines import PuzzleError
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.budget import DEFAULT_SECONDS, Clock, OutOfTime
from gridassay.verify.cli.ending import BAD_INPUT, UNDECIDED
from gridassay.verify.cli.telling import fail, tell, tell_undecided
from gridassay.verify.safe_text import printable

ASKED = "What to ask"
SHOWN = "What to show"
WRITTEN = "What to write"
RUN = "How to run it"
LOOKS = "How it looks"
BOOK = "Pages of a book"
LIMITS = "Limits"
"""The groups in which the help of a command lists its options."""

Files = Annotated[
    list[str],
    typer.Argument(
        metavar="FILE", help="Puzzle files, or files of puzzle lines; - reads standard input."
    ),
]
File = Annotated[
    str,
    typer.Argument(
        metavar="FILE",
        help="A puzzle file, or a file with one puzzle line; - reads standard input.",
    ),
]
AsJson = Annotated[
    bool,
    typer.Option(
        "--json",
        help="Print JSON: one object per puzzle, each on its own line.",
        rich_help_panel=SHOWN,
    ),
]
Budget = Annotated[
    float,
    typer.Option(
        "--budget",
        min=0.0,
        metavar="SECONDS",
        help="The maximum time for each puzzle.",
        rich_help_panel=LIMITS,
    ),
]
BUDGET = DEFAULT_SECONDS
NoWarnings = Annotated[
    bool,
    typer.Option("--no-warnings", help="Do not warn about likely slips.", rich_help_panel=SHOWN),
]


@contextmanager
def answering(
    file: str, *, as_json: bool = False, about: str = "", budget: float = inf
) -> Iterator[Clock]:
    """Run the work of a command on the one puzzle of a file, with one clock for all of it.

    Bad input, or a budget that runs out before there is any answer, ends the command with a
    line on standard error or, with ``as_json``, an object in place of the answer. An error that names no
    source is ``about`` something, such as an option.
    """
    try:
        yield Clock(budget)
    except PuzzleError as error:
        tell(PuzzleError(error.message, error.source or about), as_json=as_json)
        raise typer.Exit(BAD_INPUT) from None
    except OutOfTime:
        tell_undecided(file, as_json=as_json)
        raise typer.Exit(UNDECIDED) from None


@contextmanager
def writing(out: Path) -> Iterator[None]:
    """Write a file in this context. Raises PuzzleError if it cannot be written."""
    try:
        yield
    except OSError as error:
        reason = (error.strerror or str(error)).lower()
        raise PuzzleError(f"cannot be written: {reason}", str(out)) from None


def check_ending(out: Path, endings: Sequence[str], what: str) -> None:
    """Refuse an output file by its name, before any work is done for it. Raises PuzzleError."""
    if out.suffix.lower() not in endings:
        several = " or ".join(filter(None, (", ".join(endings[:-1]), endings[-1])))
        raise PuzzleError(f"{what} is a file that ends in {several}", str(out))


def read_one(file: str, clock: Clock) -> Puzzle:
    """The only puzzle of a file. Raises PuzzleError if there is not exactly one, and OutOfTime."""
    with clock.running():
        found = list(read_puzzles(file))
    if len(found) == 1 and isinstance(found[0], Puzzle):
        return found[0]
    wrong = next((one for one in found if isinstance(one, PuzzleError)), None)
    raise wrong or PuzzleError(f"this takes one puzzle, but there are {len(found)}", file)


def read_words(path: str) -> str:
    """The text of a file of steps, candidates or names. Raises PuzzleError if it has none."""
    try:
        return Path(path).read_text(encoding="utf-8-sig")
    except UnicodeDecodeError:
        raise PuzzleError("this is not UTF-8 text", path) from None
    except OSError as error:
        raise PuzzleError(f"cannot be read: {(error.strerror or '').lower()}", path) from None


def is_file(text: str) -> bool:
    """Whether an argument, which may be a text or the name of a file, names a file."""
    try:
        return Path(text).is_file()
    except (OSError, ValueError):  # longer than any name, or with characters that no name has
        return False


def say(*lines: str) -> None:
    """Print lines, made safe to show; without any, print an empty line."""
    for line in lines or ("",):
        print(printable(line))


def stop(message: str) -> NoReturn:
    """End the command with one line on standard error: its options make no sense."""
    fail(PuzzleError(message))
    raise typer.Exit(BAD_INPUT)


def title_words(puzzle: Puzzle) -> str:
    """The title of a puzzle and its author; empty if it has neither."""
    return ", ".join(filter(None, (puzzle.title, puzzle.credit))) if puzzle.title else ""


def terminal_width() -> int:
    """The width of the output, in columns."""
    return shutil.get_terminal_size((100, 24)).columns
