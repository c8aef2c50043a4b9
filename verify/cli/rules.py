"""``gridassay rules``: the rule reference, made from the rule classes."""

from __future__ import annotations

import json
from typing import Annotated

import typer

from gridassay.verify.budget import Clock
from gridassay.verify.cli.common import answering, read_one, say, stop


def rules(
    kind: Annotated[str | None, typer.Argument(help="Show the page for this kind of rule.")] = None,
    text: Annotated[
        str | None,
        typer.Option("--text", metavar="FILE", help="Print the rule text of a puzzle."),
    ] = None,
    schema: Annotated[
        bool, typer.Option("--schema", help="Print the JSON Schema of puzzle files.")
    ] = False,
) -> None:
    """Show the rule reference, the rule text of a puzzle, or the JSON Schema."""
    from gridassay.encodings.rule_words import kind_called, meant
    from gridassay.encodings.rules import every_rule, rule_class
    from gridassay.encodings.rules.base import RuleError
    from gridassay.verify.reference import page, rule_text, summary

    try:
        if schema:
            from gridassay.encodings.documents import schema as document_schema

            print(json.dumps(document_schema(), indent=2))
        elif text is not None:
            with answering(text):
                say(*rule_text(read_one(text, Clock())))
        elif kind is not None:
            found = rule_class(kind)
            called = kind_called(kind) if found is None else None
            if called is not None:
                print(f"{kind!r} is called {called!r} here.\n")
                found = rule_class(called)
            if found is None:
                stop(f"there is no rule {kind!r}{meant(kind, every_rule())}")
            print(page(found))
        else:
            every = every_rule()
            wide = max(map(len, every))
            for name, rule in every.items():
                say(f"{name:<{wide}}  {summary(rule)}")
    except RuleError as error:
        stop(str(error))
