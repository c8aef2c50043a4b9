"""Equal cells: if a rule gives two cells the same digit, what is known of one holds for the other.

A palindrome does, and a copy. Which cells are so joined is asked of the rule's meaning, once for a
puzzle: two cells are equal when no filling of the rule has different digits in them.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import lru_cache, partial

from gridassay.verify.engines.questions import Switch
from gridassay.verify.solving.board.ideas import (
    Idea,
    cell_names,
    digit_names,
    premise_name,
    removal,
)
from gridassay.verify.solving.board.position import Layout, Position, members
from gridassay.verify.solving.rule_meaning.fillings import RuleFillings, fillings_of

NAME = "equal cells"

Cells = tuple[int, ...]


@dataclass(frozen=True, slots=True, eq=False)
class Equal:
    """Cells that a rule, or a part of one, gives the same digit."""

    switch: Switch
    cells: Cells


def find(position: Position) -> Iterator[Idea]:
    """For every cell with an equal: the digit that it settles there, or the candidates that it leaves."""
    for equal in _equal(position.layout):
        for cell in equal.cells:
            mask = position.masks[cell]
            others = [other for other in equal.cells if position.masks[other] & ~mask]
            if others:
                yield _idea(position, equal, cell, tuple(others))


@lru_cache(maxsize=16)
def _equal(layout: Layout) -> tuple[Equal, ...]:
    return tuple(
        Equal(rule.switch, cells)
        for rule in fillings_of(layout)
        # The order of groups depends on the fillings that were found.
        for cells in sorted(_groups(rule))
        if len(cells) > 1
    )


def _groups(rule: RuleFillings) -> Iterator[Cells]:
    """The cells of a rule, in groups that are equal in every filling."""
    waiting = list(_apart([rule.cells], rule, rule.filling({})))
    while waiting:
        group = waiting.pop(0)
        differing = _differing(rule, group)
        if differing is None:
            yield group
        else:
            waiting = [*_apart([group, *waiting], rule, differing)]


def _apart(
    groups: Iterable[Cells], rule: RuleFillings, filling: tuple[int, ...] | None
) -> Iterator[Cells]:
    """Groups of cells divided by their digits in a filling; none where the rule has no filling."""
    digit_of = dict(zip(rule.cells, filling or (), strict=False))
    for group in groups:
        shares = defaultdict(list)
        for cell in group if filling else ():
            shares[digit_of[cell]].append(cell)
        yield from map(tuple, shares.values())


def _differing(rule: RuleFillings, group: Cells) -> tuple[int, ...] | None:
    """A filling in which a cell of the group is not the same as its first one."""
    every = rule.layout.all_digits
    for other in group[1:]:
        for digit in members(every):
            found = rule.filling({group[0]: 1 << digit, other: every & ~(1 << digit)})
            if found:
                return found
    return None


def _idea(position: Position, equal: Equal, cell: int, others: Cells) -> Idea:
    layout, mask = position.layout, position.masks[cell]
    equals = (
        f"{cell_names(layout, others)} {'equals' if len(others) == 1 else 'equal'} "
        f"{layout.cells[cell]} by {premise_name(layout, equal.switch)}"
    )
    idea = partial(Idea, NAME, cells=(cell,), switches=(equal.switch,), shown=(cell,))
    if mask.bit_count() == 1 and all(position.masks[other] & mask for other in others):
        (digit,) = members(mask)
        so = f"so {'it is' if len(others) == 1 else 'they are'} {layout.symbol(digit)}"
        return idea(places=tuple((other, digit) for other in others), say=lambda: f"{equals}, {so}")
    removes = tuple(
        (other, digit) for other in others for digit in members(position.masks[other] & ~mask)
    )
    never = digit_names(layout, sorted({digit for _, digit in removes}), "or")
    so = f"and {layout.cells[cell]} is not {never}, {removal(layout, removes)}"
    return idea(removes=removes, say=lambda: f"{equals}, {so}")
