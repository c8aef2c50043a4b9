"""Naked pair, triple and quad: k cells share k candidates, which no other cell of the house can have.

This holds for three cells with three candidates even if each has only two of them. The cells may be of
any zone without repeats, a cage or a diagonal as well as a house.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import partial

from gridassay.verify.solving.board.ideas import (
    Finder,
    Idea,
    cell_names,
    digit_names,
    zone_in,
)
from gridassay.verify.solving.board.position import ALL, Position, Zone, bits_of, members
from gridassay.verify.solving.techniques.house_words import rest_removal

NAMES = {2: "naked pair", 3: "naked triple", 4: "naked quad"}


def of_size(size: int) -> Finder:
    """The finder of naked sets of one size."""
    return partial(_find, size=size)


def pairs(position: Position, touched: int) -> Iterator[Idea]:
    """Naked pairs in the zones with ``touched`` cells (a bit set)."""
    return _find(position, touched, size=2)


def _find(position: Position, touched: int = ALL, *, size: int) -> Iterator[Idea]:
    masks = position.masks
    for zone in position.layout.zones:
        if not zone.bits & touched:
            continue
        cells = [
            cell
            for cell in zone.cells
            if not position.placed >> cell & 1 and 1 < masks[cell].bit_count() <= size
        ]
        if len(cells) < size:
            continue
        for chosen, union in subsets(masks, cells, size):
            idea = _idea(position, zone, chosen, union)
            if idea:
                yield idea


def subsets(
    masks: Sequence[int], items: Sequence[int], size: int
) -> Iterator[tuple[tuple[int, ...], int]]:
    """Every ``size`` of the items whose masks together have just ``size`` bits, with those bits."""
    stack: list[tuple[tuple[int, ...], int, int]] = [((), 0, 0)]
    while stack:
        chosen, union, start = stack.pop()
        if len(chosen) == size:
            if union.bit_count() == size:
                yield chosen, union
            continue
        for place in range(len(items) - (size - len(chosen)), start - 1, -1):
            wider = union | masks[items[place]]
            if wider.bit_count() <= size:
                stack.append(((*chosen, items[place]), wider, place + 1))


def _idea(position: Position, zone: Zone, chosen: tuple[int, ...], union: int) -> Idea | None:
    layout = position.layout
    rest = zone.bits & ~bits_of(chosen)
    removes = tuple(
        (cell, digit) for digit in members(union) for cell in members(rest & position.where[digit])
    )
    if not removes:
        return None
    return Idea(
        NAMES[len(chosen)],
        removes=removes,
        cells=chosen,
        switches=(zone.switch,),
        shown=chosen,
        digits=members(union),
        say=lambda: (
            f"{zone_in(layout, zone)}, {cell_names(layout, chosen)} hold "
            f"{digit_names(layout, members(union))} between them, "
            f"{rest_removal(position, (zone.switch,), bits_of(chosen), removes)}"
        ),
    )
