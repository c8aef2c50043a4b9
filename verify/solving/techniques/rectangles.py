"""Unique, hidden and avoidable rectangles, for puzzles promised to have one solution.

Four cells where two rows and two columns cross, in two boxes, must not come down to two digits a, b:
swapping them would give a second solution. Of a *unique* rectangle two or three cells have no other
candidate, and what would complete it is removed: the fourth cell's a and b; the extra candidate that
two cells share, from cells that see both; or b from two cells that hold the only places of a in some
house. Two cells of a house that share no one extra candidate still hold one of their extra ones between
them, as a single cell would: with k more cells of the house that have k + 1 digits together with it
they are a naked set, whose digits are removed from the rest of the house. In a *hidden* rectangle one
cell has only a and b, and a has its only places of the opposite row and column in the rectangle: the
opposite cell loses b. In an *avoidable* rectangle three cells are solved, none of them given: the
fourth loses the digit that would complete it.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from itertools import combinations

from gridassay.verify.engines.questions import Switch
from gridassay.verify.solving.board.ideas import (
    Idea,
    Spot,
    cell_names,
    digit_names,
    marks_at,
    removal,
)
from gridassay.verify.solving.board.position import Layout, Mark, Position, Zone, bits_of, members
from gridassay.verify.solving.techniques.uniqueness import has_twin

MOST_BESIDE = 3
"""Cells of a house that make a naked set with what else is in a rectangle."""

UNIQUE, HIDDEN, AVOIDABLE = "unique rectangle", "hidden rectangle", "avoidable rectangle"

Corners = tuple[int, int, int, int]
"""Top left, top right, bottom left, bottom right."""


def unique_rectangles(position: Position) -> Iterator[Idea]:
    """Rectangles two or three of whose cells have just the two digits."""
    for corners in _rectangles(position):
        if any(position.is_placed(cell) for cell in corners):
            continue
        for pair in _shared_pairs(position, corners):
            if not has_twin(position, tuple((cell, pair) for cell in corners)):
                continue
            bare = [cell for cell in corners if position.masks[cell] == pair]
            more = [cell for cell in corners if position.masks[cell] != pair]
            if len(bare) == 3:
                removes = tuple((more[0], digit) for digit in members(pair))
                yield _idea(position, UNIQUE, corners, pair, removes, cells=tuple(bare))
            elif len(bare) == 2 and position.layout.sees[more[0]] >> more[1] & 1:
                yield from _two_more(position, corners, pair, (more[0], more[1]))


def _two_more(
    position: Position, corners: Corners, pair: int, more: tuple[int, int]
) -> Iterator[Idea]:
    layout = position.layout
    bare = tuple(cell for cell in corners if cell not in more)
    extra = {position.masks[cell] & ~pair for cell in more}
    if len(extra) == 1 and (single := extra.pop()).bit_count() == 1:
        digit = single.bit_length() - 1
        seen = layout.sees[more[0]] & layout.sees[more[1]]
        removes = marks_at(position, seen & ~bits_of(corners), digit)
        if removes:
            links = [s for cell, _ in removes for s in layout.links(more, cell)]
            yield _idea(
                position, UNIQUE, corners, pair, removes, cells=corners, switches=tuple(links)
            )
    yield from _with_a_set(position, corners, pair, more)
    for zone in layout.full_zones:
        if zone.bits & bits_of(more) != bits_of(more):
            continue
        for digit in members(pair):
            if position.where[digit] & zone.bits == bits_of(more):
                other = (pair & ~(1 << digit)).bit_length() - 1
                removes = tuple((cell, other) for cell in more)
                yield _idea(
                    position, UNIQUE, corners, pair, removes, cells=bare, spots=((digit, zone),)
                )


def _with_a_set(
    position: Position, corners: Corners, pair: int, more: tuple[int, int]
) -> Iterator[Idea]:
    """The extra candidates of two cells as those of one, in a naked set of a house."""
    layout = position.layout
    extra = (position.masks[more[0]] | position.masks[more[1]]) & ~pair
    if extra.bit_count() < 2:
        return
    for zone in layout.zones:
        if zone.bits & bits_of(more) != bits_of(more):
            continue
        beside = [
            cell
            for cell in members(zone.bits & ~bits_of(corners) & ~position.placed)
            if not position.masks[cell] & pair
        ]
        for size in range(1, MOST_BESIDE + 1):
            for chosen in combinations(beside, size):
                digits = extra
                for cell in chosen:
                    digits |= position.masks[cell]
                if digits.bit_count() != size + 1:
                    continue
                rest = zone.bits & ~bits_of(corners) & ~bits_of(chosen)
                removes = tuple(
                    mark for digit in members(digits) for mark in marks_at(position, rest, digit)
                )
                if removes:
                    yield _idea(
                        position,
                        UNIQUE,
                        corners,
                        pair,
                        removes,
                        cells=(*corners, *chosen),
                        switches=(zone.switch,),
                        beside=chosen,
                    )


def hidden_rectangles(position: Position) -> Iterator[Idea]:
    """Rectangles with one cell of just the two digits, and a digit confined opposite."""
    layout = position.layout
    for corners in _rectangles(position):
        if any(position.is_placed(cell) for cell in corners):
            continue
        for place, start in enumerate(corners):
            opposite = corners[3 - place]
            pair = position.masks[start]
            if pair.bit_count() != 2 or any(pair & ~position.masks[cell] for cell in corners):
                continue
            if not has_twin(position, tuple((cell, pair) for cell in corners)):
                continue
            rectangle = bits_of(corners)
            lines = [
                zone
                for zone in layout.zones_of[opposite]
                if zone.full and zone.kind in ("row", "column")
            ]
            for digit in members(pair):
                spots: tuple[Spot, ...] = tuple(
                    (digit, zone)
                    for zone in lines
                    if not position.where[digit] & zone.bits & ~rectangle
                )
                other = (pair & ~(1 << digit)).bit_length() - 1
                if len(spots) == 2 and position.has((opposite, other)):
                    removes = ((opposite, other),)
                    yield _idea(
                        position, HIDDEN, corners, pair, removes, cells=(start,), spots=spots
                    )


def avoidable_rectangles(position: Position) -> Iterator[Idea]:
    """Rectangles with three solved cells, none of the four given."""
    for corners in _rectangles(position):
        solved = [cell for cell in corners if position.is_placed(cell)]
        if len(solved) != 3 or any(position.given >> cell & 1 for cell in corners):
            continue
        last = next(cell for cell in corners if cell not in solved)
        opposite = corners[3 - corners.index(last)]
        sides = [position.masks[cell] for cell in solved if cell != opposite]
        digit = position.masks[opposite]
        pair = digit | sides[0]
        if sides[0] != sides[1] or pair.bit_count() != 2 or not digit & position.masks[last]:
            continue
        if has_twin(position, tuple((cell, pair) for cell in corners)):
            removes = ((last, digit.bit_length() - 1),)
            yield _idea(position, AVOIDABLE, corners, pair, removes, cells=tuple(solved))


def _rectangles(position: Position) -> Iterator[Corners]:
    """Where two rows and two columns of one grid cross."""
    canvas, index = position.layout.canvas, position.layout.index
    for grid in canvas.grids:
        for top, bottom in combinations(grid.rows, 2):
            for left, right in combinations(range(grid.size), 2):
                cells = (top[left], top[right], bottom[left], bottom[right])
                yield (index[cells[0]], index[cells[1]], index[cells[2]], index[cells[3]])


def _shared_pairs(position: Position, corners: Corners) -> Iterator[int]:
    """Two digits that all four cells have, if some cell has no other."""
    shared = position.layout.all_digits
    for cell in corners:
        shared &= position.masks[cell]
    if shared.bit_count() >= 2:
        masks = {position.masks[cell] for cell in corners}
        yield from (mask for mask in masks if mask.bit_count() == 2 and not mask & ~shared)


def _idea(
    position: Position,
    name: str,
    corners: Corners,
    pair: int,
    removes: tuple[Mark, ...],
    *,
    cells: tuple[int, ...],
    spots: tuple[tuple[int, Zone], ...] = (),
    switches: tuple[Switch, ...] = (),
    beside: tuple[int, ...] = (),
) -> Idea:
    layout = position.layout
    one, two, three, four = corners
    sides = [layout.link(*ends) for ends in ((one, two), (three, four), (one, three), (two, four))]
    return Idea(
        name,
        removes=removes,
        cells=cells,
        spots=spots,
        switches=tuple(dict.fromkeys([*sides, *switches])),
        shown=(*corners, *beside),
        digits=members(pair),
        deadly=tuple((cell, pair) for cell in corners),
        say=partial(_say, layout, corners, pair, beside, removes),
    )


def _say(
    layout: Layout,
    corners: Corners,
    pair: int,
    beside: tuple[int, ...],
    removes: tuple[Mark, ...],
) -> str:
    with_set = f", so what else is there makes a naked set with {cell_names(layout, beside)}"
    return (
        f"as one solution is promised, {cell_names(layout, corners)} cannot all come down to "
        f"{digit_names(layout, members(pair))}, which could be exchanged"
        f"{with_set if beside else ''}, {removal(layout, removes)}"
    )
