"""``gridassay compare``: what changed between two versions of a puzzle."""

from __future__ import annotations

from typing import Annotated

import typer

from gridassay.verify.auditing.versions import Comparison
from gridassay.verify.auditing.versions import compare as hold_together
from gridassay.verify.cli.common import BUDGET, AsJson, Budget, answering, read_one, read_words, say
from gridassay.verify.cli.telling import code_of, print_json


def compare(
    old: Annotated[str, typer.Argument(metavar="OLD", help="The earlier version.")],
    new: Annotated[str, typer.Argument(metavar="NEW", help="The later version.")],
    steps: Annotated[
        str | None, typer.Argument(metavar="STEPS", help="A walkthrough of the earlier version.")
    ] = None,
    as_json: AsJson = False,
    budget: Budget = BUDGET,
) -> None:
    """Compare two versions of a puzzle, and check which steps still hold.

    Exit code: 0 if the new version has one solution (or meets what its file
    expects), 1 if it does not, 2 for bad input, 3 if the budget ran out.
    """
    with answering(new, as_json=as_json, budget=budget) as clock:
        walkthrough = None if steps is None else read_words(steps)
        versions = read_one(old, clock), read_one(new, clock)
        found = hold_together(*versions, walkthrough, budget=clock)
    if as_json:
        print_json(found.to_json())
    else:
        for line in in_words(found):
            say(line)
    raise typer.Exit(code_of(found.new.status, found.new.met))


def in_words(found: Comparison) -> list[str]:
    """The changes one by one, then the verdicts and the solution."""
    lines = [str(change) for change in found.changes] or ["the clues are the same"]
    old, new = found.old.status, found.new.status
    lines.append(f"verdict: {new}, as before" if old == new else f"verdict: {new}, was {old}")
    if found.moved is not None:
        cells = " ".join(map(str, found.moved))
        lines.append(f"the solution differs in {cells}" if cells else "the solution is the same")
    if found.lost is not None:
        lines += [
            f"step {step.number}, line {step.line}, is now {step.result}: {step.text}"
            for step in found.lost
        ]
        if not found.lost:
            lines.append("every step that held still holds")
    elif found.unheld:
        lines.append(found.unheld)
    return lines
