"""Rules of puzzles: one file a family, one class a rule.

``RULES`` is every kind by its name: the built-in families below, then plug-ins found on the
entry-point group ``gridassay.rules``.
"""

from __future__ import annotations

from gridassay.encodings.rules import cages, lines
from gridassay.encodings.rules.base import Rule

_FAMILIES = (cages, lines)


def _built_in() -> dict[str, type[Rule]]:
    rules: dict[str, type[Rule]] = {}
    for family in _FAMILIES:
        for member in vars(family).values():
            if isinstance(member, type) and issubclass(member, Rule) and "kind" in vars(member).get(
                "__annotations__", {}
            ) and member is not Rule:
                rules[member.model_fields["kind"].default] = member
    return rules


RULES: dict[str, type[Rule]] = _built_in()
