"""Reads rules from the tables of puzzle files, and puts errors in our own words.

A rule is read by its kind, whichever package the kind comes from; rules of rules read theirs here
too, so that an error says how deep it sits (``inside``) and at which field (``key``).
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from pydantic import BaseModel, ValidationError

# The package imports this module while it collects its own: the name is looked up when it is used.
from gridassay.encodings import rules as registry
from gridassay.encodings.rule_words import meant
from gridassay.encodings.rules.base import Rule, RuleError

if TYPE_CHECKING:
    from pydantic_core import ErrorDetails


LARGEST_NUMBER = 10**9
"""Far beyond any clue, and small enough for every solver."""


def read_rule(table: Mapping[str, Any]) -> Rule:
    """Read one rule from its table. Raises RuleError in one line."""
    kind = table.get("kind")
    if not isinstance(kind, str):
        raise RuleError("a rule needs a kind", key="kind" if "kind" in table else "")
    rule = registry.rule_class(kind)
    if rule is None:
        raise RuleError(f"there is no rule {kind!r}{meant(kind, registry.kinds())}", key="kind")
    for key, given in table.items():
        for number in given if isinstance(given, list) else [given]:
            if isinstance(number, int) and abs(number) > LARGEST_NUMBER:
                raise RuleError(f"{key}: a number is at most {LARGEST_NUMBER:,}", key=key)
    try:
        return rule.model_validate(dict(table))
    except ValidationError as error:
        detail = telling(error)
    cause = detail.get("ctx", {}).get("error")
    if isinstance(cause, RuleError):
        raise cause
    key, message = plain(detail, rule)
    top = str(detail["loc"][0]) if detail["loc"] else ""
    raise RuleError(f"{key}: {message}" if key else message, key=top)


def telling(error: ValidationError) -> ErrorDetails:
    """The fault to report: an unknown field before a missing one, else the first fault.

    A misspelt field is both, and pointing out the spelling helps.
    """
    faults = error.errors()
    return next((fault for fault in faults if fault["type"] == "extra_forbidden"), faults[0])


def plain(
    detail: ErrorDetails,
    model: type[BaseModel],
    nested: Mapping[str, type[BaseModel]] | None = None,
) -> tuple[str, str]:
    """The key and the message of a validation error in our own words, one line.

    ``nested`` gives the models of tables inside the model by their field. The key is empty if the
    message names the field itself.
    """
    path = [part for part in detail["loc"] if not (isinstance(part, str) and "[" in part)]
    key = ".".join(str(part + 1) if isinstance(part, int) else part for part in path)
    kind, given = detail["type"], detail["input"]
    if kind == "extra_forbidden":
        for part in path[:-1]:
            model = (nested or {}).get(str(part), model)
        known = [field.alias or name for name, field in model.model_fields.items()]
        return "", f"there is no field {path[-1]!r}{meant(str(path[-1]), known)}"
    if kind == "missing":
        return "", f"{key} is missing"
    if kind == "literal_error":
        wanted = str(detail.get("ctx", {}).get("expected", ""))
        hint = meant(given, re.findall(r"'([^']*)'", wanted)) if isinstance(given, str) else ""
        return key, f"{_in_short(given)} is not {wanted}{hint}"
    message = detail["msg"].removeprefix("Value error, ")
    if kind == "value_error":
        return key, message
    return key, f"{message[0].lower()}{message[1:]} (it is {_in_short(given)})"


def _in_short(given: object) -> str:
    written = repr(given)
    return written if len(written) <= 40 else written[:37] + "…"
