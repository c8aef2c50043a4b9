"""``gridassay batch``: many puzzles, resumable, by several processes or machines."""

from __future__ import annotations

import json
from concurrent.futures.process import BrokenProcessPool
from dataclasses import replace
from pathlib import Path
from typing import Annotated, Literal

import typer

from gridassay.encodings.lines import PuzzleError
from gridassay.verify.batch.asking import PARTS, Questions, Result
from gridassay.verify.batch.results import BatchError
from gridassay.verify.batch.run import (
    Summary,
    count_puzzles,
    find_files,
    run_batch,
)
from gridassay.verify.cli.common import (
    ASKED,
    BUDGET,
    RUN,
    SHOWN,
    WRITTEN,
    Budget,
    NoWarnings,
    answering,
    say,
    stop,
    writing,
)
from gridassay.verify.cli.ending import BAD_INPUT, FAULT
from gridassay.verify.cli.telling import ExitCode, code_of, print_json
from gridassay.verify.cli.workers import Dask, Workers, executor_of
from gridassay.verify.saving import save


def batch(
    files: Annotated[
        list[str],
        typer.Argument(metavar="FILE", help="Files, folders or patterns; - reads standard input."),
    ],
    out: Annotated[
        Path,
        typer.Option(
            "--out",
            help="Write the results here, one JSON object per line.",
            rich_help_panel=WRITTEN,
        ),
    ],
    ask: Annotated[
        str,
        typer.Option(
            metavar="PARTS",
            help="Ask for more than verdicts: any of clues,route,kin,certify.",
            rich_help_panel=ASKED,
        ),
    ] = "",
    certificates: Annotated[
        Path | None,
        typer.Option(
            metavar="FOLDER",
            help="Write certificates to this folder, one zip per puzzle.",
            rich_help_panel=WRITTEN,
        ),
    ] = None,
    needs: Annotated[
        str | None,
        typer.Option(
            metavar="TECHNIQUE",
            help="List the puzzles that cannot be solved without this technique.",
            rich_help_panel=ASKED,
        ),
    ] = None,
    otherwise: Annotated[
        Literal["singles"] | None,
        typer.Option(
            help="With --needs: list only those for which singles do the rest.",
            rich_help_panel=ASKED,
        ),
    ] = None,
    no_warnings: NoWarnings = False,
    workers: Workers = 1,
    dask: Dask = None,
    ordered: Annotated[
        bool,
        typer.Option(
            "--ordered", help="Write the results in the order of the input.", rich_help_panel=RUN
        ),
    ] = False,
    resume: Annotated[
        bool,
        typer.Option(
            "--resume",
            help="Continue from the results that are already there.",
            rich_help_panel=RUN,
        ),
    ] = False,
    summary: Annotated[
        Path | None,
        typer.Option(
            "--summary", help="Write the counts to this file, as JSON.", rich_help_panel=WRITTEN
        ),
    ] = None,
    csv: Annotated[
        Path | None,
        typer.Option("--csv", help="Write a table to this file.", rich_help_panel=WRITTEN),
    ] = None,
    junit: Annotated[
        Path | None,
        typer.Option(
            "--junit", help="Write JUnit XML to this file, for CI.", rich_help_panel=WRITTEN
        ),
    ] = None,
    as_json: Annotated[
        bool,
        typer.Option(
            "--json", help="Print each result as soon as it is known.", rich_help_panel=SHOWN
        ),
    ] = False,
    budget: Budget = BUDGET,
) -> None:
    """Check all the puzzles in many files, and write one result per line.

    --resume continues a run that was stopped. The exit code is that of
    check, over all results.
    """
    from gridassay.verify.cli.show import BatchBar

    code = ExitCode()
    try:
        questions = _questions(budget, ask, certificates, needs, otherwise)
        questions = replace(questions, warn=not no_warnings)
        with (
            executor_of(workers, dask) as executor,
            BatchBar(lambda: count_puzzles(find_files(files))) as bar,
        ):

            def show(result: Result, so_far: Summary) -> None:
                code.add(_code(result))
                bar.step(so_far)
                if as_json:
                    print_json(result)

            total = run_batch(
                find_files(files),
                out,
                questions=questions,
                executor=executor,
                window=4 * workers if dask is None else 64,
                ordered=ordered or executor is None,
                resume=resume,
                certificates=certificates,
                seen=show,
            )
    except BrokenProcessPool:
        stop("a worker process died; --resume continues from what is written")
    except (BatchError, PuzzleError, OSError) as error:
        stop(str(error))
    if total.resumed:
        from gridassay.verify.batch.reports import read_results

        for result in read_results(out):
            code.add(_code(result))
    _write_reports(out, total, summary, csv, junit)
    if not as_json:
        if needs:
            _list_wanted(out, total)
        if total.warned:
            of = f"{total.warned} of {total.total}"
            say(f'{of} with warnings of probable slips: see "warnings" in {out}')
        say(total.words())
    raise typer.Exit(code.code)


def _code(result: Result) -> int:
    if "error" in result:
        return FAULT if result.get("fault") else BAD_INPUT
    return code_of(result["verdict"], result["met"])


def _questions(
    budget: float,
    ask: str,
    certificates: Path | None,
    needs: str | None,
    otherwise: Literal["singles"] | None,
) -> Questions:
    """The questions for each puzzle. Raises BatchError or PuzzleError if they make no sense."""
    parts = tuple(dict.fromkeys(filter(None, (part.strip() for part in ask.split(",")))))
    for part in parts:
        if part not in PARTS:
            raise BatchError(f"--ask: there is no part {part!r}, only {', '.join(PARTS)}")
    if ("certify" in parts) != (certificates is not None):
        raise BatchError("--ask certify and --certificates FOLDER go together")
    if otherwise and not needs:
        raise BatchError("--otherwise goes with --needs TECHNIQUE")
    if needs:
        from gridassay.verify.solving.techniques.names import find_technique

        needs = find_technique(needs)
    return Questions(budget, parts, needs, otherwise)


def _list_wanted(out: Path, total: Summary) -> None:
    """The sources of the wanted puzzles, those of earlier runs included."""
    from gridassay.verify.batch.reports import read_results

    for result in read_results(out):
        if result.get("wanted"):
            say("  ".join(filter(None, ("wanted", result["source"], result.get("title")))))
    say(f"{total.wanted} of {total.total} wanted")


def _write_reports(
    out: Path, total: Summary, summary: Path | None, csv: Path | None, junit: Path | None
) -> None:
    from gridassay.verify.batch.reports import write_csv, write_junit

    with answering(str(out)):
        if summary:
            with writing(summary):
                save(summary, json.dumps(total.to_json(), indent=2) + "\n")
        if csv:
            with writing(csv):
                write_csv(out, csv)
        if junit:
            with writing(junit):
                write_junit(out, junit)
