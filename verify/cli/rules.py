"""``gridassay rules``: the rule reference, made from the rule classes."""

from __future__ import annotations

import json
import sys
from typing import Annotated

import typer

from gridassay.verify.cli.common import BAD_INPUT


def rules(
    schema: Annotated[
        bool, typer.Option("--schema", help="Print the JSON Schema of puzzle files.")
    ] = False,
) -> None:
    """Print the rule reference, or the JSON Schema of puzzle files."""
    if schema:
        from gridassay.encodings.documents import schema as document_schema
        from gridassay.encodings.rules.base import RuleError

        try:
            print(json.dumps(document_schema(), indent=2))
        except RuleError as error:
            print(f"gridassay: {error}", file=sys.stderr)
            raise typer.Exit(BAD_INPUT) from None
        return
    from gridassay.encodings.rules import kinds

    for kind in kinds():
        print(kind)
