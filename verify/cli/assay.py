"""``gridassay assay``: the whole examination, on one screen or one page."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from gridassay.encodings.files import decode, read, read_bytes
from gridassay.verify.cli.common import (
    ASKED,
    BUDGET,
    SHOWN,
    WRITTEN,
    AsJson,
    Budget,
    File,
    NoWarnings,
    answering,
    check_ending,
    writing,
)
from gridassay.verify.cli.ending import NOT_UNIQUE, UNDECIDED
from gridassay.verify.cli.telling import code_of, print_json

if TYPE_CHECKING:
    from gridassay.verify.examination.examination import Assay


def assay(
    file: File,
    blind: Annotated[
        bool,
        typer.Option(
            "--blind",
            help="Show no digit, cell or picture, so that nothing gives the solution away.",
            rich_help_panel=SHOWN,
        ),
    ] = False,
    strict: Annotated[
        bool,
        typer.Option(
            "--strict",
            help="Exit with code 1 if anything needs attention.",
            rich_help_panel=ASKED,
        ),
    ] = False,
    no_warnings: NoWarnings = False,
    catalogue: Annotated[
        Path | None,
        typer.Option(
            metavar="FILE.sqlite",
            help="Check whether this catalogue holds the puzzle, even in disguise.",
            rich_help_panel=ASKED,
        ),
    ] = None,
    certificate: Annotated[
        Path | None,
        typer.Option(
            metavar="OUT.zip", help="Write a certificate to this file.", rich_help_panel=WRITTEN
        ),
    ] = None,
    page: Annotated[
        Path | None,
        typer.Option(
            metavar="OUT.html|.pdf",
            help="Write the whole assay as a page to keep with the puzzle.",
            rich_help_panel=WRITTEN,
        ),
    ] = None,
    as_json: AsJson = False,
    budget: Budget = BUDGET,
) -> None:
    """Examine a puzzle before it is published: is it sound, and what is wasted?

    Shows the verdict, the clues that are not needed, symmetry, the route and
    its hardest step, and ends with one sentence: fit to publish, or not.

    Exit code: 0 if it has one solution (or meets what its file expects) and,
    with --strict, nothing needs attention; 1 if not; 2 for bad input;
    3 if the budget ran out before the verdict or the certificate.
    """
    from gridassay.verify.examination.examination import assay as examine

    with answering(file, as_json=as_json, budget=budget) as clock:
        if page:
            from gridassay.verify.draw.paper import FORMATS

            check_ending(page, FORMATS, "a page")
        document = read_bytes(file)
        with clock.running():
            puzzle = read(decode(document, file), file)
        from gridassay.verify.cli.show_assay import Screen, write_certificate

        screen = None if as_json else Screen(certificate, blind=blind)
        try:
            result = examine(
                puzzle,
                budget=clock,
                document=document if certificate or page else None,
                catalogue=catalogue,
                in_full=as_json and not blind,
                warn=not (no_warnings or blind),
                listener=screen,
            )
        finally:
            if screen:
                screen.close()
        if screen:
            screen.conclude(result)
        else:
            write_certificate(result.certificate, certificate)
            print_json(_without_digits(result) if blind else result.to_json())
        if page:
            from gridassay.verify.examination.page import write_page

            with writing(page):
                write_page(result, page)
    raise typer.Exit(_code(result, strict, certificate))


def _code(result: Assay, strict: bool, certificate: Path | None) -> int:
    """A certificate that was asked for and not made in time is not a success either."""
    if result.verdict.met and strict and not result.strictly_fine:
        return NOT_UNIQUE
    if result.verdict.met and certificate and not result.certificate:
        return UNDECIDED
    return code_of(result.verdict.status, result.verdict.met)


def _without_digits(result: Assay) -> dict[str, Any]:
    known = result.to_json()
    shown = ("title", "source", "verdict", "engine", "met", "ran_out", "seconds")
    kept = {key: known[key] for key in shown}
    kept["conclusion"] = result.conclusion(blind=True)
    if result.route:
        kept["route"] = {
            "solved": result.route.solved,
            "steps": len(result.route.steps),
            "techniques": result.route.techniques,
        }
    return kept
