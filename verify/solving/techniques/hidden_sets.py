"""Hidden pair, triple and quad: k digits have just k cells of a house between them.

Whatever else stands in those cells goes. Each digit's places are a premise, so that the reason stays
short: k places and one house.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from gridassay.verify.solving.board.ideas import (
    Finder,
    Idea,
    cell_names,
    digit_names,
    removal,
    zone_in,
)
from gridassay.verify.solving.board.position import ALL, Layout, Mark, Position, Zone, members
from gridassay.verify.solving.techniques.naked_sets import subsets

NAMES = {2: "hidden pair", 3: "hidden triple", 4: "hidden quad"}


def of_size(size: int) -> Finder:
    """The finder of hidden sets of one size."""
    return partial(_find, size=size)


def pairs(position: Position, touched: int) -> Iterator[Idea]:
    """Hidden pairs in the houses with ``touched`` cells (a bit set)."""
    return _find(position, touched, size=2)


def _find(position: Position, touched: int = ALL, *, size: int) -> Iterator[Idea]:
    layout = position.layout
    for zone in layout.full_zones:
        if not zone.bits & touched:
            continue
        places = [cells & zone.bits for cells in position.where]
        digits = [d for d, spots in enumerate(places) if 1 < spots.bit_count() <= size]
        if len(digits) < size:
            continue
        for chosen, union in subsets(places, digits, size):
            cells = members(union)
            removes = tuple(
                (cell, digit)
                for cell in cells
                for digit in members(position.masks[cell])
                if digit not in chosen
            )
            if not removes:
                continue
            yield Idea(
                NAMES[size],
                removes=removes,
                spots=tuple((digit, zone) for digit in chosen),
                shown=cells,
                digits=chosen,
                say=partial(_say, layout, zone, chosen, cells, removes),
            )


def _say(
    layout: Layout,
    zone: Zone,
    digits: tuple[int, ...],
    cells: tuple[int, ...],
    removes: tuple[Mark, ...],
) -> str:
    return (
        f"{zone_in(layout, zone)}, {digit_names(layout, digits)} can only be in "
        f"{cell_names(layout, cells)}, {removal(layout, removes)}"
    )
