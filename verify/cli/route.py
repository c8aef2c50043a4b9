"""``gridassay route``: the solving route of a puzzle, step by step."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Annotated

import typer

from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.cli.common import (
    ASKED,
    BUDGET,
    SHOWN,
    WRITTEN,
    AsJson,
    Budget,
    File,
    answering,
    check_ending,
    read_one,
    read_words,
    writing,
)
from gridassay.verify.cli.ending import NOT_UNIQUE, UNDECIDED, UNIQUE
from gridassay.verify.cli.telling import print_json
from gridassay.verify.saving import save as write_whole
from gridassay.verify.solving.board.position_file import position_from
from gridassay.verify.solving.board.steps import Step, write_steps
from gridassay.verify.solving.results import Route
from gridassay.verify.solving.route_questions import (
    needed_techniques,
    open_steps,
    route_to,
    smallest_reason_of,
)
from gridassay.verify.solving.routes import route as ask


def route(
    file: File,
    without: Annotated[
        list[str] | None,
        typer.Option(
            metavar="TECHNIQUE",
            help="Solve without this technique, to see where the route gets stuck; repeatable.",
            rich_help_panel=ASKED,
        ),
    ] = None,
    needed: Annotated[
        bool,
        typer.Option(
            "--needed", help="List the techniques that the route needs.", rich_help_panel=ASKED
        ),
    ] = False,
    to: Annotated[
        str | None,
        typer.Option(
            metavar="TECHNIQUE",
            help="Show only the steps that lead to this technique.",
            rich_help_panel=ASKED,
        ),
    ] = None,
    next_only: Annotated[
        bool, typer.Option("--next", help="Show only the next step.", rich_help_panel=ASKED)
    ] = False,
    all_next: Annotated[
        bool,
        typer.Option(
            "--all-next",
            help="Show every step that is available at the position.",
            rich_help_panel=ASKED,
        ),
    ] = False,
    start: Annotated[
        str | None,
        typer.Option(
            "--from",
            metavar="FILE",
            help="Start after the steps, or from the candidates, in this file.",
            rich_help_panel=ASKED,
        ),
    ] = None,
    save: Annotated[
        Path | None,
        typer.Option(
            metavar="STEPS", help="Write the steps to this file.", rich_help_panel=WRITTEN
        ),
    ] = None,
    sheet: Annotated[
        Path | None,
        typer.Option(
            metavar="OUT.html|.pdf",
            help="Write a walkthrough with pictures, ready to print.",
            rich_help_panel=WRITTEN,
        ),
    ] = None,
    captions: Annotated[
        Path | None,
        typer.Option(
            metavar="OUT.vtt",
            help="Write the walkthrough as captions, one cue per stage.",
            rich_help_panel=WRITTEN,
        ),
    ] = None,
    order: Annotated[
        str | None,
        typer.Option(
            metavar="FILE",
            help="A file of techniques to try first, one per line.",
            rich_help_panel=ASKED,
        ),
    ] = None,
    promise_unique: Annotated[
        bool,
        typer.Option(
            "--promise-unique",
            help="Allow steps that assume there is only one solution.",
            rich_help_panel=ASKED,
        ),
    ] = False,
    every_step: Annotated[
        bool,
        typer.Option(
            "--every-step",
            help="Also show steps that no later step depends on.",
            rich_help_panel=SHOWN,
        ),
    ] = False,
    reason: Annotated[
        str | None,
        typer.Option(
            metavar="CLAIM",
            help='Show only the smallest reason for a claim such as "r5c5 not 2".',
            rich_help_panel=ASKED,
        ),
    ] = None,
    as_json: AsJson = False,
    budget: Budget = BUDGET,
) -> None:
    """Solve a puzzle step by step; each step is proved before it is shown.

    Exit code: 0 if the route reaches the solution (or shows what was asked
    for), 1 if it does not, 2 for bad input, 3 if the budget ran out.
    """
    partial = bool(next_only or to)
    with answering(file, as_json=as_json, budget=budget) as clock:
        if sheet:
            from gridassay.verify.draw.paper import FORMATS

            check_ending(sheet, FORMATS, "a sheet")
        if captions:
            check_ending(captions, (".vtt",), "a file of captions")
        puzzle = read_one(file, clock)
        position = position_from(read_words(start), puzzle, start) if start else None
        if all_next:
            steps = open_steps(
                puzzle,
                start=position,
                without=without or (),
                promise_unique=promise_unique,
                budget=clock,
            )
            _tell_open(puzzle, steps, as_json)
            return
        if reason:
            step = smallest_reason_of(puzzle, reason, start=position, budget=clock)
            _tell_open(puzzle, [step], as_json)
            return
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
                every_step=every_step,
                budget=clock,
            )
        stuck = (
            needed_techniques(found, promise_unique=promise_unique, budget=clock)
            if needed
            else None
        )
        if save:
            with writing(save):
                write_whole(save, write_steps(found.steps, puzzle))
        if captions:
            from gridassay.verify.draw.cues import captions_of
            from gridassay.verify.draw.stills import stills

            with writing(captions):
                write_whole(captions, captions_of(stills(found)))
        if sheet:
            from gridassay.verify.draw.route_sheet import write_sheet
            from gridassay.verify.solving.words import ending

            with writing(sheet):
                write_sheet(found, sheet, end=ending(found, partial=partial))
    if as_json:
        result = found.to_json()
        if stuck is not None:
            result["needed"] = {name: other.placements for name, other in stuck.items()}
        print_json(result)
    else:
        from gridassay.verify.cli.show_steps import show_needed, show_route

        show_route(found, brief=partial)
        if stuck is not None:
            show_needed(stuck)
    raise typer.Exit(_code(found, partial=partial))


def _tell_open(puzzle: Puzzle, steps: Sequence[Step], as_json: bool) -> None:
    if as_json:
        print_json(
            {
                "title": puzzle.title,
                "source": puzzle.source,
                "steps": [step.to_json() for step in steps],
                "only": len(steps) == 1,
            }
        )
    else:
        from gridassay.verify.cli.show_steps import show_open

        show_open(steps, puzzle)


def _code(found: Route, *, partial: bool) -> int:
    if found.solved or (partial and found.steps):
        return UNIQUE
    return UNDECIDED if found.timed_out else NOT_UNIQUE


def _names(path: str) -> list[str]:
    lines = (line.partition("#")[0].strip() for line in read_words(path).splitlines())
    return [line for line in lines if line]
