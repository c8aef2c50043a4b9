"""Bit sets of indexes: plain Python integers, which are compared and intersected at once."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache

ALL = -1
"""The bit set of everything."""


@lru_cache(maxsize=1 << 16)
def members(bits: int) -> tuple[int, ...]:
    """The indexes of the bits that are set, lowest first."""
    found = []
    while bits:
        low = bits & -bits
        found.append(low.bit_length() - 1)
        bits ^= low
    return tuple(found)


def bits_of(indexes: Iterable[int]) -> int:
    """The bit set of some indexes."""
    bits = 0
    for index in indexes:
        bits |= 1 << index
    return bits
