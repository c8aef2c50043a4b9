"""``gridassay rules``: the rule reference, made from the rule classes."""

from __future__ import annotations

import json
from typing import Annotated

import typer


def rules(
    schema: Annotated[
        bool, typer.Option("--schema", help="Print the JSON Schema of puzzle files.")
    ] = False,
) -> None:
    """Print the rule reference, or the JSON Schema of puzzle files."""
    if schema:
        from gridassay.encodings.documents import schema as document_schema

        print(json.dumps(document_schema(), indent=2))
        return
    from gridassay.encodings.rules import RULES

    for kind in RULES:
        print(kind)
