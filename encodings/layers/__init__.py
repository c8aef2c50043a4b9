"""Layers: unknowns besides the digits. One file per family, one class per kind.

A layer brings variables that are part of the solution, states what always holds of them
in the constraint language (as a separate premise), and knows how its givens and solutions are written.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cached_property
from importlib import import_module
from pkgutil import iter_modules

from gridassay.encodings.layers.base import Layer


class _LayerKinds(Mapping[str, type[Layer]]):
    """Every kind, in order of the names; the files are read when a kind is first asked about."""

    @cached_property
    def _classes(self) -> dict[str, type[Layer]]:
        layers: dict[str, type[Layer]] = {}
        for module in iter_modules(__path__):
            for member in vars(import_module(f"{__name__}.{module.name}")).values():
                if isinstance(member, type) and issubclass(member, Layer):
                    kind = member.model_fields["kind"].default
                    if isinstance(kind, str):
                        layers[kind] = member
        return dict(sorted(layers.items()))

    def __getitem__(self, kind: str) -> type[Layer]:
        return self._classes[kind]

    def __iter__(self) -> Iterator[str]:
        return iter(self._classes)

    def __len__(self) -> int:
        return len(self._classes)


LAYERS: Mapping[str, type[Layer]] = _LayerKinds()
"""Every kind of layer by its name."""
