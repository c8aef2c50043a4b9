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
    premise_name,
    removal,
    word_list,
    zone_said,
)
from gridassay.verify.solving.board.position import ALL, Layout, Mark, Position, Zone, members

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
    for target in members(targets):
        by_reason.setdefault(layout.links(members(spots), target), []).append(target)
    for switches, cells in by_reason.items():
        removes = tuple((cell, digit) for cell in cells)
        yield Idea(
            NAME,
            removes=removes,
            spots=((digit, zone),),
            switches=switches,
            shown=members(spots),
            digits=(digit,),
            say=partial(_say, layout, zone, digit, spots, switches, removes),
        )


def _say(
    layout: Layout,
    zone: Zone,
    digit: int,
    spots: int,
    switches: tuple[Switch, ...],
    removes: tuple[Mark, ...],
) -> str:
    places = cell_names(layout, members(spots))
    names = list(dict.fromkeys(premise_name(layout, switch) for switch in switches))
    seen = f"all in {names[0]}" if len(names) == 1 else f"each seen by {word_list(names)}"
    return (
        f"{layout.symbol(digit)} in {zone_said(layout, zone)} is confined to {places}, {seen}, "
        f"{removal(layout, removes)}"
    )
