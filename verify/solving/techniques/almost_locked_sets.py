"""Almost locked sets, rule XZ: two sets of cells, each one digit short of being locked.

A set of k cells of a zone with k+1 candidates between them becomes locked when it loses any one of
these. Let two such sets share a digit x such that every x of one sees every x of the other: one of
them then has no x and is locked with all its other digits. So of any other shared digit z one of the
sets holds a z, and cells that see every z of both lose it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial
from itertools import combinations

from gridassay.verify.engines.questions import Switch
from gridassay.verify.solving.board.ideas import (
    Idea,
    cell_names,
    common_sight,
    digit_names,
    open_cells,
    removal,
)
from gridassay.verify.solving.board.position import Layout, Mark, Position, Zone, bits_of, members

NAME = "almost locked sets"
LARGEST = 4
"""The most cells of a set."""


@dataclass(frozen=True, slots=True)
class LockedButOne:
    """Cells of a zone with one candidate more than cells; ``sight`` tells, digit by digit, what sees
    every cell that could hold it."""

    zone: Zone
    cells: tuple[int, ...]
    bits: int
    digits: int
    holders: dict[int, int]
    sight: dict[int, int]


def find(position: Position) -> Iterator[Idea]:
    """Every pair of sets that removes something, those with the fewest cells first."""
    for one, other in pairs_of_sets(position):
        yield from _pair(position, one, other)


def pairs_of_sets(position: Position) -> Iterator[tuple[LockedButOne, LockedButOne]]:
    """Every two sets, those with the fewest cells first."""
    by_size: dict[int, list[LockedButOne]] = {}
    for locked in _sets(position):
        by_size.setdefault(len(locked.cells), []).append(locked)
    for total in range(3, 2 * LARGEST + 1):
        for size in range(1, total // 2 + 1):
            first, second = by_size.get(size, []), by_size.get(total - size, [])
            if 2 * size == total:
                yield from combinations(first, 2)
            else:
                yield from ((one, other) for one in first for other in second)


def _sets(position: Position) -> Iterator[LockedButOne]:
    masks, layout = position.masks, position.layout
    seen: set[int] = set()
    for zone in layout.zones:
        cells = list(open_cells(position, zone))
        for size in range(1, LARGEST + 1):
            for chosen in combinations(cells, size):
                digits = 0
                for cell in chosen:
                    digits |= masks[cell]
                if digits.bit_count() != size + 1:
                    continue
                bits = bits_of(chosen)
                if bits in seen:
                    continue
                seen.add(bits)
                holders = {d: bits & position.where[d] for d in members(digits)}
                sight = {d: common_sight(layout, members(held)) for d, held in holders.items()}
                yield LockedButOne(zone, chosen, bits, digits, holders, sight)


def _pair(position: Position, one: LockedButOne, other: LockedButOne) -> Iterator[Idea]:
    shared = one.digits & other.digits
    if one.bits & other.bits or shared.bit_count() < 2:
        return
    for x in members(shared):
        if other.holders[x] & ~one.sight[x]:
            continue
        for z in members(shared & ~(1 << x)):
            targets = one.sight[z] & other.sight[z] & position.where[z]
            if targets:
                yield _idea(position, one, other, (x, z), targets)


def _idea(
    position: Position, one: LockedButOne, other: LockedButOne, xz: tuple[int, int], targets: int
) -> Idea:
    layout = position.layout
    x, z = xz
    removes = tuple((cell, z) for cell in members(targets))
    switches: list[Switch] = [s.zone.switch for s in (one, other) if len(s.cells) > 1]
    for cell in members(other.holders[x]):
        switches += layout.links(members(one.holders[x]), cell)
    for cell in members(targets):
        for locked in (one, other):
            switches += layout.links(members(locked.holders[z]), cell)
    return Idea(
        NAME,
        removes=removes,
        cells=(*one.cells, *other.cells),
        switches=tuple(dict.fromkeys(switches)),
        shown=(*one.cells, *other.cells),
        digits=(x, z),
        say=partial(_say, layout, one, other, xz, removes),
    )


def both_said(layout: Layout, one: LockedButOne, other: LockedButOne) -> str:
    """Two such sets in words: ``r1c2 and r1c5, with 2, 5 and 9, and r4c2, with 2 and 9,``."""
    return " and ".join(
        f"{cell_names(layout, s.cells)}, with {digit_names(layout, members(s.digits))},"
        for s in (one, other)
    )


def _say(
    layout: Layout,
    one: LockedButOne,
    other: LockedButOne,
    xz: tuple[int, int],
    removes: tuple[Mark, ...],
) -> str:
    x, z = map(layout.symbol, xz)
    sets = both_said(layout, one, other)
    return (
        f"{sets} are each one digit short of locked, and cannot both hold {x}: one of them holds {z}, "
        f"{removal(layout, removes)}"
    )
