"""The readings of a claim that leaves its conclusion open."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from typing import TypeVar

from gridassay.encodings.pace import pace
from gridassay.verify.listening.heard import Heard
from gridassay.verify.solving.board.ideas import Idea
from gridassay.verify.solving.board.position import Layout, Position
from gridassay.verify.solving.techniques import SINGLES, TECHNIQUES
from gridassay.verify.solving.techniques.names import techniques_meant

_NEAR, _CLEARLY = 2, 2
"""The most cells from the last claim, and how much nearer than any other reading it must be."""

Reading = TypeVar("Reading")


def readings_of(
    heard: Heard, position: Position, holds: Callable[[Position, Idea], bool]
) -> list[list[Idea]]:
    """The ideas that agree with what was said, grouped by conclusion."""
    names = techniques_meant(heard.technique) if heard.technique else tuple(SINGLES)
    together: dict[frozenset[tuple[int, int]], list[Idea]] = {}
    for technique in TECHNIQUES:
        if not {*technique.names} & {*names}:
            continue
        for idea in technique.find(position):
            pace()
            if idea.technique not in names or not _agrees(heard, idea, position):
                continue
            open_marks = frozenset(
                mark
                for mark in idea.marks
                if (position.has(mark) if mark in idea.removes else True)
            )
            if open_marks in together:
                together[open_marks].append(idea)
            elif holds(position, idea):
                together[open_marks] = [idea]
    return list(together.values())


def _agrees(heard: Heard, idea: Idea, position: Position) -> bool:
    cells = {position.layout.index[cell] for cell in heard.cells}
    if not cells <= {*idea.shown, *idea.touched}:
        return False
    digits = {position.layout.digit_index[digit] for digit in heard.digits}
    if not digits <= {*idea.digits, *(digit for _, digit in idea.marks)}:
        return False
    premises = {position.layout.premise_of(switch).name for switch in idea.all_switches}
    if not premises.issuperset(heard.rules):
        return False
    return all(house in premises or _within(house, idea, position) for house in heard.houses)


def _within(house: str, idea: Idea, position: Position) -> bool:
    """Whether the cells of a pattern lie in a house; if it has none, those of its conclusion."""
    cells = set(idea.shown) or set(idea.touched)
    return cells <= set(position.layout.scope(house))


def already_so(heard: Heard, position: Position) -> bool:
    """Whether the one digit mentioned has its place in the one house mentioned."""
    if len(heard.digits) != 1 or len(heard.houses) != 1:
        return False
    digit = position.layout.digit_index[heard.digits[0]]
    cells = position.layout.scope(heard.houses[0])
    return any(position.is_placed(cell) and position.has((cell, digit)) for cell in cells)


def outside(heard: Heard, layout: Layout) -> str:
    """The house or rule that was named with a placed cell that does not lie in it; empty if none was."""
    for cell, _ in heard.places:
        index = layout.index[cell]
        for name in heard.houses:
            if index not in layout.scope(name):
                return name
        if heard.rules and not heard.technique and index not in layout.span(heard.rules[0]):
            return layout.said.get(heard.rules[0], heard.rules[0])
    return ""


def left_over(heard: Heard, position: Position) -> Heard:
    """A strike from the rest of a house, kept to those of its cells that have other digits too."""
    if not heard.rest:
        return heard
    layout = position.layout
    struck = sum(1 << layout.digit_index[digit] for digit in {one for _, one in heard.removes})
    masks = position.masks
    free = [one for one in heard.removes if masks[layout.index[one[0]]] & ~struck]
    free = [one for one in free if not position.is_placed(layout.index[one[0]])]
    return replace(heard, removes=tuple(free or heard.removes))


def nearest(
    readings: Sequence[Reading],
    cells: Callable[[Reading], Iterable[int]],
    last: Sequence[int],
    layout: Layout,
) -> Sequence[Reading]:
    """The one reading whose cells are clearly nearest to those last spoken of; else all."""
    if len(readings) < 2 or not last:
        return readings

    def apart(one: int, other: int) -> int:
        here, there = layout.cells[one], layout.cells[other]
        return max(abs(here.row - there.row), abs(here.column - there.column))

    def far(reading: Reading) -> int:
        return min(apart(one, other) for one in cells(reading) for other in last)

    ranked = sorted(readings, key=far)
    clear = far(ranked[0]) <= _NEAR and far(ranked[1]) - far(ranked[0]) >= _CLEARLY
    return ranked[:1] if clear else readings
