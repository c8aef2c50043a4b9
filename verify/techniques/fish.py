"""X-wing, swordfish and jellyfish, plain, finned and sashimi.

Two, three or four rows in which every place of a digit lies in as many columns: the digit leaves the
rest of those columns; and the same with rows and columns exchanged. A fish with *fins*, places beyond
its columns, removes only from cells that see every fin: if no fin holds the digit, the fish is plain.
*Sashimi*: without its fins some row would have a single place left in the columns.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from itertools import combinations

from gridassay.verify.position import Position, Zone, members
from gridassay.verify.techniques.base import (
    Finder,
    Idea,
    called,
    cell_names,
    common_sight,
    listed,
    removal,
)

NAMES = {2: "X-wing", 3: "swordfish", 4: "jellyfish"}
MOST_EXTRA = 2
"""Columns beyond the fish's own that fins may lie in: all fins are seen from one cell in them."""


def plain(size: int) -> Finder:
    """The finder of fish of a size without fins."""
    return partial(_find, size=size, fins=False)


def finned(size: int) -> Finder:
    """The finder of fish of a size with fins, sashimi among them."""
    return partial(_find, size=size, fins=True)


def _find(position: Position, size: int, fins: bool) -> Iterator[Idea]:
    full = position.layout.full_zones
    rows = [zone for zone in full if zone.kind == "row"]
    columns = [zone for zone in full if zone.kind == "column"]
    for bases, covers in ((rows, columns), (columns, rows)):
        for digit, cells in enumerate(position.where):
            open_cells = cells & ~position.placed
            yield from _of_digit(position, digit, open_cells, bases, covers, size, fins)


def _of_digit(
    position: Position,
    digit: int,
    cells: int,
    bases: list[Zone],
    covers: list[Zone],
    size: int,
    fins: bool,
) -> Iterator[Idea]:
    most = size + (MOST_EXTRA if fins else 0)
    lines: list[tuple[Zone, int, int]] = []
    for base in bases:
        spots = cells & base.bits
        if spots & (spots - 1):
            touched = 0
            for place, cover in enumerate(covers):
                touched |= bool(spots & cover.bits) << place
            if touched.bit_count() <= most:
                lines.append((base, spots, touched))
    for chosen in combinations(lines, size):
        touched = 0
        for _, _, own in chosen:
            touched |= own
        if touched.bit_count() > most or (touched.bit_count() > size) is not fins:
            continue
        places = [own for _, own, _ in chosen]
        zones = [base for base, _, _ in chosen]
        for picked in combinations(members(touched), size):
            idea = _idea(position, digit, zones, places, [covers[place] for place in picked])
            # Where two grids overlap a row can lie in two columns at one cell: no fin after all.
            if idea and (idea.technique not in NAMES.values()) is fins:
                yield idea


def _idea(
    position: Position, digit: int, bases: list[Zone], spots: list[int], covers: list[Zone]
) -> Idea | None:
    layout = position.layout
    covered = based = places = 0
    for cover in covers:
        covered |= cover.bits
    for base, own in zip(bases, spots, strict=True):
        if based & base.bits:
            # Rows of two overlapping grids may share a place: they do not count twice.
            return None
        based |= base.bits
        places |= own
    fins = places & ~covered
    targets = position.where[digit] & covered & ~based & ~position.placed
    if not targets:
        return None
    targets &= common_sight(layout, members(fins))
    if not targets or not all(own & covered for own in spots):
        return None
    removes = tuple((cell, digit) for cell in members(targets))
    links = [switch for cell in members(targets) for switch in layout.links(members(fins), cell)]
    body = members(places & covered)
    name = NAMES[len(bases)]
    if fins:
        thin = any((own & covered).bit_count() == 1 for own in spots)
        name = f"{'sashimi' if thin else 'finned'} {name}"

    def say() -> str:
        kinds = f"{listed(zone.name for zone in bases)}"
        lie = f"{layout.symbol(digit)} in {kinds} lies in {listed(zone.name for zone in covers)}"
        if not fins:
            return f"{lie} only, {removal(layout, removes)}"
        names = cell_names(layout, members(fins), "or")
        seen = listed(dict.fromkeys(called(layout, switch) for switch in links))
        return f"{lie} or in {names}; each way is seen, by {seen}, {removal(layout, removes)}"

    return Idea(
        name,
        removes=removes,
        spots=tuple((digit, base) for base in bases),
        switches=tuple(dict.fromkeys([*(cover.switch for cover in covers), *links])),
        shown=(*body, *members(fins)),
        digits=(digit,),
        say=say,
    )
