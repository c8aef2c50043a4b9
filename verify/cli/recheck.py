"""``gridassay recheck``: a certificate checked again, without any solver."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Annotated

import typer

from gridassay.encodings.files import read_bytes
from gridassay.verify.cli.common import (
    BUDGET,
    AsJson,
    Budget,
    answering,
    read_one,
    say,
    stop,
    titled,
)
from gridassay.verify.cli.ending import NOT_UNIQUE, UNDECIDED, UNIQUE
from gridassay.verify.cli.telling import print_json
from gridassay.verify.words import counted

if TYPE_CHECKING:
    from gridassay.verify.proof.recheck import Recheck

_CODES = {"passed": UNIQUE, "failed": NOT_UNIQUE, "incomplete": UNDECIDED}


def recheck(
    certificate: Annotated[
        str, typer.Argument(metavar="OUT.zip", help="A certificate; - is standard input.")
    ],
    file: Annotated[
        str, typer.Argument(metavar="[FILE]", help="The puzzle that it has to be about.")
    ] = "",
    proof_only: Annotated[
        bool, typer.Option("--proof-only", help="Check nothing but the proof of the clauses.")
    ] = False,
    as_json: AsJson = False,
    budget: Budget = BUDGET,
) -> None:
    """Check a certificate: its parts, clauses, solutions and proof, with no solver.

    It says which puzzle the claim is of; with FILE it has to be that one.

    Exit code 0 when all of it holds, 1 when something in it is wrong, 2 when it cannot be read, 3
    when something could not be compared or the budget ran out.
    """
    from gridassay.verify.proof.recheck import recheck as look

    if file and proof_only:
        stop("--proof-only looks at no puzzle: leave out FILE")
    with answering(certificate, as_json=as_json, budget=budget) as clock:
        data = read_bytes(certificate)
        meant = read_one(file, clock) if file else None
        result = look(data, certificate, meant=meant, proof_only=proof_only, budget=clock)
    if as_json:
        print_json(result.to_json())
    else:
        claims = f" claims {result.claim}" if result.claim else ""
        say(f"{result.result.upper()}: {certificate}{claims}")
        for line in _told(result):
            say(f"  {line}")
        for finding in result.findings:
            say(f"  {finding.check:<9}  {finding.result:<12}  {finding.detail}")
    raise typer.Exit(_CODES[result.result])


def _told(result: Recheck) -> Iterator[str]:
    """The puzzle that the claim is of."""
    puzzle = result.puzzle
    if puzzle is None:
        return
    clues = [counted(len(puzzle.givens), "given"), counted(len(puzzle.rules), "rule")]
    named = f"{titled(puzzle)}: " if puzzle.title else ""
    yield f"of        {named}{' and '.join(clues)}"
    yield f"          {puzzle.given_line()}"
    for solution in result.solutions:
        yield f"solution  {puzzle.line(solution)}"
