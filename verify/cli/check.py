"""``gridassay check``: the verdict on one puzzle or many."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import Annotated, Any, Literal

import typer

from gridassay.encodings.lines import PuzzleError
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.cli.common import (
    BAD_INPUT,
    BUDGET,
    NOT_UNIQUE,
    UNDECIDED,
    UNIQUE,
    AsJson,
    Budget,
    ExitCode,
    Files,
    error_json,
    fail,
    print_json,
    read_all,
)
from gridassay.verify.verdict import Verdict
from gridassay.verify.verdict import check as ask


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
) -> None:
    """Tell whether a puzzle has none, one or several solutions.

    Exit code 0 when every puzzle has one solution (or is what its file expects), 1 when some puzzle
    is not, 2 for bad input, 3 when the budget ran out.
    """
    code = ExitCode()
    if as_json:
        for puzzle in read_all(files):
            if isinstance(puzzle, PuzzleError):
                code.add(BAD_INPUT)
                print_json(error_json(puzzle))
                continue
            verdict = ask(puzzle, engine=engine, budget=budget)
            code.add(_code(verdict))
            print_json(_blinded(verdict.to_json()) if blind else verdict.to_json())
        raise typer.Exit(code.code)
    found = read_all(files)
    first, second = next(found, None), next(found, None)
    if isinstance(first, Puzzle) and second is None:
        from gridassay.verify.cli.show import show_verdict

        verdict = ask(first, engine=engine, budget=budget)
        show_verdict(verdict, blind=blind)
        raise typer.Exit(_code(verdict))
    puzzles = (puzzle for part in ((first, second), found) for puzzle in part if puzzle)
    _check_many(puzzles, code, engine, budget, blind)
    raise typer.Exit(code.code)


def _check_many(
    puzzles: Iterator[Puzzle | PuzzleError],
    code: ExitCode,
    engine: Literal["sat", "cp", "both"],
    budget: float,
    blind: bool,
) -> None:
    """A line each, and a summary; a bar below them once it takes longer than a second."""
    from gridassay.verify.cli.show import Progress, one_line, summary

    counts: Counter[str] = Counter()
    with Progress("checking") as progress:
        for puzzle in puzzles:
            if isinstance(puzzle, PuzzleError):
                code.add(BAD_INPUT)
                counts["bad input"] += 1
                with progress.paused():
                    fail(puzzle)
                continue
            verdict = ask(puzzle, engine=engine, budget=budget)
            code.add(_code(verdict))
            counts[verdict.status] += 1
            progress.say(one_line(verdict, blind=blind))
    if counts.total() > 1:
        print(summary(counts))


def _code(verdict: Verdict) -> int:
    if verdict.met:
        return UNIQUE
    return UNDECIDED if verdict.status == "undecided" else NOT_UNIQUE


def _blinded(result: dict[str, Any]) -> dict[str, Any]:
    shown = ("title", "source", "verdict", "engine", "seconds")
    return {key: result[key] for key in shown}
