"""``gridassay recheck``: a certificate checked without a solver."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Annotated

import typer

from gridassay.encodings.files import read_bytes
from gridassay.verify.cli.common import (
    ASKED,
    BUDGET,
    AsJson,
    Budget,
    answering,
    read_one,
    say,
    stop,
    title_words,
)
from gridassay.verify.cli.ending import NOT_UNIQUE, UNDECIDED, UNIQUE
from gridassay.verify.cli.telling import print_json
from gridassay.verify.words import quantity

if TYPE_CHECKING:
    from gridassay.verify.proof.recheck import Recheck

_CODES = {"passed": UNIQUE, "failed": NOT_UNIQUE, "incomplete": UNDECIDED}


def recheck(
    certificate: Annotated[
        str, typer.Argument(metavar="OUT.zip", help="A certificate; - reads standard input.")
    ],
    file: Annotated[
        str, typer.Argument(metavar="[FILE]", help="The puzzle that it must be about.")
    ] = "",
    proof_only: Annotated[
        bool,
        typer.Option(
            "--proof-only", help="Check only the proof of the clauses.", rich_help_panel=ASKED
        ),
    ] = False,
    as_json: AsJson = False,
    budget: Budget = BUDGET,
) -> None:
    """Check a certificate without a solver: parts, clauses, solutions and proof.

    It says which puzzle the claim is about. With FILE, it must be that one.

    Exit code: 0 if all of it holds, 1 if something in it is wrong, 2 if it
    cannot be read, 3 if something could not be compared or the budget ran
    out.
    """
    from gridassay.verify.proof.recheck import recheck as look

    if file and proof_only:
        stop("--proof-only does not look at a puzzle: leave out FILE")
    with answering(certificate, as_json=as_json, budget=budget) as clock:
        data = read_bytes(certificate)
        meant = read_one(file, clock) if file else None
        result = look(data, certificate, meant=meant, proof_only=proof_only, budget=clock)
    if as_json:
        print_json(result.to_json())
    else:
        claims = f" claims {result.claim}" if result.claim else ""
        say(f"{result.result.upper()}: {certificate}{claims}")
        for line in _puzzle_lines(result):
            say(f"  {line}")
        for finding in result.findings:
            say(f"  {finding.check:<9}  {finding.result:<12}  {finding.detail}")
    raise typer.Exit(_CODES[result.result])


def _puzzle_lines(result: Recheck) -> Iterator[str]:
    """The puzzle that the claim is about."""
    puzzle = result.puzzle
    if puzzle is None:
        return
    clues = [quantity(len(puzzle.givens), "given"), quantity(len(puzzle.rules), "rule")]
    named = f"{title_words(puzzle)}: " if puzzle.title else ""
    yield f"of        {named}{' and '.join(clues)}"
    if puzzle.canvas.digits:
        yield f"          {puzzle.given_line()}"
    for solution in result.solutions:
        yield f"solution  {puzzle.in_one_line(solution)}"
