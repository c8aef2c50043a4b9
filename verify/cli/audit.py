"""``gridassay audit``: a walkthrough, written or spoken, checked against a puzzle."""

from __future__ import annotations

from pathlib import Path
from textwrap import wrap
from typing import Annotated, Literal

import typer

from gridassay.encodings.lines import PuzzleError
from gridassay.verify.auditing.auditing import audit as ask
from gridassay.verify.auditing.results import Audit
from gridassay.verify.auditing.summary import mark_of, tally, where_to_look
from gridassay.verify.cli.common import (
    ASKED,
    BUDGET,
    WRITTEN,
    AsJson,
    Budget,
    File,
    answering,
    check_ending,
    read_one,
    read_words,
    say,
    terminal_width,
    writing,
)
from gridassay.verify.cli.ending import NOT_UNIQUE, UNIQUE
from gridassay.verify.cli.telling import print_json
from gridassay.verify.safe_text import printable
from gridassay.verify.saving import save

Form = Literal["steps", "notes", "prose", "captions"]


def audit(
    file: File,
    talk: Annotated[
        str,
        typer.Argument(
            metavar="WALKTHROUGH", help="The walkthrough: a steps file, notes, prose or captions."
        ),
    ],
    form: Annotated[
        Form | None,
        typer.Option(
            "--as",
            help="How to read it, if that is not clear from its text.",
            rich_help_panel=ASKED,
        ),
    ] = None,
    deep: Annotated[
        bool,
        typer.Option(
            "--deep",
            help="Fill in omitted steps that use any named technique. Takes longer.",
            rich_help_panel=ASKED,
        ),
    ] = False,
    clean: Annotated[
        Path | None,
        typer.Option(
            help="Write what was understood, as a steps file.",
            metavar="OUT.steps",
            rich_help_panel=WRITTEN,
        ),
    ] = None,
    captions: Annotated[
        Path | None,
        typer.Option(
            help="Write the results as captions, each timed to its step.",
            metavar="OUT.vtt",
            rich_help_panel=WRITTEN,
        ),
    ] = None,
    sheet: Annotated[
        Path | None,
        typer.Option(
            metavar="OUT.html|.pdf",
            help="Write the results of a talk, ready to print.",
            rich_help_panel=WRITTEN,
        ),
    ] = None,
    as_json: AsJson = False,
    budget: Budget = BUDGET,
) -> None:
    """Check a walkthrough against a puzzle, step by step.

    The walkthrough is a steps file, notes, prose or captions.

    Exit code: 0 if every step is sound or idle, 1 if some step is not, 2 for
    bad input, 3 if the budget ran out.
    """
    with answering(file, as_json=as_json, budget=budget) as clock:
        if sheet is not None:
            from gridassay.verify.draw.paper import FORMATS

            check_ending(sheet, FORMATS, "a sheet")
        puzzle, text = read_one(file, clock), read_words(talk)
        # Imported here: a steps file needs no listener.
        from gridassay.verify.listening.forms import form_of

        heard_as = form or form_of(text, puzzle)
        if captions is not None and heard_as != "captions":
            raise PuzzleError("--captions needs captions: this text has no times", talk)
        if heard_as != "steps":
            from gridassay.verify.cli.show_talk import show_talk
            from gridassay.verify.listening.talk import audit_talk

            try:
                told = audit_talk(
                    puzzle,
                    text,
                    form=heard_as,
                    deep=deep,
                    reasons=clean is not None,
                    budget=clock,
                )
            except PuzzleError as error:
                raise PuzzleError(str(error), talk) from None
            if clean is not None:
                with writing(clean):
                    save(clean, told.clean())
            if captions is not None:
                from gridassay.verify.listening.captions import write_cues

                with writing(captions):
                    save(captions, write_cues(told.steps))
            if sheet is not None:
                from gridassay.verify.listening.talk_sheet import write_talk_sheet

                with writing(sheet):
                    write_talk_sheet(told, sheet)
            show_talk(told, as_json=as_json)
            raise typer.Exit(UNIQUE if told.ok else NOT_UNIQUE)
        if deep:
            raise PuzzleError("--deep needs notes, prose or captions: this is a steps file", talk)
        if sheet is not None:
            raise PuzzleError("--sheet needs notes, prose or captions: this is a steps file", talk)
        if clean is not None:
            raise PuzzleError("--clean needs notes, prose or captions: this is a steps file", talk)
        from gridassay.verify.listening.hints import hinted

        found = hinted(ask(puzzle, text, budget=clock))
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
        say(*wrap(printable(where), max(40, terminal_width()), subsequent_indent="    "))
    say(found.ending)
