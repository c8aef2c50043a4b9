"""X-wing, swordfish and jellyfish, plain, finned and sashimi.

Two, three or four rows in which every place of a digit lies in as many columns: the digit is removed
from the rest of those columns; and the same with rows and columns swapped. A fish with *fins*, places
beyond its columns, removes only from cells that see every fin: if no fin holds the digit, the fish is
plain. *Sashimi*: without its fins some row would have a single place left in the columns.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import lru_cache, partial, reduce
from itertools import combinations
from operator import or_
from typing import NamedTuple

from gridassay.verify.solving.board.ideas import (
    Finder,
    Idea,
    cell_names,
    common_sight,
    removal,
    word_list,
)
from gridassay.verify.solving.board.position import Layout, Position, Zone, members
from gridassay.verify.solving.techniques.sight_words import sights_said

NAMES = {2: "X-wing", 3: "swordfish", 4: "jellyfish"}
MOST_EXTRA = 2
"""The most columns beyond the fish's own with fins: all fins are seen from one cell in them."""


class Fish(NamedTuple):
    """Where a digit's places make a fish, whatever the digit: the cells of body, fins and targets."""

    bases: tuple[Zone, ...]
    covers: tuple[Zone, ...]
    body: int
    fins: int
    targets: int
    thin: bool


class FishLine(NamedTuple):
    """A row (or column) with two places or more: these, and the columns (or rows) they lie in."""

    zone: Zone
    spots: int
    touched: int


def plain(size: int) -> Finder:
    """The finder of fish of a size without fins."""
    return partial(_find, size=size, fins=False)


def finned_finder(size: int) -> Finder:
    """The finder of fish of a size with fins, sashimi among them."""
    return partial(_find, size=size, fins=True)


def _find(position: Position, size: int, fins: bool) -> Iterator[Idea]:
    for kinds in (("row", "column"), ("column", "row")):
        for digit in range(len(position.where)):
            for fish in _fish_in(position.layout, position.open_places(digit), kinds, size, fins):
                yield _idea(position.layout, digit, fish)


@lru_cache(maxsize=1 << 12)
def _fish_in(
    layout: Layout, cells: int, kinds: tuple[str, str], size: int, fins: bool
) -> tuple[Fish, ...]:
    """Every fish that these places of a digit make and that strikes something.

    Kept, since most steps leave most digits as they were.
    """
    bases, covers = ([zone for zone in layout.full_zones if zone.kind == kind] for kind in kinds)
    most = size + (MOST_EXTRA if fins else 0)
    seen_from: dict[int, int] = {0: -1}
    unions: dict[tuple[int, ...], int] = {}
    found = []
    for lines, touched in _choices(_lines(cells, bases, covers), size, most):
        if (touched.bit_count() > size) is not fins:
            continue
        based = places = 0
        for base, spots, _ in lines:
            based |= base.bits
            places |= spots
        open_cells = cells & ~based
        for picked in combinations(members(touched), size):
            covered = unions.get(picked)
            if covered is None:
                covered = unions[picked] = reduce(or_, [covers[place].bits for place in picked])
            loose = places & ~covered
            # If two grids overlap, a row can lie in two columns at one cell: then there is no fin.
            if bool(loose) is not fins:
                continue
            if loose not in seen_from:
                seen_from[loose] = common_sight(layout, members(loose))
            targets = open_cells & covered & seen_from[loose]
            if targets and all(line.spots & covered for line in lines):
                thin = fins and any((line.spots & covered).bit_count() == 1 for line in lines)
                zones = tuple(line.zone for line in lines)
                columns = tuple(covers[place] for place in picked)
                found.append(Fish(zones, columns, places & covered, loose, targets, thin))
    return tuple(found)


def _lines(cells: int, bases: Sequence[Zone], covers: Sequence[Zone]) -> list[FishLine]:
    lines = []
    for base in bases:
        spots = cells & base.bits
        if spots & (spots - 1):
            touched = 0
            for place, cover in enumerate(covers):
                touched |= bool(spots & cover.bits) << place
            lines.append(FishLine(base, spots, touched))
    return lines


def _choices(
    lines: Sequence[FishLine], size: int, most: int
) -> Iterator[tuple[tuple[FishLine, ...], int]]:
    """So many lines that touch no more than ``most`` columns between them, with those columns."""
    begun: list[tuple[tuple[FishLine, ...], int, int]] = [((), 0, 0)]
    for _ in range(size):
        begun = [
            ((*chosen, lines[place]), both, place + 1)
            for chosen, touched, start in begun
            for place in range(start, len(lines))
            if (both := touched | lines[place].touched).bit_count() <= most
        ]
    for chosen, touched, _ in begun:
        # Rows of two overlapping grids may share a place: they do not count twice.
        if not any(one.zone.bits & other.zone.bits for one, other in combinations(chosen, 2)):
            yield chosen, touched


def _idea(layout: Layout, digit: int, fish: Fish) -> Idea:
    fins = members(fish.fins)
    removes = tuple((cell, digit) for cell in members(fish.targets))
    links = [switch for cell, _ in removes for switch in layout.links(fins, cell)]
    name = NAMES[len(fish.bases)]
    if fins:
        name = f"{'sashimi' if fish.thin else 'finned'} {name}"

    def say() -> str:
        kinds = word_list(zone.name for zone in fish.bases)
        lie = f"{layout.symbol(digit)} in {kinds} lies in {word_list(z.name for z in fish.covers)}"
        if not fins:
            return f"{lie} only, {removal(layout, removes)}"
        names = cell_names(layout, fins, "or")
        seen = sights_said(layout, [cell for cell, _ in removes], fins)
        return f"{lie} or in {names}; {seen}, {removal(layout, removes)}"

    return Idea(
        name,
        removes=removes,
        spots=tuple((digit, base) for base in fish.bases),
        switches=tuple(dict.fromkeys([*(cover.switch for cover in fish.covers), *links])),
        shown=(*members(fish.body), *fins),
        digits=(digit,),
        say=say,
    )
