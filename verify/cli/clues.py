"""``gridassay clues``: what each clue of a puzzle does, and which clues can be removed."""

from __future__ import annotations

import sys
from typing import Annotated, Literal

import typer

from gridassay.encodings.grid import Cell, GridError, parse_cells
from gridassay.encodings.lines import PuzzleError
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.budget import OutOfTime
from gridassay.verify.cli.common import (
    ASKED,
    BUDGET,
    LIMITS,
    WRITTEN,
    AsJson,
    Budget,
    Files,
    is_file,
    read_words,
    say,
)
from gridassay.verify.cli.ending import BAD_INPUT, FAULT, NOT_UNIQUE, UNDECIDED, UNIQUE
from gridassay.verify.cli.telling import (
    ExitCode,
    code_of,
    fault_of,
    print_json,
    tell,
    tell_undecided,
)
from gridassay.verify.clue_worth.effects import DEFAULT_LIMIT
from gridassay.verify.clue_worth.effects import clues as ask
from gridassay.verify.clue_worth.filling import fill_in
from gridassay.verify.clue_worth.keepers import Search
from gridassay.verify.clue_worth.sweeping import OpenPuzzle, Sweep, read_layouts
from gridassay.verify.clue_worth.sweeping import sweep as ask_sweep


def clues(
    files: Files,
    limit: Annotated[
        int,
        typer.Option(
            min=2, help="Count at most this many solutions without a clue.", rich_help_panel=LIMITS
        ),
    ] = DEFAULT_LIMIT,
    keepers: Annotated[
        bool,
        typer.Option(
            "--keepers",
            help="Find a smallest set of clues that still gives one solution.",
            rich_help_panel=ASKED,
        ),
    ] = False,
    over: Annotated[
        Literal["givens", "rules", "both"],
        typer.Option(help="What may be removed; all other clues stay.", rich_help_panel=ASKED),
    ] = "givens",
    keep: Annotated[
        str,
        typer.Option(
            metavar="CLUES",
            help="Clues that must stay, such as r1c1,r5c5 or rule ids.",
            rich_help_panel=ASKED,
        ),
    ] = "",
    symmetric: Annotated[
        str,
        typer.Option(
            metavar="PATTERN",
            help="Remove givens only in groups that keep this symmetry: 'half turn' …",
            rich_help_panel=ASKED,
        ),
    ] = "",
    most: Annotated[
        int,
        typer.Option(
            "--list", min=1, metavar="N", help="List up to N smallest sets.", rich_help_panel=ASKED
        ),
    ] = 1,
    fill: Annotated[
        str,
        typer.Option(
            metavar="SOLUTION",
            help="Write the file with each '?' filled in from this solution.",
            rich_help_panel=WRITTEN,
        ),
    ] = "",
    as_json: AsJson = False,
    budget: Budget = BUDGET,
) -> None:
    """Show what each clue of a puzzle is worth, and which clues are enough.

    For each given and rule: whether it is wasted, how many solutions there
    are without it, how many cells open up, and the nearest other solution.
    --keepers, --keep, --symmetric, --list and --over ask for keeper sets.
    If a given or a number in a rule is '?', every value is tried for it
    instead.

    Exit code: 0 if every puzzle has one solution or meets what its file
    expects (or every '?' has a value that gives one), 1 if some puzzle does
    not, 2 for bad input, 3 if the budget ran out first.
    """
    wanted = keepers or bool(keep or symmetric) or most > 1 or over != "givens"
    search = Search(over, _clues_to_keep(keep), symmetric or None, most) if wanted else None
    code = ExitCode()
    for found in (layout for file in files for layout in read_layouts(file)):
        try:
            if isinstance(found, PuzzleError):
                raise found
            if fill:
                filled = fill_in(found, _line(fill), budget=budget)
                if sys.stdout.isatty():
                    say(*filled.splitlines())
                else:
                    sys.stdout.write(filled)
            elif isinstance(found, OpenPuzzle):
                code.add(_sweep(found, budget, as_json))
            else:
                code.add(_analyse(found, budget, limit, search, as_json))
        except PuzzleError as error:
            code.add(BAD_INPUT)
            tell(error, as_json=as_json)
        except OutOfTime:
            code.add(UNDECIDED)
            tell_undecided(_puzzle_of(found).source, as_json=as_json)
        except Exception as error:
            code.add(FAULT)
            tell(fault_of(error, _puzzle_of(found).source), as_json=as_json)
    raise typer.Exit(code.code)


def _puzzle_of(found: OpenPuzzle | Puzzle | PuzzleError) -> Puzzle | PuzzleError:
    return found.puzzle if isinstance(found, OpenPuzzle) else found


def _clues_to_keep(text: str) -> tuple[Cell | str, ...]:
    kept: list[Cell | str] = []
    for word in filter(None, (part.strip() for part in text.split(","))):
        try:
            kept += parse_cells(word)
        except GridError:
            kept.append(word)
    return tuple(kept)


def _line(text: str) -> str:
    """A line of digits, or the first line of the file of that name."""
    return read_words(text).split("\n")[0].strip() if is_file(text) else text


def _analyse(
    puzzle: Puzzle, budget: float, limit: int, search: Search | None, as_json: bool
) -> int:
    if as_json:
        result = ask(puzzle, budget=budget, limit=limit, keepers=search)
        print_json(result.to_json())
    else:
        from gridassay.verify.cli.show import Progress
        from gridassay.verify.cli.show_clues import show_clues

        with Progress("weighing clues") as progress:
            result = ask(puzzle, budget=budget, limit=limit, keepers=search, step=progress.step)
        show_clues(result)
    return code_of(result.verdict.status, result.verdict.met)


def _sweep(layout: OpenPuzzle, budget: float, as_json: bool) -> int:
    if as_json:
        result = ask_sweep(layout, budget=budget)
        print_json(result.to_json())
    else:
        from gridassay.verify.cli.show import Progress
        from gridassay.verify.cli.show_clues import show_sweep

        with Progress("trying values") as progress:
            result = ask_sweep(layout, budget=budget, step=progress.step)
        show_sweep(result)
    return _code(result)


def _code(result: Sweep) -> int:
    if all(hole.unique for hole in result.holes):
        return UNIQUE
    return NOT_UNIQUE if result.complete else UNDECIDED
