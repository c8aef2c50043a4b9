"""``gridassay check``: the verdict on one puzzle or many."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from textwrap import wrap
from typing import Annotated

import typer

from gridassay.encodings.lines import PuzzleError
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.budget import Clock
from gridassay.verify.cli.check_json import (
    EngineChoice,
    Wishes,
    explain_verdict,
    tell_verdicts,
    warnings_of,
)
from gridassay.verify.cli.common import (
    ASKED,
    BUDGET,
    LIMITS,
    SHOWN,
    AsJson,
    Budget,
    Files,
    NoWarnings,
    answering,
    say,
)
from gridassay.verify.cli.ending import BAD_INPUT, FAULT
from gridassay.verify.cli.telling import ExitCode, code_of, fail, fault_of, with_clocks
from gridassay.verify.counting.solution_count import DEFAULT_LIMIT
from gridassay.verify.counting.verdict import check as ask


def check(
    files: Files,
    engine: Annotated[
        EngineChoice,
        typer.Option(
            help="Which engine answers. sat gives the same answer each time; any starts with sat and "
            "adds cp after a second; both runs both and compares their results.",
            rich_help_panel=ASKED,
        ),
    ] = "any",
    blind: Annotated[
        bool,
        typer.Option(
            "--blind",
            help="Show the verdict alone: no digit, cell or picture.",
            rich_help_panel=SHOWN,
        ),
    ] = False,
    no_warnings: NoWarnings = False,
    solution: Annotated[
        str | None,
        typer.Option(
            metavar="LINE",
            help="The solution that a repair should keep, as a line.",
            rich_help_panel=ASKED,
        ),
    ] = None,
    any_solution: Annotated[
        bool,
        typer.Option(
            "--any-solution",
            help="Try several solutions for the smallest repair.",
            rich_help_panel=ASKED,
        ),
    ] = False,
    limit: Annotated[
        int,
        typer.Option(min=1, help="Stop counting solutions at this number.", rich_help_panel=LIMITS),
    ] = DEFAULT_LIMIT,
    as_json: AsJson = False,
    budget: Budget = BUDGET,
) -> None:
    """Check whether a puzzle has one solution, and find what would repair it.

    For a puzzle without a solution it shows the smallest conflict; for one
    with several, the two nearest, the number of solutions and a smallest
    repair. For both it lists the slips that would explain the result. For many
    puzzles at once, use --json.

    Exit code: 0 if every puzzle has one solution (or meets what its file
    expects), 1 if some puzzle does not, 2 for bad input, 3 if the budget ran
    out, 4 for a fault in gridassay.
    """
    code = ExitCode()
    wishes = Wishes(solution, any_solution, limit)
    warn = not (no_warnings or blind)
    if as_json:
        raise typer.Exit(tell_verdicts(files, budget, engine, wishes, blind=blind, warn=warn))
    found = with_clocks(files, budget)
    one, other = next(found, None), next(found, None)
    first = one[0] if one else None
    if one and isinstance(first, Puzzle) and other is None:
        from gridassay.verify.cli.show import show_grids, show_heading, working

        clock = one[1]
        with answering(first.source):
            verdict = ask(first, engine=engine, budget=clock)
        show_heading(verdict)
        if not blind and verdict.status in ("none", "multiple"):
            from gridassay.verify.cli.show_explanation import show_explanation

            with (
                answering(first.source),
                working("looking for what would repair it"),
            ):
                explained = explain_verdict(verdict, wishes, clock)
            show_explanation(explained)
        elif not blind:
            show_grids(verdict)
        if warn:
            _warn(first, clock)
        raise typer.Exit(code_of(verdict.status, verdict.met))
    puzzles = (pair for part in ((one, other), found) for pair in part if pair)
    _check_many(puzzles, code, engine, blind=blind, warn=warn)
    raise typer.Exit(code.code)


def _warn(puzzle: Puzzle, clock: Clock) -> None:
    """Print each likely slip on a line, below everything else."""
    from gridassay.verify.cli.common import terminal_width

    found = warnings_of(puzzle, clock)
    if found:
        say("")
    for warning in found:
        say(*wrap(f"warning: {warning}", terminal_width(), subsequent_indent="  "))


def _check_many(
    puzzles: Iterator[tuple[Puzzle | PuzzleError, Clock]],
    code: ExitCode,
    engine: EngineChoice,
    *,
    blind: bool,
    warn: bool,
) -> None:
    """Print one line per puzzle, and a summary; below them a bar once it takes longer than a second."""
    from gridassay.verify.cli.show import Progress, one_line, summary

    counts: Counter[str] = Counter()
    with Progress("checking") as progress:
        for puzzle, clock in puzzles:
            try:
                if isinstance(puzzle, PuzzleError):
                    raise puzzle
                verdict = ask(puzzle, engine=engine, budget=clock)
            except PuzzleError as error:
                code.add(BAD_INPUT)
                counts["bad input"] += 1
                with progress.pause():
                    fail(error)
                continue
            except Exception as error:
                code.add(FAULT)
                counts["fault"] += 1
                with progress.pause():
                    fail(fault_of(error, puzzle.source))
                continue
            code.add(code_of(verdict.status, verdict.met))
            counts[verdict.status] += 1
            progress.say(one_line(verdict, blind=blind))
            for warning in warnings_of(puzzle, clock) if warn else ():
                progress.say(f"  warning: {warning}")
    if counts.total() > 1:
        say(summary(counts))
