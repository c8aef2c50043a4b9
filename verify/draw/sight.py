"""Blocking digits: the placed digits that keep equal ones out of the cells of a step."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from gridassay.encodings.grid import Cell
from gridassay.verify.engines.questions import Switch
from gridassay.verify.solving.board.position import Layout, Position, bits_of, members
from gridassay.verify.solving.board.steps import Step


def lines_of_sight(step: Step, position: Position) -> list[tuple[Cell, Cell]]:
    """Lines from the placed digits that leave a placement no choice to the cells that they block.

    If the step places a digit because a house has no other place for it, these are the equal placed
    digits that see the other open cells there, with as few houses and rules as possible: those that
    its sentence names. If it places the only digit left in a cell, they are the other digits, each
    placed where the cell sees it. Other steps rest on candidates and have no such lines.
    """
    if len(step.places) != 1 or step.removes:
        return []
    layout = position.layout
    ((place, digit),) = step.places
    if not isinstance(place, Cell):  # a letter, or a value of a layer
        return []
    cell, value = layout.index[place], layout.digit_index[digit]
    if step.cells == (place,) and not (step.houses or step.rules):
        blocks = _round(position, cell, value)
    elif step.digits == (digit,) and not step.cells:
        blocks = {}
        named = {*step.houses, *step.rules}
        for zone in layout.full_zones:
            if zone.name in named and zone.bits >> cell & 1:
                left = zone.bits & ~position.placed & ~(1 << cell)
                holders = position.where[value] & position.placed & ~zone.bits
                blocks = _covering(layout, members(holders), left)
                break
    else:
        return []
    return [
        (layout.cells[holder], layout.cells[blocked])
        for holder, bits in blocks.items()
        for blocked in _farthest(layout, holder, bits)
    ]


def _covering(layout: Layout, holders: Iterable[int], left: int) -> dict[int, int]:
    """Holders, and the cells of ``left`` that each blocks, by few houses and rules, most cells first."""
    covers: dict[Switch, dict[int, int]] = {}
    for holder in holders:
        for blocked in members(layout.sees[holder] & left):
            by = covers.setdefault(layout.link(holder, blocked), {})
            by[holder] = by.get(holder, 0) | 1 << blocked
    found: dict[int, int] = {}
    while covers:
        best = max(covers.values(), key=lambda by: (_union(by) & left).bit_count())
        if not _union(best) & left:
            break
        for holder, bits in best.items():
            found[holder] = found.get(holder, 0) | bits & left
        left &= ~_union(best)
    return {holder: bits for holder, bits in found.items() if bits}


def _round(position: Position, cell: int, value: int) -> dict[int, int]:
    """For each other digit a placed one that the cell sees, and the cell."""
    seen = position.layout.sees[cell] & position.placed
    first = [
        members(where & seen)[0]
        for digit, where in enumerate(position.where)
        if digit != value and where & seen
    ]
    return dict.fromkeys(first, 1 << cell)


def _union(by: Mapping[int, int]) -> int:
    bits = 0
    for cells in by.values():
        bits |= cells
    return bits


def _farthest(layout: Layout, holder: int, bits: int) -> tuple[int, ...]:
    """The blocked cells, without those that lie on the way to another in a row or a column."""
    start = layout.cells[holder]
    ends: dict[object, int] = {}
    for blocked in members(bits):
        end = layout.cells[blocked]
        down, right = end.row - start.row, end.column - start.column
        way: object = (
            blocked if down and right else ((down > 0) - (down < 0), (right > 0) - (right < 0))
        )
        known = layout.cells[ends[way]] if way in ends else start
        if abs(down) + abs(right) > abs(known.row - start.row) + abs(known.column - start.column):
            ends[way] = blocked
    return members(bits_of(ends.values()))
