"""Naked pairs and triples in which a cage or line stands in for a cell.

Every filling of an 8 cage of three cells has a 2 or a 3. If all its places for these lie in a box,
beside a cell of that box that is 2 or 3, the two use up both digits, which are removed from the rest of
the box. So do k rules and cells of a house, at least one of them a rule, each of which must hold one of
the same k digits. Rules are read by their meaning, from the candidates of their cells.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from itertools import combinations

from gridassay.verify.engines.by_thread import kept_by_thread
from gridassay.verify.solving.board.ideas import (
    Finder,
    Idea,
    cell_names,
    digit_names,
    open_cells,
    premise_name,
    removal,
    word_list,
    zone_said,
)
from gridassay.verify.solving.board.position import (
    Layout,
    Mark,
    Position,
    Zone,
    bits_of,
    members,
)
from gridassay.verify.solving.rule_meaning.fillings import RuleFillings, fillings_of

NAMES = {2: "pair with a rule", 3: "triple with a rule"}


@dataclass(frozen=True, slots=True, eq=False)
class Holder:
    """A holder of one of some digits: a rule, with its places for them, or a cell."""

    places: int
    rule: RuleFillings | None = None


def of_size(size: int) -> Finder:
    """The finder of sets of one size."""
    return partial(_find, size=size)


def _find(position: Position, size: int) -> Iterator[Idea]:
    known = _known_sets(position.layout)
    for number, zone in enumerate(position.layout.full_zones):
        yield from known.ideas(position, number, zone, size)


class _KnownSets:
    """The sets of each house, kept for the candidates of the last look."""

    def __init__(self, layout: Layout) -> None:
        rules = fillings_of(layout)
        self._near = [
            [rule for rule in rules if rule.bits & zone.bits] for zone in layout.full_zones
        ]
        self._cells = [
            members(zone.bits | bits_of(cell for rule in near for cell in rule.cells))
            for zone, near in zip(layout.full_zones, self._near, strict=True)
        ]
        self._last: dict[tuple[int, int], tuple[object, tuple[Idea, ...]]] = {}

    def ideas(self, position: Position, number: int, zone: Zone, size: int) -> tuple[Idea, ...]:
        """The sets of the house with this number."""
        near = self._near[number]
        if not near:
            return ()
        key = [position.masks[cell] for cell in self._cells[number]], position.placed & zone.bits
        last = self._last.get((number, size))
        if last is None or last[0] != key:
            last = self._last[number, size] = key, tuple(_in_house(position, zone, near, size))
        return last[1]


@kept_by_thread(16)
def _known_sets(layout: Layout) -> _KnownSets:
    return _KnownSets(layout)


def _in_house(
    position: Position, zone: Zone, rules_here: Sequence[RuleFillings], size: int
) -> Iterator[Idea]:
    near = [rule for rule in rules_here if rule.bits & zone.bits & ~position.placed]
    known = [rule.filling_sets(position) for rule in near]
    cells = list(open_cells(position, zone))
    open_digits = 0
    for cell in cells:
        open_digits |= position.masks[cell]
    outside = [rule.bits & ~zone.bits for rule in near]
    for chosen in combinations(members(open_digits), size):
        digits = sum(1 << digit for digit in chosen)
        where = 0
        for digit in chosen:
            where |= position.where[digit]
        lying = [place for place, bits in enumerate(outside) if not where & bits]
        if not lying:
            continue
        single = [Holder(1 << cell) for cell in cells if not position.masks[cell] & ~digits]
        if len(single) + len(lying) < size:
            continue
        holders = [
            Holder(where & near[place].bits, near[place])
            for place in lying
            if all(map(digits.__and__, known[place]))
            and where & zone.bits & ~near[place].bits
            and _stands_in(position, near[place], chosen, where)
        ]
        for count in range(1, size + 1):
            for rules in combinations(holders, count):
                for others in combinations(single, size - count):
                    yield from _idea(position, zone, chosen, where, (*rules, *others))


def _stands_in(position: Position, rule: RuleFillings, chosen: tuple[int, ...], where: int) -> bool:
    """Whether a rule must hold one of the digits, but neither a certain one nor in a certain cell."""
    places = where & rule.bits
    return (
        bool(places & (places - 1))
        and rule.must_hold(position, rule.houses, sum(1 << digit for digit in chosen))
        and not any(rule.must_hold(position, rule.houses, 1 << digit) for digit in chosen)
    )


def _idea(
    position: Position,
    zone: Zone,
    chosen: tuple[int, ...],
    where: int,
    holders: tuple[Holder, ...],
) -> Iterator[Idea]:
    held = 0
    for holder in holders:
        if held & holder.places:
            return
        held |= holder.places
    rest = where & zone.bits & ~held
    removes = tuple(
        (cell, digit) for digit in chosen for cell in members(rest & position.where[digit])
    )
    if not removes:
        return
    layout = position.layout
    digits = sum(1 << digit for digit in chosen)
    cells: list[int] = []
    switches = [zone.switch]
    for holder in holders:
        rule = holder.rule
        if rule is None:
            cells += members(holder.places)
            continue
        houses = rule.houses_needed(position, digits)
        cells += rule.cells_needed(position, houses, [(digits, members(holder.places))])
        switches += rule.switches(houses)
    yield Idea(
        NAMES[len(chosen)],
        removes=removes,
        cells=tuple(dict.fromkeys(cells)),
        switches=tuple(dict.fromkeys(switches)),
        shown=members(held),
        digits=chosen,
        say=partial(_say, layout, zone, chosen, holders, removes),
    )


def _say(
    layout: Layout,
    zone: Zone,
    digits: tuple[int, ...],
    holders: tuple[Holder, ...],
    removes: tuple[Mark, ...],
) -> str:
    rules = [premise_name(layout, holder.rule.switch) for holder in holders if holder.rule]
    cells = [cell for holder in holders if not holder.rule for cell in members(holder.places)]
    what = digit_names(layout, digits, "or")
    said = [f"{word_list(rules)} must hold {what}"]
    if len(rules) > 1:
        said = [f"{word_list(rules)} must each hold {what}"]
    if cells:
        said.append(
            f"{cell_names(layout, cells)} {'is one' if len(cells) == 1 else 'are two'} of these"
        )
    use, where = digit_names(layout, digits), zone_said(layout, zone)
    return (
        f"{', and '.join(said)}: together they use up {use} in {where}, {removal(layout, removes)}"
    )
