"""``gridassay export``: the puzzle in an open format."""

from __future__ import annotations

import sys
from typing import Annotated

import typer

from gridassay.verify.cli.common import (
    ASKED,
    BUDGET,
    WRITTEN,
    AsJson,
    Budget,
    File,
    answering,
    read_one,
)
from gridassay.verify.cli.telling import print_json
from gridassay.verify.proof.exporting import Format
from gridassay.verify.proof.exporting import export as state


def export(
    file: File,
    format: Annotated[
        Format,
        typer.Option(
            help="SAT clauses (dimacs) or pseudo-Boolean sums (opb).", rich_help_panel=WRITTEN
        ),
    ] = "dimacs",
    blocked: Annotated[
        str | None,
        typer.Option(
            metavar="LINE",
            help="Forbid this solution: a line of digits, then unknowns, such as A=12 doubler=r1c4.",
            rich_help_panel=ASKED,
        ),
    ] = None,
    as_json: AsJson = False,
    budget: Budget = BUDGET,
) -> None:
    """Write a puzzle to standard output in an open format for other solvers.

    Its comments say what each variable means and where each clause comes
    from. Exit code: 2 for bad input, 3 if the budget ran out.
    """
    with answering(file, as_json=as_json, about="--blocked", budget=budget) as clock:
        puzzle = read_one(file, clock)
        solution = None
        if blocked is not None:
            from gridassay.verify.proof.solutions import read_solution

            solution = read_solution(puzzle, blocked)
        stated = state(puzzle, format, blocked=solution, budget=clock)
    if as_json:
        print_json(stated.to_json())
    else:
        sys.stdout.write(stated.text())
