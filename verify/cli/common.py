"""What the commands share: options, reading, exit codes, and where output goes."""

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
from gridassay.verify.showing import shown

Files = Annotated[
    list[str],
    typer.Argument(
        metavar="FILE", help="Puzzle files or files of puzzle lines; - is standard input."
    ),
]
File = Annotated[
    str,
    typer.Argument(
        metavar="FILE",
        help="A puzzle file or a file of one puzzle line; - is standard input.",
    ),
]
AsJson = Annotated[bool, typer.Option("--json", help="One JSON object a puzzle, a line each.")]
Budget = Annotated[
    float,
    typer.Option("--budget", min=0.0, metavar="SECONDS", help="Time for each puzzle, at most."),
]
BUDGET = DEFAULT_SECONDS
NoWarnings = Annotated[
    bool, typer.Option("--no-warnings", help="Do not warn of what is probably a slip.")
]


@contextmanager
def answering(
    file: str, *, as_json: bool = False, about: str = "", budget: float = inf
) -> Iterator[Clock]:
    """What a command does for the one puzzle of a file, with the clock for all of it.

    Bad input, and a budget that runs out before there is any answer, end the command: with a line on
    standard error, or with ``as_json`` an object in the place of the answer. An error that names no
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
    """What writes a file. Raises PuzzleError where it cannot be written."""
    try:
        yield
    except OSError as error:
        reason = (error.strerror or str(error)).lower()
        raise PuzzleError(f"cannot be written: {reason}", str(out)) from None


def check_ending(out: Path, endings: Sequence[str], what: str) -> None:
    """Refuse a file to write by its name, before any work is done for it. Raises PuzzleError."""
    if out.suffix.lower() not in endings:
        several = " or ".join(filter(None, (", ".join(endings[:-1]), endings[-1])))
        raise PuzzleError(f"{what} is a file that ends in {several}", str(out))


def read_one(file: str, clock: Clock) -> Puzzle:
    """The only puzzle of a file. Raises PuzzleError where there is another number, and OutOfTime."""
    with clock.running():
        found = list(read_puzzles(file))
    if len(found) == 1 and isinstance(found[0], Puzzle):
        return found[0]
    wrong = next((one for one in found if isinstance(one, PuzzleError)), None)
    raise wrong or PuzzleError(f"this takes one puzzle, and here are {len(found)}", file)


def read_words(path: str) -> str:
    """The text of a file of steps, candidates or names. Raises PuzzleError where it has none."""
    try:
        return Path(path).read_text(encoding="utf-8-sig")
    except UnicodeDecodeError:
        raise PuzzleError("this is no text in UTF-8", path) from None
    except OSError as error:
        raise PuzzleError(f"cannot be read: {(error.strerror or '').lower()}", path) from None


def is_file(text: str) -> bool:
    """Whether an argument that is a text or the name of a file names one."""
    try:
        return Path(text).is_file()
    except (OSError, ValueError):  # longer than any name, or with what no name has
        return False


def say(*lines: str) -> None:
    """Print lines, whatever a file has put into them; none at all is an empty line."""
    for line in lines or ("",):
        print(shown(line))


def stop(message: str) -> NoReturn:
    """End the command with one line on standard error: what it was told to do makes no sense."""
    fail(PuzzleError(message))
    raise typer.Exit(BAD_INPUT)


def titled(puzzle: Puzzle) -> str:
    """The title of a puzzle with whom it is by; nothing where it has none."""
    return ", ".join(filter(None, (puzzle.title, puzzle.credit))) if puzzle.title else ""


def terminal_width() -> int:
    """The columns to lay output out for."""
    return shutil.get_terminal_size((100, 24)).columns
