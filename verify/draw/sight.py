"""Blocking digits: the placed digits that keep equal ones out of the cells of a step."""

from __future__ import annotations

from gridassay.encodings.grid import Cell
from gridassay.verify.solving.board.position import Layout, Position, bits_of, members
from gridassay.verify.solving.board.steps import Step
from gridassay.verify.solving.board.zones import Zone
from gridassay.verify.solving.techniques.hidden_single import blockers


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
                blocks = _blocking(position, zone, value, cell)
                break
    else:
        return []
    return [
        (layout.cells[holder], layout.cells[blocked])
        for holder, bits in blocks.items()
        for blocked in _farthest(layout, holder, bits)
    ]


def _blocking(position: Position, zone: Zone, value: int, cell: int) -> dict[int, int]:
    """The holders that a hidden single's sentence speaks of, and the cells that each blocks."""
    found: dict[int, int] = {}
    for one, cells in blockers(position, zone, value, cell)[0].items():
        holders = position.where[value] & position.placed & ~zone.bits
        for holder in members(holders & one.bits) if isinstance(one, Zone) else one[:1]:
            found[holder] = found.get(holder, 0) | cells
    return found


def _round(position: Position, cell: int, value: int) -> dict[int, int]:
    """For each other digit a placed one that the cell sees, and the cell."""
    seen = position.layout.sees[cell] & position.placed
    first = [
        members(where & seen)[0]
        for digit, where in enumerate(position.where)
        if digit != value and where & seen
    ]
    return dict.fromkeys(first, 1 << cell)


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
