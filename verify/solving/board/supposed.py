"""Candidates one of which is supposed: values of an unknown, or one digit in several cells."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from gridassay.verify.solving.board.position import Layout, Mark, Position, members


def ruled_out(position: Position, supposed: Sequence[Mark]) -> tuple[Mark, ...]:
    """The candidates that are gone whichever of the supposed ones is true."""
    layout, (first, *others) = position.layout, supposed
    return tuple(
        mark
        for mark in _lost_to(position, first)
        if all(_excludes(layout, other, mark) for other in others)
    )


def _lost_to(position: Position, mark: Mark) -> Iterator[Mark]:
    unknown, value = mark
    for other in members(position.masks[unknown] & ~(1 << value)):
        yield unknown, other
    if position.layout.is_cell(unknown):
        for cell in members(position.layout.sees[unknown] & position.where[value]):
            yield cell, value


def _excludes(layout: Layout, mark: Mark, other: Mark) -> bool:
    (unknown, value), (one, its) = mark, other
    if unknown == one:
        return value != its
    cells = layout.is_cell(unknown) and layout.is_cell(one)
    return cells and value == its and bool(layout.sees[unknown] >> one & 1)


def can_be_supposed(layout: Layout, supposed: Sequence[Mark]) -> bool:
    """Whether these candidates are those of one unknown, or one digit in several cells."""
    if len({unknown for unknown, _ in supposed}) == 1:
        return True
    return len({value for _, value in supposed}) == 1 and all(
        layout.is_cell(unknown) for unknown, _ in supposed
    )
