"""Stand-in, replaced by the full module."""
from __future__ import annotations
from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True)
class Dfa:
    """A deterministic automaton."""

    start: int
    accepting: frozenset[int]
    step: Mapping[tuple[int, int], int]
