"""Two almost locked sets joined by two digits: both are then locked, whichever digit each holds.

Let two sets, each one digit short of locked, share digits x and y, every x of one seeing every x of
the other, and every y likewise. Neither set can lack both, or it would have fewer digits than cells; so
one holds x and the other y. Every other digit of a set then falls in it and leaves the cells that see
all its places there; x and y leave the cells that see all their places in both.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from itertools import combinations

from gridassay.verify.engines.questions import Switch
from gridassay.verify.solving.board.ideas import Idea, removal
from gridassay.verify.solving.board.position import Layout, Mark, Position, members
from gridassay.verify.solving.techniques.almost_locked_sets import (
    LockedButOne,
    both_said,
    pairs_of_sets,
)

NAME = "doubly linked sets"


def find(position: Position) -> Iterator[Idea]:
    """Every pair of sets that removes something, the fewest cells first."""
    for one, other in pairs_of_sets(position):
        shared = one.digits & other.digits
        if one.bits & other.bits or shared.bit_count() < 2:
            continue
        both = one.bits | other.bits
        if any(not both & ~zone.bits for zone in position.layout.zones):
            # If all lie in one house, it is a naked set.
            continue
        apart = [d for d in members(shared) if not other.holders[d] & ~one.sight[d]]
        for links in combinations(apart, 2):
            removes = _removes(position, one, other, links)
            if removes:
                yield _idea(position, one, other, links, removes)


def _removes(
    position: Position, one: LockedButOne, other: LockedButOne, links: tuple[int, int]
) -> tuple[Mark, ...]:
    struck = {}
    for digit in members(one.digits | other.digits):
        sights = [s.sight[digit] for s in (one, other) if s.digits >> digit & 1]
        if digit in links:
            seen = sights[0] & sights[1]
        elif len(sights) == 2:
            seen = sights[0] | sights[1]
        else:
            seen = sights[0]
        for cell in members(seen & position.where[digit]):
            struck[cell, digit] = True
    return tuple(struck)


def _idea(
    position: Position,
    one: LockedButOne,
    other: LockedButOne,
    links: tuple[int, int],
    removes: tuple[Mark, ...],
) -> Idea:
    layout = position.layout
    switches: list[Switch] = [s.zone.switch for s in (one, other) if len(s.cells) > 1]
    for digit in links:
        for cell in members(other.holders[digit]):
            switches += layout.links(members(one.holders[digit]), cell)
    for cell, digit in removes:
        for locked in (one, other):
            if locked.digits >> digit & 1 and locked.sight[digit] >> cell & 1:
                switches += layout.links(members(locked.holders[digit]), cell)
    return Idea(
        NAME,
        removes=removes,
        cells=(*one.cells, *other.cells),
        switches=tuple(dict.fromkeys(switches)),
        shown=(*one.cells, *other.cells),
        digits=links,
        say=partial(_say, layout, one, other, links, removes),
    )


def _say(
    layout: Layout,
    one: LockedButOne,
    other: LockedButOne,
    links: tuple[int, int],
    removes: tuple[Mark, ...],
) -> str:
    sets = both_said(layout, one, other)
    x, y = map(layout.symbol, links)
    return (
        f"{sets} are each one digit short of locked, and cannot both hold {x}, nor both {y}: "
        f"one holds {x}, the other {y}, and both are locked, {removal(layout, removes)}"
    )
