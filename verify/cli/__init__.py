"""The command line: one file a command, each a thin face on a function of the library."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from importlib import import_module

import typer

COMMANDS = (
    "assay",
    "check",
    "clues",
    "route",
    "audit",
    "answer",
    "compare",
    "kin",
    "certify",
    "recheck",
    "export",
    "draw",
    "batch",
    "rules",
    "serve",
)
"""Every command, in the order of the help; each is the function of that name in its module."""

_WORDS = "Every name and result in a sentence: docs/words.md. How steps are written: docs/steps.md."
_EPILOGS = {"route": _WORDS, "audit": _WORDS}


def app_for(arguments: Sequence[str]) -> typer.Typer:
    """The application for these arguments: with the command they name, or with all of them.

    A verdict does not wait for the modules of other commands.
    """
    app = typer.Typer(
        name="gridassay",
        help="Verify hand-made grid puzzles: one solution or not, why, and what to do about it.",
        add_completion=False,
        no_args_is_help=True,
        pretty_exceptions_enable=False,
    )
    app.callback()(_several)
    named = [name for name in COMMANDS if arguments and arguments[0] == name]
    for name in named or COMMANDS:
        app.command(epilog=_EPILOGS.get(name))(getattr(import_module(f"{__name__}.{name}"), name))
    return app


def _several() -> None:
    """Nothing of its own: a command must be named even where only one is loaded."""


def main() -> None:
    """Run the command line. Ctrl-C ends it at once, with the exit code shells use for that."""
    # The graph library loads a plotting library wherever there is one: half a second for nothing,
    # since no command plots.
    sys.modules.setdefault("matplotlib", None)  # type: ignore[arg-type]
    try:
        app_for(sys.argv[1:])()
    except KeyboardInterrupt:
        print("gridassay: stopped", file=sys.stderr)
        raise SystemExit(130) from None
