"""Rules of puzzles: one file per family, one class per rule.

``RULES`` is every built-in kind by its name: every concrete rule of every module in this package,
so that a new family is a new file and nothing else. A file is imported when one of its kinds is used.

Kinds may also come from other installed packages, as entry points of the group ``gridassay.rules``:
the name of the entry point is the kind, and it points at the class. They are looked for only
when a puzzle uses a kind that is not built in, or when all kinds are listed, and a class is loaded
only when its kind is used: installed packages cost an ordinary puzzle nothing and cannot break it.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from functools import cached_property
from importlib import import_module
from importlib.metadata import EntryPoint, entry_points
from pathlib import Path
from pkgutil import iter_modules

from gridassay.encodings.reserved import KINDS
from gridassay.encodings.rules.base import Rule, RuleError

GROUP = "gridassay.rules"


class _RuleKinds(Mapping[str, type[Rule]]):
    """The built-in kinds, in order of their names, each read from its file when it is first used.

    The file of a kind is found from the text of the files, without importing any.
    """

    @cached_property
    def _module_of(self) -> dict[str, str]:
        found = {
            kind: module.name
            for module in iter_modules(__path__)
            for kind in _KIND.findall(Path(__path__[0], f"{module.name}.py").read_text("utf-8"))
        }
        return dict(sorted(found.items()))

    @cached_property
    def _classes(self) -> dict[str, type[Rule]]:
        return {}

    def __getitem__(self, kind: str) -> type[Rule]:
        if kind not in self._classes:
            module = import_module(f"{__name__}.{self._module_of[kind]}")
            for member in vars(module).values():
                if isinstance(member, type) and issubclass(member, Rule):
                    name = member.model_fields["kind"].default
                    if isinstance(name, str):
                        self._classes[name] = member
        return self._classes[kind]

    def __contains__(self, kind: object) -> bool:
        return kind in self._module_of

    def __iter__(self) -> Iterator[str]:
        return iter(self._module_of)

    def __len__(self) -> int:
        return len(self._module_of)


_KIND = re.compile(r'kind: Literal\["([^"]+)"\] = "\1"')

RULES: Mapping[str, type[Rule]] = _RuleKinds()
KINDS.update(RULES)


def kinds() -> list[str]:
    """The name of every kind, built in or not. Loads nothing."""
    return sorted({*RULES, *entry_points(group=GROUP).names})


def rule_class(kind: str) -> type[Rule] | None:
    """The class of a kind; None if there is no such kind.

    Raises RuleError, in one line that names the package, if a kind from outside cannot be loaded.
    """
    if kind in RULES:
        return RULES[kind]
    found = list(entry_points(group=GROUP, name=kind))
    return _load(found) if found else None


def every_rule() -> dict[str, type[Rule]]:
    """Every kind with its class, plug-ins loaded.

    Raises RuleError, in one line that names the package, if one cannot be loaded.
    """
    rules = dict(RULES)
    outside = entry_points(group=GROUP)
    for kind in outside.names:
        found = list(outside.select(name=kind))
        if kind in RULES:
            raise RuleError(f"{_origin(found[0])} brings a rule {kind!r}, which is built in")
        rules[kind] = _load(found)
    return dict(sorted(rules.items()))


def _load(found: list[EntryPoint]) -> type[Rule]:
    first = found[0]
    origins = sorted({_origin(point) for point in found})
    if len(origins) > 1:
        raise RuleError(f"{' and '.join(origins)} both bring a rule {first.name!r}", key="kind")
    named = f"the rule {first.name!r} of {origins[0]}"
    try:
        rule = first.load()
    except Exception as error:  # whatever another package's module does on import
        reason = " ".join(f"{type(error).__name__}: {error}".split())
        raise RuleError(f"{named} cannot be loaded: {reason}", key="kind") from None
    if not (isinstance(rule, type) and issubclass(rule, Rule)):
        raise RuleError(f"{named} is not a subclass of Rule", key="kind")
    own = rule.model_fields["kind"].default
    if own != first.name:
        raise RuleError(f"{named} calls its kind {own!r}", key="kind")
    return rule


def _origin(point: EntryPoint) -> str:
    return f"the plug-in {point.dist.name if point.dist else point.value}"
