"""Cells of a zone with fewer digits than they are, and digits with fewer cells."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from gridassay.verify.solving.board.position import Zone, bits_of, members
from gridassay.verify.solving.rule_meaning.arguments import Clash, State

_MOST_SHORT = 4
"""The most cells that share too few digits, or digits that share too few cells."""


def places_in(state: State, digit: int, zone: Zone) -> list[int]:
    """The cells of a zone that can have a digit."""
    return [cell for cell in zone.cells if state.masks[cell] >> digit & 1]


def short_of_digits(state: State, zone: Zone) -> Iterator[Clash]:
    """The fewest cells of a zone that have fewer digits than they are."""
    open_cells = [
        (cell, state.masks[cell])
        for cell in zone.cells
        if state.masks[cell].bit_count() < _MOST_SHORT
        and (cell not in state.decided or not state.masks[cell])
    ]
    for size in range(1, _MOST_SHORT + 1):
        for several in combinations(open_cells, size):
            union = 0
            for _, mask in several:
                union |= mask
            if union.bit_count() < size:
                yield Clash(tuple(cell for cell, _ in several), members(union), zone)
                return


def short_of_cells(state: State, zone: Zone, digits: int) -> Iterator[Clash]:
    """The fewest of some digits (a bit set) that have fewer cells of a zone than they are."""
    placed = 0
    for cell in zone.cells:
        if cell in state.decided:
            placed |= state.masks[cell]
    open_digits = []
    for digit in members(digits & ~placed):
        places = bits_of(places_in(state, digit, zone))
        if places.bit_count() < _MOST_SHORT:
            open_digits.append((digit, places))
    for size in range(1, _MOST_SHORT + 1):
        for several in combinations(open_digits, size):
            union = 0
            for _, places in several:
                union |= places
            if union.bit_count() < size:
                told = tuple(digit for digit, _ in several)
                yield Clash(members(union), told, zone, by_digits=True)
                return
