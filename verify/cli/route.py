"""``gridassay route``: the solving route of a puzzle, step by step."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Annotated, Any

import typer

from gridassay.encodings.lines import PuzzleError
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.budget import Clock, OutOfTime
from gridassay.verify.cli.common import (
    BAD_INPUT,
    BUDGET,
    NOT_UNIQUE,
    UNDECIDED,
    UNIQUE,
    AsJson,
    Budget,
    fail,
    print_json,
    read_one,
    read_words,
)
from gridassay.verify.detours import needed_techniques, open_steps, route_to
from gridassay.verify.position import Position
from gridassay.verify.routes import Route, position_from
from gridassay.verify.routes import route as ask
from gridassay.verify.steps import write_steps


def route(
    file: Annotated[str, typer.Argument(metavar="FILE", help="A puzzle; - is standard input.")],
    as_json: AsJson = False,
    budget: Budget = BUDGET,
    without: Annotated[
        list[str] | None,
        typer.Option(metavar="TECHNIQUE", help="Leave it out and see what is stuck; repeatable."),
    ] = None,
    needed: Annotated[
        bool, typer.Option("--needed", help="Tell which techniques it cannot do without.")
    ] = False,
    to: Annotated[
        str | None,
        typer.Option(metavar="TECHNIQUE", help="Only the steps that lead to this technique."),
    ] = None,
    next_only: Annotated[bool, typer.Option("--next", help="Only the next step.")] = False,
    all_next: Annotated[
        bool, typer.Option("--all-next", help="Every step that is open at the position.")
    ] = False,
    start: Annotated[
        str | None,
        typer.Option("--from", metavar="FILE", help="Begin after these steps or candidates."),
    ] = None,
    save: Annotated[
        str | None, typer.Option(metavar="STEPS", help="Write the steps to this file.")
    ] = None,
    sheet: Annotated[
        Path | None,
        typer.Option(metavar="OUT.html|.pdf", help="Write a walkthrough to print, with pictures."),
    ] = None,
    order: Annotated[
        str | None,
        typer.Option(metavar="FILE", help="Techniques to try first, one a line."),
    ] = None,
    promise_unique: Annotated[
        bool,
        typer.Option("--promise-unique", help="Allow steps that rest on there being one solution."),
    ] = False,
) -> None:
    """Solve a puzzle step by step, as it would be shown, each step proved before it is.

    Exit code 0 when the route reaches the solution (or shows what was asked for), 1 when it does
    not, 2 for bad input, 3 when the budget ran out.
    """
    puzzle = read_one(file)
    clock = Clock(budget)
    try:
        position = position_from(read_words(start), puzzle, start) if start else None
        if all_next:
            raise typer.Exit(_all_next(puzzle, position, without, promise_unique, as_json, clock))
        if to:
            found = route_to(
                puzzle, to, start=position, promise_unique=promise_unique, budget=clock
            )
        else:
            found = ask(
                puzzle,
                without=without or (),
                order=_names(order) if order else (),
                promise_unique=promise_unique,
                start=position,
                most=1 if next_only else None,
                budget=clock,
            )
        stuck = (
            needed_techniques(found, promise_unique=promise_unique, budget=clock)
            if needed
            else None
        )
    except PuzzleError as error:
        fail(error)
        raise typer.Exit(BAD_INPUT) from None
    except OutOfTime:
        fail(PuzzleError("the budget ran out", puzzle.source))
        raise typer.Exit(UNDECIDED) from None
    partial = bool(next_only or to)
    if save:
        _write(save, lambda: Path(save).write_text(write_steps(found.steps, puzzle), "utf-8"))
    if sheet:
        from gridassay.verify.route_sheet import write_sheet
        from gridassay.verify.route_words import ending

        end = ending(found, without or (), partial=partial)
        _write(str(sheet), lambda: write_sheet(found, sheet, end=end))
    if as_json:
        result = found.to_json()
        if stuck is not None:
            result["needed"] = {name: other.placements for name, other in stuck.items()}
        print_json(result)
    else:
        from gridassay.verify.cli.show_steps import show_needed, show_route

        show_route(found, without=without or (), brief=partial)
        if stuck is not None:
            show_needed(stuck)
    raise typer.Exit(_code(found, partial=partial))


def _all_next(
    puzzle: Puzzle,
    position: Position | None,
    without: list[str] | None,
    promise_unique: bool,
    as_json: bool,
    clock: Clock,
) -> int:
    steps = open_steps(
        puzzle,
        start=position,
        without=without or (),
        promise_unique=promise_unique,
        budget=clock,
    )
    if as_json:
        result: dict[str, Any] = {
            "title": puzzle.title,
            "source": puzzle.source,
            "steps": [step.to_json() for step in steps],
            "only": len(steps) == 1,
        }
        print_json(result)
    else:
        from gridassay.verify.cli.show_steps import show_open

        show_open(steps, puzzle)
    return UNIQUE


def _write(path: str, write: Callable[[], object]) -> None:
    """Write a file. Ends the command with exit code 2 where it cannot be written."""
    try:
        write()
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None)
        fail(
            PuzzleError(f"cannot be written: {reason.lower()}", path)
            if reason
            else PuzzleError(str(error))
        )
        raise typer.Exit(BAD_INPUT) from None


def _code(found: Route, *, partial: bool) -> int:
    if found.solved or (partial and found.steps):
        return UNIQUE
    return UNDECIDED if found.timed_out else NOT_UNIQUE


def _names(path: str) -> list[str]:
    lines = (line.partition("#")[0].strip() for line in read_words(path).splitlines())
    return [line for line in lines if line]
