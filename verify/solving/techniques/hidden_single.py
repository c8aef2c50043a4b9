"""Hidden single: a digit has one place left in a house (cross-hatching).

The sentence names what blocks the other open cells of the house, in few houses, and which cells
have lost the digit without that.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from gridassay.verify.solving.board.ideas import Idea, cell_names, word_list, zone_in, zone_said
from gridassay.verify.solving.board.position import Layout, Position, Zone, members
from gridassay.verify.solving.techniques.facts import number
from gridassay.verify.solving.techniques.house_words import houses_in_a_row
from gridassay.verify.solving.techniques.sight_words import way_said

NAME = "hidden single"
Blockers = dict[Zone | tuple[int, str], int]
"""Zones with the digit placed, or placed digits and how they are seen, with the cells that they block."""

_MOST_NAMED = 4
"""The most cells without the digit that are named one by one."""


def in_areas(position: Position) -> Iterator[Idea]:
    """Hidden singles of boxes and regions."""
    return _find(position, [zone for zone in position.layout.full_zones if zone.is_area])


def in_lines(position: Position) -> Iterator[Idea]:
    """Hidden singles of rows, columns and any other zone that holds every digit."""
    return _find(position, [zone for zone in position.layout.full_zones if not zone.is_area])


def _find(position: Position, zones: list[Zone]) -> Iterator[Idea]:
    placed = position.placed
    for zone in zones:
        bits = zone.bits & ~placed
        for digit, cells in enumerate(position.where):
            spots = cells & zone.bits
            # A placed digit also has one place, but is not a step any more.
            if spots and not spots & (spots - 1) and spots & bits:
                yield _idea(position, zone, digit, spots.bit_length() - 1)


def at(position: Position, zone: Zone, digit: int) -> Idea | None:
    """The hidden single of a digit in one zone, if it stands there."""
    spots = position.where[digit] & zone.bits
    if not spots or spots & (spots - 1) or spots & position.placed:
        return None
    return _idea(position, zone, digit, spots.bit_length() - 1)


def _idea(position: Position, zone: Zone, digit: int, cell: int) -> Idea:
    return Idea(
        NAME,
        places=((cell, digit),),
        spots=((digit, zone),),
        digits=(digit,),
        say=partial(_say, position, zone, digit, cell),
    )


def _say(position: Position, zone: Zone, digit: int, cell: int) -> str:
    layout = position.layout
    symbol, name = layout.symbol(digit), layout.cells[cell]
    blocking, lost = blockers(position, zone, digit, cell)
    said = _blockers_said(layout, digit, blocking)
    if blocking and not lost:
        why = f"{said} the rest"
    elif blocking and len(lost) <= _MOST_NAMED:
        why = f"{said} the rest but {cell_names(layout, lost)}, which cannot be {symbol}"
    elif blocking:
        blocked = (zone.bits & ~position.placed & ~(1 << cell)).bit_count() - len(lost)
        cells = "one cell" if blocked == 1 else f"{number(blocked)} cells"
        why = f"{said} {cells}, and the other {number(len(lost))} have lost it"
    elif not lost:
        why = "no other cell is open"
    elif len(lost) == 1:
        why = f"the other open cell, {layout.cells[lost[0]]}, has lost it"
    elif len(lost) <= _MOST_NAMED:
        why = f"the other open cells, {cell_names(layout, lost)}, have lost it"
    else:
        why = f"the other {number(len(lost))} open cells have lost it"
    return f"{symbol} {zone_in(layout, zone)}: {why}, so {name} is {symbol}"


def blockers(
    position: Position, zone: Zone, digit: int, cell: int
) -> tuple[Blockers, tuple[int, ...]]:
    """The blockers of the other open cells of a zone, and the cells that nothing blocks.

    Zones with the digit placed, and placed digits that some cells see in another way: few of them,
    chosen greedily, most cells first, and none that the others make idle.
    """
    layout = position.layout
    open_cells = zone.bits & ~position.placed & ~(1 << cell)
    covers: Blockers = {}
    for holder in members(position.where[digit] & position.placed & ~zone.bits):
        seen = layout.sees[holder] & open_cells
        for other in layout.zones_of[holder] if seen else ():
            if other.bits & seen:
                covers[other] = covers.get(other, 0) | other.bits & seen
        for blocked in members(seen):
            switch = layout.link(holder, blocked)
            if not any(other.bits >> blocked & 1 for other in layout.zones_of[holder]):
                key = holder, way_said(layout, switch)
                covers[key] = covers.get(key, 0) | 1 << blocked
    chosen: Blockers = {}
    left = open_cells
    while left and covers:
        best = max(covers, key=lambda one: (covers[one] & left).bit_count())
        if not covers[best] & left:
            break
        chosen[best] = covers[best]
        left &= ~covers[best]
    for one in list(chosen):
        if not chosen[one] & ~_all_of(chosen, one):
            del chosen[one]
    return chosen, members(left)


def _all_of(chosen: Blockers, without: object) -> int:
    """The cells that the others cover."""
    covered = 0
    for other, cells in chosen.items():
        covered |= cells if other != without else 0
    return covered


def _blockers_said(layout: Layout, digit: int, chosen: Blockers) -> str:
    """``rows 3 and 4, box 2 and the 7 in r8c8, a knight's move from r7c6 and r9c6, block``."""
    zones = houses_in_a_row([zone_said(layout, one) for one in chosen if isinstance(one, Zone)])
    holders = []
    for one, cells in chosen.items():
        if not isinstance(one, Zone):
            cell, way = one
            seen, move = cell_names(layout, members(cells)), way.removesuffix(" away")
            how = f"seen by {seen} {way}" if move == way else f"{move} from {seen}"
            holders.append(f"the {layout.symbol(digit)} in {layout.cells[cell]}, {how}")
    verb = "blocks" if len(chosen) == 1 else "block"
    if len(holders) < 2:
        return f"{word_list([*zones, *holders])}{',' if holders else ''} {verb}"
    # Each holder ends in words of its own, so a comma stands before the last.
    return f"{', '.join([*zones, *holders[:-1]])}, and {holders[-1]}, {verb}"
