"""Two crossing houses with disjoint subsets.

Cells where two houses cross, with some further cells of the first house and some of the second, hold
between them as many digits as there are cells, and no digit stands both among the further cells of the
first and of the second. Cells that could hold one digit then all see one another, so each digit falls
just once: those that the first house's further cells have are removed from the rest of the first house,
likewise the second, and what only the crossing has is removed from both.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import partial
from itertools import combinations

from gridassay.verify.solving.board.ideas import (
    Idea,
    cell_names,
    digit_names,
    marks_at,
    removal,
    zone_said,
)
from gridassay.verify.solving.board.position import Layout, Mark, Position, Zone, bits_of, members

NAME = "crossing houses"
MOST_BESIDE = 3
"""The most further cells of each house."""


def find(position: Position) -> Iterator[Idea]:
    """For every two houses that share two cells or more."""
    for first, second in combinations(position.layout.full_zones, 2):
        shared = [c for c in members(first.bits & second.bits) if not position.is_placed(c)]
        for size in range(2, len(shared) + 1):
            for middle in combinations(shared, size):
                digits = _union(position, middle)
                if digits.bit_count() >= size + 2:
                    yield from _beside(position, (first, second), middle, digits)


def _union(position: Position, cells: Sequence[int]) -> int:
    digits = 0
    for cell in cells:
        digits |= position.masks[cell]
    return digits


def _beside(
    position: Position, zones: tuple[Zone, Zone], middle: tuple[int, ...], digits: int
) -> Iterator[Idea]:
    first, second = zones
    wanted = digits.bit_count() - len(middle)
    ours = _further(position, first, second, digits)
    theirs = _further(position, second, first, digits)
    for gain, sets in ours.items():
        for cells, own in sets:
            for others, their in theirs.get(wanted - gain, []):
                if not own & their:
                    yield from _idea(position, zones, (middle, cells, others), (digits, own, their))


def _further(
    position: Position, zone: Zone, other: Zone, digits: int
) -> dict[int, list[tuple[tuple[int, ...], int]]]:
    """Sets of a house's cells off the crossing, by how many of the crossing's digits they use up."""
    cells = members(zone.bits & ~other.bits & ~position.placed)
    found: dict[int, list[tuple[tuple[int, ...], int]]] = {}
    for size in range(1, MOST_BESIDE + 1):
        for chosen in combinations(cells, size):
            own = _union(position, chosen)
            gain = size - (own & ~digits).bit_count()
            if gain > 0 and own & digits:
                found.setdefault(gain, []).append((chosen, own))
    return found


def _idea(
    position: Position,
    zones: tuple[Zone, Zone],
    sets: tuple[tuple[int, ...], tuple[int, ...], tuple[int, ...]],
    digits: tuple[int, int, int],
) -> Iterator[Idea]:
    layout = position.layout
    first, second = zones
    middle, ours, theirs = sets
    whole, own, their = digits
    cells = (*middle, *ours, *theirs)
    rest = ~bits_of(cells)
    removes: list[Mark] = []
    for digit in members(whole | own | their):
        if not their >> digit & 1:
            removes += marks_at(position, first.bits & rest, digit)
        if not own >> digit & 1:
            removes += marks_at(position, second.bits & rest, digit)
    if not removes:
        return
    struck = tuple(dict.fromkeys(removes))
    yield Idea(
        NAME,
        removes=struck,
        cells=cells,
        switches=(first.switch, second.switch),
        shown=cells,
        digits=members(whole | own | their),
        say=partial(_say, layout, zones, cells, members(whole | own | their), struck),
    )


def _say(
    layout: Layout,
    zones: tuple[Zone, Zone],
    cells: tuple[int, ...],
    digits: tuple[int, ...],
    removes: tuple[Mark, ...],
) -> str:
    first, second = (zone_said(layout, zone) for zone in zones)
    return (
        f"{cell_names(layout, cells)}, where {first} and {second} cross and beside, hold "
        f"{digit_names(layout, digits)} once each, {removal(layout, removes)}"
    )
