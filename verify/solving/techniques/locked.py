"""Locked candidates: every place of a digit in one house sees a cell, which therefore loses it.

Mostly the places lie where two houses cross, and the digit is removed from the rest of the other house.
With rules that forbid repeats, the places may see the cell in several ways; the pattern is the same.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from gridassay.verify.engines.questions import Switch
from gridassay.verify.solving.board.ideas import (
    Idea,
    cell_names,
    zone_in,
)
from gridassay.verify.solving.board.position import ALL, Mark, Position, Zone, members
from gridassay.verify.solving.techniques.facts import every
from gridassay.verify.solving.techniques.house_words import rest_removal
from gridassay.verify.solving.techniques.sight_words import move_of, sights_said, way_said

NAME = "locked candidates"


def find(position: Position, touched: int = ALL) -> Iterator[Idea]:
    """For every digit and house with ``touched`` cells: the cells outside that all its places see."""
    layout = position.layout
    for zone in layout.full_zones:
        if not zone.bits & touched:
            continue
        for digit, cells in enumerate(position.where):
            spots = cells & zone.bits
            if not spots & (spots - 1):
                continue
            targets = cells & ~zone.bits & layout.seen_by_all(spots)
            if targets:
                yield from _ideas(position, zone, digit, spots, targets)


def _ideas(position: Position, zone: Zone, digit: int, spots: int, targets: int) -> Iterator[Idea]:
    layout = position.layout
    by_reason: dict[tuple[Switch, ...], list[int]] = {}
    mixed: dict[Switch, None] = {}
    seen_in_ways: list[int] = []
    for target in members(targets):
        switches = layout.links(members(spots), target)
        if len(switches) == 1:
            by_reason.setdefault(switches, []).append(target)
        else:
            seen_in_ways.append(target)
            mixed.update(dict.fromkeys(switches))
    if seen_in_ways:
        by_reason[tuple(mixed)] = seen_in_ways
    for switches, cells in by_reason.items():
        removes = tuple((cell, digit) for cell in cells)
        yield Idea(
            NAME,
            removes=removes,
            spots=((digit, zone),),
            switches=switches,
            shown=members(spots),
            digits=(digit,),
            say=partial(_say, position, zone, digit, spots, switches, removes),
        )


def _say(
    position: Position,
    zone: Zone,
    digit: int,
    spots: int,
    switches: tuple[Switch, ...],
    removes: tuple[Mark, ...],
) -> str:
    layout, cells = position.layout, members(spots)
    head = (
        f"{layout.symbol(digit)} {zone_in(layout, zone)} is confined to {cell_names(layout, cells)}"
    )
    targets = [cell for cell, _ in removes]
    moves = {move_of(layout, switch) for switch in switches}
    if len(switches) == 1:
        how = f", {every(len(cells))} {way_said(layout, switches[0])}"
    elif len(moves) == 1 and "" not in moves:
        how = f", {every(len(cells))} {moves.pop()} from {cell_names(layout, targets)}"
    else:
        how = f"; {sights_said(layout, targets, cells)}"
    return f"{head}{how}, {rest_removal(position, switches, spots, removes)}"
