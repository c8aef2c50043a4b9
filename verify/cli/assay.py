"""``gridassay assay``: the whole examination, on one screen or one page."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any

import typer

from gridassay.encodings.files import decode, read_bytes, read_puzzle
from gridassay.encodings.lines import PuzzleError
from gridassay.verify.cli.common import (
    BAD_INPUT,
    BUDGET,
    NOT_UNIQUE,
    UNDECIDED,
    UNIQUE,
    AsJson,
    Budget,
    error_json,
    fail,
    print_json,
)


def assay(
    file: Annotated[str, typer.Argument(metavar="FILE", help="A puzzle file; - is input.")],
    as_json: AsJson = False,
    budget: Budget = BUDGET,
    blind: Annotated[
        bool, typer.Option("--blind", help="Show no digit, cell or picture, to solve it cold.")
    ] = False,
    strict: Annotated[
        bool, typer.Option("--strict", help="Exit with 1 when there is anything to look at.")
    ] = False,
    catalogue: Annotated[
        Path | None,
        typer.Option(metavar="FILE.sqlite", help="Look for it in disguise in a catalogue."),
    ] = None,
    certificate: Annotated[
        Path | None, typer.Option(metavar="OUT.zip", help="Write the evidence there.")
    ] = None,
    page: Annotated[
        Path | None,
        typer.Option(metavar="OUT.html|.pdf", help="Write it all as a page to file with it."),
    ] = None,
) -> None:
    """Examine a puzzle before it is published: is it sound, what is wasted, how does it fall.

    Exit code 0 when it has one solution (or is what its file expects) and, with --strict, nothing is
    left to look at; 1 when not; 2 for bad input; 3 when the budget ran out before the verdict.
    """
    from gridassay.verify.examination import assay as examine

    try:
        document = read_bytes(file)
        puzzle = read_puzzle(decode(document, file), file)
    except PuzzleError as error:
        if as_json:
            print_json(error_json(error))
        else:
            fail(error)
        raise typer.Exit(BAD_INPUT) from None
    show = None
    if not as_json:
        from gridassay.verify.cli.show_assay import Screen

        show = Screen(puzzle, blind=blind)

    def told(part: str, answer: Any) -> None:
        if show:
            show.part(part, answer)

    result = examine(
        puzzle,
        budget=budget,
        document=document if certificate or page else None,
        catalogue=catalogue,
        told=told,
    )
    try:
        if certificate and result.certificate:
            certificate.write_bytes(result.certificate.to_bytes())
        if page:
            from gridassay.verify.assay_page import write_page

            write_page(result, page)
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None)
        told_so = (
            f"{page or certificate}: cannot be written: {reason.lower()}" if reason else str(error)
        )
        fail(PuzzleError(told_so))
        raise typer.Exit(BAD_INPUT) from None
    if show:
        show.conclude(result, certificate)
    else:
        print_json(_blinded(result.to_json()) if blind else result.to_json())
    raise typer.Exit(_code(result.verdict.status, result.verdict.met, strict, result.strictly_fine))


def _code(status: str, met: bool, strict: bool, fine: bool) -> int:
    if met:
        return NOT_UNIQUE if strict and not fine else UNIQUE
    return UNDECIDED if status == "undecided" else NOT_UNIQUE


def _blinded(result: dict[str, Any]) -> dict[str, Any]:
    shown = ("title", "source", "verdict", "engine", "met", "ran_out", "seconds")
    kept = {key: result[key] for key in shown}
    if "route" in result:
        kept["route"] = {
            "solved": result["route"]["solved"],
            "steps": len(result["route"]["steps"]),
            "techniques": result["route"]["techniques"],
        }
    return kept
