"""Law of leftovers: where a few rows and as many regions nearly coincide, the cells left over agree.

Some rows (or columns) hold each digit as often as the same number of regions do. Take away the cells
that are in both: the cells of the rows outside the regions hold the same digits as the cells of the
regions outside the rows. A digit that has no place among the ones leaves the others.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import lru_cache, partial
from itertools import combinations
from typing import NamedTuple

from gridassay.verify.solving.board.ideas import Idea, cell_names, removal, word_list
from gridassay.verify.solving.board.position import Layout, Mark, Position, Zone, members

NAME = "law of leftovers"
MOST_HOUSES, MOST_CELLS = 4, 3
"""The most rows taken together, and the most cells left over on each side."""


class Against(NamedTuple):
    """Rows or columns, as many regions, and the cells that are in one of these only."""

    lines: tuple[Zone, ...]
    areas: tuple[Zone, ...]
    inside: int
    outside: int


def find(position: Position) -> Iterator[Idea]:
    """For every few neighbouring rows or columns, and the regions that cover most of them."""
    for against in _nearly_covered(position.layout):
        yield from _ideas(position, against)


@lru_cache(maxsize=16)
def _nearly_covered(layout: Layout) -> tuple[Against, ...]:
    """Any few neighbouring lines that regions cover except for a few cells."""
    zones = layout.full_zones
    areas = [zone for zone in zones if zone.is_area]
    found = []
    for kind in ("row", "column"):
        lines = [zone for zone in zones if zone.kind == kind]
        for count in range(1, MOST_HOUSES + 1):
            for start in range(len(lines) - count + 1):
                chosen = tuple(lines[start : start + count])
                covering = _covering(chosen, areas)
                inside = _bits(chosen) & ~_bits(covering)
                if covering and 0 < inside.bit_count() <= MOST_CELLS:
                    outside = _bits(covering) & ~_bits(chosen)
                    found.append(Against(chosen, covering, inside, outside))
    return tuple(found)


def _bits(zones: Sequence[Zone]) -> int:
    bits = 0
    for zone in zones:
        bits |= zone.bits
    return bits


def _covering(lines: Sequence[Zone], areas: Sequence[Zone]) -> tuple[Zone, ...]:
    """As many regions as lines, those that lie in them most; none if cells would count twice."""
    union = _bits(lines)
    best = sorted(areas, key=lambda area: -(area.bits & union).bit_count())[: len(lines)]
    for group in (lines, best):
        if any(one.bits & other.bits for one, other in combinations(group, 2)):
            return ()
    return tuple(best) if len(best) == len(lines) else ()


def _ideas(position: Position, against: Against) -> Iterator[Idea]:
    lines, areas, inside, outside = against
    for known, other in ((outside, inside), (inside, outside)):
        digits = 0
        for cell in members(known):
            digits |= position.masks[cell]
        removes = tuple(
            (cell, digit)
            for cell in members(other)
            for digit in members(position.masks[cell] & ~digits)
        )
        if removes:
            yield Idea(
                NAME,
                removes=removes,
                cells=members(known),
                switches=tuple(zone.switch for zone in (*lines, *areas)),
                shown=(*members(inside), *members(outside)),
                digits=tuple(dict.fromkeys(digit for _, digit in removes)),
                say=partial(_say, position.layout, against, removes),
            )


def _say(layout: Layout, against: Against, removes: tuple[Mark, ...]) -> str:
    inside, outside = (
        cell_names(layout, members(bits)) for bits in (against.inside, against.outside)
    )
    return (
        f"{word_list(zone.name for zone in against.lines)} against "
        f"{word_list(zone.name for zone in against.areas)}: "
        f"{inside} left over on one side and {outside} on the other hold the same digits, "
        f"{removal(layout, removes)}"
    )
