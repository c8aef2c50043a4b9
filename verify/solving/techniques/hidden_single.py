"""Hidden single: a digit has one place left in a house (cross-hatching).

The sentence names what blocks the other open cells of the house, in as few houses as possible.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from gridassay.verify.engines.questions import Switch
from gridassay.verify.solving.board.ideas import Idea, premise_name, word_list, zone_said
from gridassay.verify.solving.board.position import Position, Zone, members

NAME = "hidden single"


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
    head = f"{layout.symbol(digit)} in {zone_said(layout, zone)}: "
    tail = f", so {layout.cells[cell]} is {layout.symbol(digit)}"
    blockers, struck = _blockers(position, zone, digit, cell)
    if not blockers:
        return f"{head}the other cells have lost it{tail}"
    verb = "blocks" if len(blockers) == 1 and not blockers[0].endswith("s") else "block"
    rest = f"{word_list(blockers)} {verb} the rest"
    if struck:
        rest = f"{word_list(blockers)} {verb} some of the rest, and the others have lost it"
    return f"{head}{rest}{tail}"


def _blockers(position: Position, zone: Zone, digit: int, cell: int) -> tuple[list[str], bool]:
    """Few zones with the digit placed that cover the other open cells; whether some are left over.

    Chosen greedily, most cells first: the shortest sentence is nicer, not needed.
    """
    layout = position.layout
    left = zone.bits & ~position.placed & ~(1 << cell)
    covers: dict[Switch, int] = {}
    for holder in members(position.where[digit] & position.placed & ~zone.bits):
        for blocked in members(layout.sees[holder] & left):
            switch = layout.link(holder, blocked)
            covers[switch] = covers.get(switch, 0) | 1 << blocked
    named: dict[str, None] = {}
    while left and covers:
        best = max(covers, key=lambda switch: (covers[switch] & left).bit_count())
        if not covers[best] & left:
            break
        named[premise_name(layout, best)] = None
        left &= ~covers[best]
    return list(named), bool(left)
