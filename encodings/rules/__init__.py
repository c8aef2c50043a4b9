"""Rules of puzzles: one file a family, one class a rule.

``RULES`` is every kind by its name: every concrete rule of every module in this package, so that a
new family is a new file and nothing else.
"""

from __future__ import annotations

from importlib import import_module
from pkgutil import iter_modules

from gridassay.encodings.rules.base import Rule


def _built_in() -> dict[str, type[Rule]]:
    rules: dict[str, type[Rule]] = {}
    for module in iter_modules(__path__):
        for member in vars(import_module(f"{__name__}.{module.name}")).values():
            if isinstance(member, type) and issubclass(member, Rule):
                kind = member.model_fields["kind"].default
                if isinstance(kind, str):
                    rules[kind] = member
    return dict(sorted(rules.items()))


RULES: dict[str, type[Rule]] = _built_in()
