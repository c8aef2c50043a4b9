"""``gridassay recheck``: a certificate checked again, without any solver."""

from __future__ import annotations

from typing import Annotated

import typer

from gridassay.encodings.files import read_bytes
from gridassay.verify.cli.common import (
    BUDGET,
    NOT_UNIQUE,
    UNDECIDED,
    UNIQUE,
    AsJson,
    Budget,
    answering,
    print_json,
)

_CODES = {"passed": UNIQUE, "failed": NOT_UNIQUE, "incomplete": UNDECIDED}


def recheck(
    certificate: Annotated[
        str, typer.Argument(metavar="OUT.zip", help="A certificate; - is standard input.")
    ],
    proof_only: Annotated[
        bool, typer.Option("--proof-only", help="Check nothing but the proof of the clauses.")
    ] = False,
    as_json: AsJson = False,
    budget: Budget = BUDGET,
) -> None:
    """Check a certificate: its parts, clauses, solutions and proof, with no solver.

    Exit code 0 when all of it holds, 1 when something in it is wrong, 2 when it cannot be read, 3
    when something could not be compared or the budget ran out.
    """
    from gridassay.verify.proof.recheck import recheck as look

    with answering(certificate, as_json=as_json):
        data = read_bytes(certificate)
        result = look(data, certificate, proof_only=proof_only, budget=budget)
    if as_json:
        print_json(result.to_json())
    else:
        print(f"{result.result.upper()}: {certificate}", end="")
        print(f" claims {result.claim}" if result.claim else "")
        for finding in result.findings:
            print(f"  {finding.check:<9}  {finding.result:<12}  {finding.detail}")
    raise typer.Exit(_CODES[result.result])
