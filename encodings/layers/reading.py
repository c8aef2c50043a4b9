"""Reads layers from the tables of puzzle files, and puts errors in our own words."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from pydantic import ValidationError

# The package imports this module while it collects its kinds: the name is looked up when it is used.
from gridassay.encodings import layers as registry
from gridassay.encodings.errors import RuleError
from gridassay.encodings.layers.base import Layer
from gridassay.encodings.notation import listing
from gridassay.encodings.rule_words import meant
from gridassay.encodings.rules.reading import plain, telling


def read_layer(table: Mapping[str, Any]) -> Layer:
    """Read one layer from its table. Raises RuleError in one line."""
    kind = table.get("kind")
    if not isinstance(kind, str):
        raise RuleError("a layer needs a kind", key="kind" if "kind" in table else "")
    layers = registry.LAYERS
    if kind not in layers:
        hint = meant(kind, layers) or f"; there are {listing(list(layers), 'and')}"
        raise RuleError(f"there is no layer of kind {kind!r}{hint}", key="kind")
    layer = layers[kind]
    try:
        return layer.model_validate(dict(table))
    except ValidationError as error:
        detail = telling(error)
    key, message = plain(detail, layer)
    if detail["type"] == "extra_forbidden":
        field = str(detail["loc"][-1])
        others = [one.called for one in layers.values() if field in one.model_fields]
        said, _, hint = message.partition(";")
        # A field of another kind is no misspelling.
        hint = f", only on {listing(others, 'or')}" if others else hint and f";{hint}"
        message = f"{said} on {layer.called}{hint}"
    top = str(detail["loc"][0]) if detail["loc"] else ""
    raise RuleError(f"{key}: {message}" if key else message, key=top)
