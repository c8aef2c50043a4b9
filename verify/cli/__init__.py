"""The command line: one file a command, each a thin face on a function of the library."""

from __future__ import annotations

import sys

import typer

from gridassay.verify.cli import (
    answer,
    batch,
    certify,
    check,
    clues,
    compare,
    draw,
    export,
    kin,
    recheck,
    rules,
)

app = typer.Typer(
    name="gridassay",
    help="Verify hand-made grid puzzles: one solution or not, why, and what to do about it.",
    add_completion=False,
    no_args_is_help=True,
    pretty_exceptions_enable=False,
)
for command in (
    check.check,
    clues.clues,
    answer.answer,
    compare.compare,
    certify.certify,
    recheck.recheck,
    export.export,
    draw.draw,
    batch.batch,
    kin.kin,
    rules.rules,
):
    app.command()(command)


def main() -> None:
    """Run the command line. Ctrl-C ends it at once, with the exit code shells use for that."""
    try:
        app()
    except KeyboardInterrupt:
        print("gridassay: stopped", file=sys.stderr)
        raise SystemExit(130) from None
