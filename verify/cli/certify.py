"""``gridassay certify``: evidence for a verdict, in a file that others can check."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any

import typer

from gridassay.encodings.files import read_bytes
from gridassay.verify.cli.common import (
    BUDGET,
    WRITTEN,
    AsJson,
    Budget,
    File,
    answering,
    say,
    writing,
)
from gridassay.verify.cli.telling import code_of, print_json
from gridassay.verify.saving import save


def certify(
    file: File,
    out: Annotated[
        Path,
        typer.Option(
            "-o",
            "--out",
            metavar="OUT.zip",
            help="Write the certificate to this file.",
            rich_help_panel=WRITTEN,
        ),
    ],
    as_json: AsJson = False,
    budget: Budget = BUDGET,
) -> None:
    """Certify how many solutions a puzzle has, in a file that anyone can check.

    Exit code: 0 if it has one solution (or meets what its file expects), 1 if
    it does not, 2 for bad input, 3 if the budget ran out and there is no
    certificate. Others check it with `gridassay recheck`.
    """
    from gridassay.verify.proof.certificate import certify as make

    with answering(file, as_json=as_json, budget=budget) as clock:
        certificate = make(read_bytes(file), file, budget=clock)
        data = certificate.to_bytes()
        with writing(out):
            save(out, data)
    if as_json:
        print_json({**certificate.to_json(), "out": str(out), "bytes": len(data)})
    else:
        _report(certificate.to_json(), out, len(data))
    raise typer.Exit(code_of(certificate.verdict.status, certificate.verdict.met))


def _report(certificate: dict[str, Any], out: Path, size: int) -> None:
    """The claim, and how large its evidence is."""
    say(f"{certificate['claim'].upper()}, certified in {out} ({size:,} bytes)")
    for name, part in certificate["parts"].items():
        say(f"  {name:<13} {part['bytes']:>11,} bytes")
    say(f"Anyone can check it: gridassay recheck {out}")
