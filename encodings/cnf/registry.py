"""The table of encodings by name, which the files of encodings fill and plug-ins add to."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

Encoder = Callable[[Any, Any], None]
"""Writes one constraint with a writer; an encoding of AtMostOne takes literals for a constraint."""

ENCODERS: dict[str, dict[str, Encoder]] = {}
"""Encodings of each constraint by name: ``ENCODERS["Sum"]["sets"]``."""

AT_MOST_ONE: dict[str, Encoder] = {}
"""Encodings of "at most one of these literals" by name, which is stated of literals alone."""


class EncodingError(ValueError):
    """An encoding does not exist or cannot be loaded; the message is one line."""


def encoding(constraint: type, name: str) -> Callable[[Encoder], Encoder]:
    """Register a function as the encoding of a constraint under a name."""

    def register(encoder: Encoder) -> Encoder:
        ENCODERS.setdefault(constraint.__name__, {})[name] = encoder
        return encoder

    return register
