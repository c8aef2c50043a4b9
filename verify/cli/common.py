"""What the commands share: options, reading, exit codes, and where output goes."""

from __future__ import annotations

import json
import shutil
import sys
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from math import inf
from pathlib import Path
from typing import Annotated, Any, NoReturn

import typer

from gridassay.encodings.files import read_puzzles
from gridassay.encodings.lines import PuzzleError
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.budget import DEFAULT_SECONDS, Clock, OutOfTime
from gridassay.verify.cli.ending import BAD_INPUT, FAULT, NOT_UNIQUE, UNDECIDED, UNIQUE
from gridassay.verify.faults import fault_words
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


class ExitCode:
    """The exit code of a run over several puzzles: 4 wins over 2, 2 over 1, and 1 over 3."""

    _ORDER = (UNIQUE, UNDECIDED, NOT_UNIQUE, BAD_INPUT, FAULT)

    def __init__(self) -> None:
        self.code = UNIQUE

    def add(self, code: int) -> None:
        """Take the code of one more puzzle into account."""
        self.code = max(self.code, code, key=self._ORDER.index)


def code_of(status: str, met: bool) -> int:
    """The exit code of a verdict: ``met`` where it is what the puzzle is held to."""
    if met:
        return UNIQUE
    return UNDECIDED if status == "undecided" else NOT_UNIQUE


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
        several = f"{', '.join(endings[:-1])} or {endings[-1]}"
        raise PuzzleError(f"{what} is a file that ends in {several}", str(out))


def read_all(files: Iterable[str]) -> Iterator[Puzzle | PuzzleError]:
    """Every puzzle of every file in order, a bad one as its error."""
    for file in files:
        yield from read_puzzles(file)


def timed(files: Sequence[str], budget: float) -> Iterator[tuple[Puzzle | PuzzleError, Clock]]:
    """Every puzzle of every file, each with a clock that was started before it was read.

    Standard input may be slow to come: there each clock starts once the puzzle is there.
    """
    found, waiting = read_all(files), "-" in files
    while True:
        clock = Clock(budget)
        one = next(found, None)
        if one is None:
            return
        yield one, Clock(budget) if waiting else clock


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


def fail(error: PuzzleError) -> None:
    """Say on standard error, in one line, what is wrong with the input."""
    print(shown(f"gridassay: {error}"), file=sys.stderr)


def stop(message: str) -> NoReturn:
    """End the command with one line on standard error: what it was told to do makes no sense."""
    fail(PuzzleError(message))
    raise typer.Exit(BAD_INPUT)


def tell(error: PuzzleError, *, as_json: bool) -> None:
    """Say what is wrong with the input: in a line, or as an object in the place of the result."""
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
    """A fault of gridassay's own at one of many puzzles, to be told in the place of its result."""
    return PuzzleError(fault_words(error, source), source)


def print_json(result: dict[str, Any]) -> None:
    """One JSON object on a line of standard output."""
    sys.stdout.write(json.dumps(result, ensure_ascii=False) + "\n")
    sys.stdout.flush()


def titled(puzzle: Puzzle) -> str:
    """The title of a puzzle with whom it is by; nothing where it has none."""
    return ", ".join(filter(None, (puzzle.title, puzzle.credit))) if puzzle.title else ""


def terminal_width() -> int:
    """The columns to lay output out for."""
    return shutil.get_terminal_size((100, 24)).columns
