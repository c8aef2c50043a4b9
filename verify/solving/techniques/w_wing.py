"""W-wing: two cells {a,b} that do not see each other, joined by the places of a in some house.

Every place of a in the house is seen by one of the two cells. They cannot both be a, or the house
would have no place for it; so one of them is b, and cells that see both lose b. Usually the house has
two places for a, one seen by each end; it may have more.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from itertools import combinations

from gridassay.verify.solving.board.ideas import (
    Idea,
    cell_names,
    digit_names,
    marks_at,
    removal,
    zone_in,
)
from gridassay.verify.solving.board.position import Layout, Mark, Position, Zone, members
from gridassay.verify.solving.techniques.pairs import sight_links
from gridassay.verify.solving.techniques.sight_words import sight_said

NAME = "W-wing"


def find(position: Position) -> Iterator[Idea]:
    """For every two cells with the same two candidates, and either digit for the link."""
    layout, masks = position.layout, position.masks
    two = [cell for cell in members(position.open_bits) if masks[cell].bit_count() == 2]
    for one, other in combinations(two, 2):
        if masks[one] != masks[other] or layout.sees[one] >> other & 1:
            continue
        both = layout.sees[one] & layout.sees[other]
        for digit in members(masks[one]):
            b = (masks[one] & ~(1 << digit)).bit_length() - 1
            removes = marks_at(position, both, b)
            if removes:
                yield from _join(position, (one, other), digit, removes)


def _join(
    position: Position, ends: tuple[int, int], digit: int, removes: tuple[Mark, ...]
) -> Iterator[Idea]:
    layout = position.layout
    one, other = ends
    in_sight = layout.sees[one] | layout.sees[other]
    for zone in layout.full_zones:
        spots = position.where[digit] & zone.bits
        if not spots or spots & ~in_sight or spots & (1 << one | 1 << other):
            continue
        cells = members(spots & ~position.placed)
        if not cells:
            continue
        seen = [(one if layout.sees[one] >> cell & 1 else other, cell) for cell in cells]
        seen += [(end, target) for target, _ in removes for end in ends]
        yield Idea(
            NAME,
            removes=removes,
            cells=ends,
            spots=((digit, zone),),
            switches=sight_links(layout, seen),
            shown=(*ends, *cells),
            core=ends,
            digits=tuple(members(position.masks[one])),
            say=partial(_say, layout, ends, digit, zone, cells, removes),
        )


def _say(
    layout: Layout,
    ends: tuple[int, int],
    digit: int,
    zone: Zone,
    cells: tuple[int, ...],
    removes: tuple[Mark, ...],
) -> str:
    symbol = layout.symbol(digit)
    other = removes[0][1]
    seen_by_one = [cell for cell in cells if layout.sees[ends[0]] >> cell & 1]
    by_other = [cell for cell in cells if cell not in seen_by_one]
    sights = [
        sight_said(layout, end, seen)
        for end, seen in zip(ends, (seen_by_one, by_other), strict=True)
        if seen
    ]
    return (
        f"{cell_names(layout, ends)} can each only be "
        f"{digit_names(layout, sorted((digit, other)), 'or')}, "
        f"and {zone_in(layout, zone)}, {symbol} can only be in {cell_names(layout, cells, 'or')}; "
        f"{'; '.join(sights)}: they are not both {symbol}, "
        f"and one is {layout.symbol(other)}, {removal(layout, removes)}"
    )
