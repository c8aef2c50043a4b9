"""``gridassay clues``: what each clue of a puzzle does, and which of them can go."""

from __future__ import annotations

import sys
from typing import Annotated, Literal

import typer

from gridassay.encodings.grid import Cell, GridError, parse_cells
from gridassay.encodings.lines import PuzzleError
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.budget import OutOfTime
from gridassay.verify.cli.common import BUDGET, AsJson, Budget, Files, is_file, read_words, say
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
    as_json: AsJson = False,
    budget: Budget = BUDGET,
    limit: Annotated[
        int, typer.Option(min=2, help="Count solutions without a clue up to this many.")
    ] = DEFAULT_LIMIT,
    keepers: Annotated[
        bool, typer.Option("--keepers", help="Find a smallest set of clues that is enough.")
    ] = False,
    over: Annotated[
        Literal["givens", "rules", "both"],
        typer.Option(help="What keeper sets are made of; the other clues all stay."),
    ] = "givens",
    keep: Annotated[
        str, typer.Option(metavar="CLUES", help="Clues that must stay: r1c1,r5c5 or rule ids.")
    ] = "",
    symmetric: Annotated[
        str,
        typer.Option(
            metavar="PATTERN", help="Drop givens only in orbits of this pattern: 'half turn' …"
        ),
    ] = "",
    most: Annotated[
        int, typer.Option("--list", min=1, metavar="N", help="List up to N smallest keeper sets.")
    ] = 1,
    fill: Annotated[
        str,
        typer.Option(
            metavar="SOLUTION", help="Write the file with every '?' taken from this line of digits."
        ),
    ] = "",
) -> None:
    """Tell which clues of a puzzle earn their place.

    For each given and rule: wasted or not, how many solutions there are without it, what opens up,
    and the nearest other solution. In a file with '?' for givens or numbers of rules, each '?' is
    tried with every value instead. --keep, --symmetric, --list and --over ask for keeper sets too.

    Exit code 0 when every puzzle has one solution or is what its file expects (or every '?' has a
    value that gives one), 1 when some has not, 2 for bad input, 3 when the budget ran out first.
    """
    wanted = keepers or bool(keep or symmetric) or most > 1 or over != "givens"
    search = Search(over, _kept(keep), symmetric or None, most) if wanted else None
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
                code.add(_swept(found, budget, as_json))
            else:
                code.add(_analysed(found, budget, limit, search, as_json))
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


def _kept(text: str) -> tuple[Cell | str, ...]:
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


def _analysed(
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


def _swept(layout: OpenPuzzle, budget: float, as_json: bool) -> int:
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
