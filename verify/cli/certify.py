"""``gridassay certify``: evidence for a verdict, in a file that others can check."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any

import typer

from gridassay.encodings.files import read_bytes
from gridassay.encodings.lines import PuzzleError
from gridassay.verify.budget import OutOfTime
from gridassay.verify.cli.common import (
    BAD_INPUT,
    BUDGET,
    NOT_UNIQUE,
    UNDECIDED,
    UNIQUE,
    AsJson,
    Budget,
    File,
    error_json,
    fail,
    print_json,
)


def certify(
    file: File,
    out: Annotated[
        Path, typer.Option("-o", "--out", metavar="OUT.zip", help="Where the certificate goes.")
    ],
    as_json: AsJson = False,
    budget: Budget = BUDGET,
) -> None:
    """Write a certificate of how many solutions a puzzle has, for anyone to check.

    Exit code 0 when it has one solution (or is what its file expects), 1 when it is not, 2 for bad
    input, 3 without a certificate when the budget ran out. See `gridassay recheck`.
    """
    from gridassay.verify.proof.certificate import certify as make

    try:
        certificate = make(read_bytes(file), file, budget=budget)
        data = certificate.to_bytes()
        _write(out, data)
    except PuzzleError as error:
        if as_json:
            print_json(error_json(error))
        else:
            fail(error)
        raise typer.Exit(BAD_INPUT) from None
    except OutOfTime:
        if as_json:
            print_json({"source": file, "verdict": "undecided"})
        else:
            fail(PuzzleError("no certificate: undecided when the budget ran out", file))
        raise typer.Exit(UNDECIDED) from None
    if as_json:
        print_json({**certificate.to_json(), "out": str(out), "bytes": len(data)})
    else:
        _report(certificate.to_json(), out, len(data))
    raise typer.Exit(UNIQUE if certificate.verdict.met else NOT_UNIQUE)


def _write(out: Path, data: bytes) -> None:
    try:
        out.write_bytes(data)
    except OSError as error:
        raise PuzzleError(f"cannot be written: {str(error.strerror).lower()}", str(out)) from None


def _report(certificate: dict[str, Any], out: Path, size: int) -> None:
    """The claim, and how large its evidence is."""
    print(f"{certificate['claim'].upper()}, certified in {out} ({size:,} bytes)")
    for name, part in certificate["parts"].items():
        print(f"  {name:<13} {part['bytes']:>11,} bytes")
    print(f"Anyone can check it: gridassay recheck {out}")
