"""Reads layers from the tables of puzzle files, and puts errors in our own words."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from pydantic import ValidationError

from gridassay.encodings.errors import RuleError
from gridassay.encodings.layers import LAYERS
from gridassay.encodings.layers.base import Layer
from gridassay.encodings.notation import listing
from gridassay.encodings.rule_words import meant
from gridassay.encodings.rules.reading import plain, telling


def read_layer(table: Mapping[str, Any]) -> Layer:
    """Read one layer from its table. Raises RuleError in one line."""
    kind = table.get("kind")
    if not isinstance(kind, str):
        raise RuleError("a layer needs a kind", key="kind" if "kind" in table else "")
    if kind not in LAYERS:
        hint = meant(kind, LAYERS) or f"; there are {listing(list(LAYERS), 'and')}"
        raise RuleError(f"there is no layer of kind {kind!r}{hint}", key="kind")
    layer = LAYERS[kind]
    try:
        return layer.model_validate(dict(table))
    except ValidationError as error:
        detail = telling(error)
    key, message = plain(detail, layer)
    if detail["type"] == "extra_forbidden":
        field = str(detail["loc"][-1])
        others = [one.called for one in LAYERS.values() if field in one.model_fields]
        said, _, hint = message.partition(";")
        # A field of another kind of layer is not misspelt.
        hint = f", only on {listing(others, 'or')}" if others else hint and f";{hint}"
        message = f"{said} on {layer.called}{hint}"
    top = str(detail["loc"][0]) if detail["loc"] else ""
    raise RuleError(f"{key}: {message}" if key else message, key=top)
