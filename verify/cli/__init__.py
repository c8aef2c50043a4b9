"""The command line: one file per command, each a thin face on a function of the library."""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence
from importlib import import_module
from typing import TYPE_CHECKING

from gridassay.verify.cli.ending import (
    BAD_INPUT,
    FAULT,
    INTERRUPTED,
    end_at_once_when_interrupted,
    stop_writing,
    system_words,
    tell_interrupted,
)
from gridassay.verify.cli.streams import write_what_can_be_shown
from gridassay.verify.faults import fault_words
from gridassay.verify.safe_text import printable

if TYPE_CHECKING:
    import typer

GROUPS = {
    "Before publishing": ("assay", "check", "clues", "kin"),
    "Explaining how it is solved": ("route", "audit"),
    "After publishing": ("answer", "compare", "certify", "recheck", "export"),
    "Many puzzles": ("batch", "book"),
    "Pictures, rules and the page": ("draw", "rules", "serve"),
}
"""Every command, in the order of the job; each is what has that name in its module."""

COMMANDS = tuple(name for names in GROUPS.values() for name in names)
_GROUP = {name: group for group, names in GROUPS.items() for name in names}

_WORDS = "docs/words.md explains every name and result; docs/steps.md, how to write steps."
_EPILOGS = {"route": _WORDS, "audit": _WORDS}


def app_for(arguments: Sequence[str]) -> typer.Typer:
    """The application for these arguments: with the command they name, or with all of them.

    A verdict does not have to wait for the modules of other commands.
    """
    # Imported here, where Ctrl-C is looked after already.
    import typer

    app = typer.Typer(
        name="gridassay",
        help="Check hand-made grid puzzles: is there one solution, and if not, why not and "
        "what would repair it?",
        add_completion=False,
        no_args_is_help=True,
        pretty_exceptions_enable=False,
    )
    app.callback()(_several)
    named = [name for name in COMMANDS if arguments and arguments[0] == name]
    for name in named or COMMANDS:
        command = getattr(import_module(f"{__name__}.{name}"), name)
        if isinstance(command, typer.Typer):
            app.add_typer(command, name=name, rich_help_panel=_GROUP[name])
        else:
            app.command(epilog=_EPILOGS.get(name), rich_help_panel=_GROUP[name])(command)
    return app


def _several() -> None:
    """Do nothing: a command must be named even if only one is loaded."""


def _told_plainly(arguments: Sequence[str]) -> None:
    """End with the verdicts in JSON if nothing else is asked for.

    Reading the command line with typer would take longer than a verdict.
    """
    if arguments[:1] == ["check"] and "--json" in arguments:
        from gridassay.verify.cli.check_json import plain_files, tell_plainly

        files = plain_files(arguments)
        if files:
            raise SystemExit(tell_plainly(files))


def main() -> None:
    """Run the command line. Ctrl-C ends it at once, with the exit code shells use for that.

    A fault of gridassay's own is told in one line, with an exit code of its own.
    """
    arguments = sys.argv[1:]
    write_what_can_be_shown()
    # The graph library loads a plotting library wherever there is one: half a second for nothing,
    # since no command plots.
    sys.modules.setdefault("matplotlib", None)  # type: ignore[arg-type]
    # Nor has any a use for plug-ins of the validating library, which are looked for in all that is
    # installed.
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")
    if arguments[:1] != ["serve"]:  # which ends its workers and hangs up in good order
        end_at_once_when_interrupted()
    try:
        try:
            _told_plainly(arguments)
            app_for(arguments)()
        finally:
            sys.stdout.flush()
    except KeyboardInterrupt:
        tell_interrupted()
        raise SystemExit(INTERRUPTED) from None
    except OSError as error:
        stop_writing()
        print(printable(f"gridassay: {system_words(error)}"), file=sys.stderr)
        raise SystemExit(BAD_INPUT) from None
    except Exception as error:
        print(printable(f"gridassay: {fault_words(error)}"), file=sys.stderr)
        raise SystemExit(FAULT) from None
