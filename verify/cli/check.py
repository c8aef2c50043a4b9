"""``gridassay check``: the verdict on one puzzle or many."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from contextlib import suppress
from typing import TYPE_CHECKING, Annotated, Any, Literal, NamedTuple

import typer

from gridassay.encodings.lines import PuzzleError
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.budget import Clock, OutOfTime
from gridassay.verify.cli.common import (
    BUDGET,
    AsJson,
    Budget,
    ExitCode,
    Files,
    answering,
    code_of,
    fail,
    fault_of,
    print_json,
    say,
    tell,
    timed,
)
from gridassay.verify.cli.ending import BAD_INPUT, FAULT
from gridassay.verify.counting.count import DEFAULT_LIMIT
from gridassay.verify.counting.verdict import Verdict
from gridassay.verify.counting.verdict import check as ask

if TYPE_CHECKING:
    from gridassay.verify.mending.explanation import Explanation


def check(
    files: Files,
    as_json: AsJson = False,
    budget: Budget = BUDGET,
    engine: Annotated[
        Literal["sat", "cp", "both"],
        typer.Option(help="Which engine answers; both cross-check each other."),
    ] = "sat",
    blind: Annotated[
        bool, typer.Option("--blind", help="Show no digit, cell or picture: the verdict alone.")
    ] = False,
    solution: Annotated[
        str | None,
        typer.Option(metavar="LINE", help="The solution that a repair is to keep, as a line."),
    ] = None,
    any_solution: Annotated[
        bool,
        typer.Option("--any-solution", help="Try several solutions for the smallest repair."),
    ] = False,
    limit: Annotated[
        int, typer.Option(min=1, help="Count solutions up to this number.")
    ] = DEFAULT_LIMIT,
) -> None:
    """Tell whether a puzzle has none, one or several solutions, and what mends it.

    A puzzle without a solution gets its smallest conflict, one with several the nearest two, their
    number and a smallest repair, and both the slips that would explain them. With many puzzles at
    once that is left to --json.

    Exit code 0 when every puzzle has one solution (or is what its file expects), 1 when some puzzle
    is not, 2 for bad input, 3 when the budget ran out, 4 for a fault in gridassay.
    """
    code = ExitCode()
    wishes = Wishes(solution, any_solution, limit)
    if as_json:
        for puzzle, clock in timed(files, budget):
            try:
                if isinstance(puzzle, PuzzleError):
                    raise puzzle
                verdict = ask(puzzle, engine=engine, budget=clock)
                if blind:
                    result = _blinded(verdict.to_json())
                elif verdict.status in ("none", "multiple"):
                    result = _explain(verdict, wishes, clock).to_json()
                else:
                    result = verdict.to_json()
            except PuzzleError as error:
                code.add(BAD_INPUT)
                tell(error, as_json=True)
            except Exception as error:
                code.add(FAULT)
                tell(fault_of(error, puzzle.source), as_json=True)
            else:
                code.add(code_of(verdict.status, verdict.met))
                print_json(result)
        raise typer.Exit(code.code)
    found = timed(files, budget)
    one, other = next(found, None), next(found, None)
    first = one[0] if one else None
    if one and isinstance(first, Puzzle) and other is None:
        from gridassay.verify.cli.show import show_grids, show_heading, working

        clock = one[1]
        with answering(first.source):
            verdict = ask(first, engine=engine, budget=clock)
        show_heading(verdict)
        if not blind and verdict.status in ("none", "multiple"):
            from gridassay.verify.cli.mend import show_explanation

            with (
                answering(first.source),
                working("looking for what would mend it"),
            ):
                explained = _explain(verdict, wishes, clock)
            show_explanation(explained)
        elif not blind:
            show_grids(verdict)
        raise typer.Exit(code_of(verdict.status, verdict.met))
    puzzles = (pair for part in ((one, other), found) for pair in part if pair)
    _check_many(puzzles, code, engine, blind)
    raise typer.Exit(code.code)


class Wishes(NamedTuple):
    """What the command line asks of an explanation."""

    solution: str | None
    any_solution: bool
    limit: int


def _explain(verdict: Verdict, wishes: Wishes, clock: Clock) -> Explanation:
    """Raises PuzzleError where the solution named is none."""
    # Imported here: a puzzle with one solution needs none of it.
    from gridassay.verify.counting.answers import read_solution
    from gridassay.verify.mending.explanation import explain

    kept = None
    if wishes.solution is not None and verdict.status == "multiple":
        # Without time to look the solution up there is none to seek a repair towards it either.
        with suppress(OutOfTime):
            kept = read_solution(verdict.puzzle, wishes.solution, clock)
    return explain(
        verdict, clock, solution=kept, any_solution=wishes.any_solution, limit=wishes.limit
    )


def _check_many(
    puzzles: Iterator[tuple[Puzzle | PuzzleError, Clock]],
    code: ExitCode,
    engine: Literal["sat", "cp", "both"],
    blind: bool,
) -> None:
    """A line each, and a summary; a bar below them once it takes longer than a second."""
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
                with progress.paused():
                    fail(error)
                continue
            except Exception as error:
                code.add(FAULT)
                counts["fault"] += 1
                with progress.paused():
                    fail(fault_of(error, puzzle.source))
                continue
            code.add(code_of(verdict.status, verdict.met))
            counts[verdict.status] += 1
            progress.say(one_line(verdict, blind=blind))
    if counts.total() > 1:
        say(summary(counts))


def _blinded(result: dict[str, Any]) -> dict[str, Any]:
    shown = ("title", "source", "verdict", "engine", "seconds")
    return {key: result[key] for key in shown}
