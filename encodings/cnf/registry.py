"""The table of encodings by name, which the files of encodings fill and plug-ins add to."""

from __future__ import annotations

from collections.abc import Callable
from importlib import import_module
from typing import Any

Encoder = Callable[[Any, Any], None]
"""Writes one constraint with a writer; an encoding of AtMostOne takes literals for a constraint."""

ENCODERS: dict[str, dict[str, Encoder]] = {}
"""Encodings of each constraint by name: ``ENCODERS["Sum"]["sets"]``.

Those of members about graphs, which few puzzles have, are there once ``every_encoder`` was called.
"""

AT_MOST_ONE: dict[str, Encoder] = {}
"""Encodings of "at most one of these literals" by name, which is stated of literals alone."""


class EncodingError(ValueError):
    """An encoding does not exist or cannot be loaded; the message is one line."""


def every_encoder() -> dict[str, dict[str, Encoder]]:
    """The whole table, members about graphs included."""
    import_module("gridassay.encodings.cnf.compile")
    import_module("gridassay.encodings.cnf.on_graphs")
    return ENCODERS


def encoding(constraint: type, name: str) -> Callable[[Encoder], Encoder]:
    """Register a function as the encoding of a constraint under a name."""

    def register(encoder: Encoder) -> Encoder:
        ENCODERS.setdefault(constraint.__name__, {})[name] = encoder
        return encoder

    return register
