"""``gridassay audit``: a written walkthrough held against a puzzle."""

from __future__ import annotations

from textwrap import wrap
from typing import Annotated

import typer

from gridassay.verify.auditing.auditing import Audit
from gridassay.verify.auditing.auditing import audit as ask
from gridassay.verify.auditing.summary import mark_of, tally, where_to_look
from gridassay.verify.cli.common import (
    BUDGET,
    AsJson,
    Budget,
    File,
    answering,
    read_one,
    read_words,
    say,
    terminal_width,
)
from gridassay.verify.cli.ending import NOT_UNIQUE, UNIQUE
from gridassay.verify.cli.telling import print_json
from gridassay.verify.showing import shown


def audit(
    file: File,
    steps: Annotated[str, typer.Argument(metavar="STEPS", help="The walkthrough, a step a line.")],
    as_json: AsJson = False,
    budget: Budget = BUDGET,
) -> None:
    """Hold a written walkthrough against a puzzle, step by step.

    Exit code 0 when every step is sound or idle, 1 when some step is not, 2 for bad input, 3 when
    the budget ran out.
    """
    with answering(file, as_json=as_json, budget=budget) as clock:
        found = ask(read_one(file, clock), read_words(steps), budget=clock)
    if as_json:
        print_json(found.to_json())
    else:
        _show(found)
    raise typer.Exit(UNIQUE if found.ok else NOT_UNIQUE)


def _show(found: Audit) -> None:
    if found.puzzle.title:
        say(found.puzzle.title)
    if found.steps:
        say("   step line")
    for step in found.steps:
        say(f"{mark_of(step)}  {step.number:>4} {step.line:>4}  {step.result:<10}  {step.text}")
        for line in wrap(step.detail, max(40, terminal_width() - 26)):
            say(f"{'':26}{line}")
    say()
    say(tally(found.steps))
    for where in where_to_look(found.steps):
        say(*wrap(shown(where), max(40, terminal_width()), subsequent_indent="    "))
    say(found.ending)
