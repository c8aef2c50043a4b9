"""Shared by the techniques that join strong links: a digit has exactly two places in a zone."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import lru_cache

from gridassay.verify.engines.questions import Switch
from gridassay.verify.solving.board.position import Layout, Zone


@dataclass(frozen=True, slots=True)
class StrongLink:
    """A digit's only two places in a zone: one of them holds it."""

    zone: Zone
    one: int
    other: int

    def ends(self) -> Iterator[tuple[int, int]]:
        """The link from either end."""
        yield self.one, self.other
        yield self.other, self.one


@lru_cache(maxsize=1 << 12)
def strong_links(layout: Layout, cells: int) -> tuple[StrongLink, ...]:
    """The strong links of a digit with these places (a bit set), zone by zone.

    Kept, since most steps leave most digits as they were.
    """
    links = []
    for zone in layout.full_zones:
        spots = cells & zone.bits
        if spots.bit_count() == 2:
            low = spots & -spots
            links.append(StrongLink(zone, low.bit_length() - 1, spots.bit_length() - 1))
    return tuple(links)


def sight_links(layout: Layout, pairs: Iterable[tuple[int, int]]) -> tuple[Switch, ...]:
    """The premises by which the cells of each pair see each other."""
    return tuple(dict.fromkeys(layout.link(one, other) for one, other in pairs))
