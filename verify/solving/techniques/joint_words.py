"""Strikes of a total together with a house, in numbers: the sums left, and the digits beside them.

A cage that lies in a house takes its digits from the rest of it. Where a digit of the house can only be
in some places, sums that leave it none are out; where cells beside the cage have few candidates, each
sum goes with what is left for them. Only what such few sums show by themselves is told in this way.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from itertools import islice, product
from math import prod

from gridassay.verify.solving.board.ideas import word_list
from gridassay.verify.solving.board.position import Mark, Position, Zone, bits_of, members
from gridassay.verify.solving.board.premise_words import as_given, premises_said
from gridassay.verify.solving.rule_meaning.strikes import RuleStrikes
from gridassay.verify.solving.rule_meaning.sums import (
    MOST_SAID,
    HeadAndSum,
    WeightedSum,
    head_and_sum,
    sets_making,
    total_in,
)
from gridassay.verify.solving.techniques.facts import conclusion, number, sums_said
from gridassay.verify.solving.techniques.head_words import also_seen, head_said

_MOST_OUT = 3
"""The most sums of which it is said that they leave nothing for a cell beside them."""

_MOST_TRIED = 500
"""The most ways to fill the cells beside that are gone through."""

Way = tuple[int, int]
"""What is made, and the digits that make it (bits)."""


def joint_words(
    position: Position,
    reading: RuleStrikes,
    cells: Sequence[int],
    places: Sequence[Mark],
    removes: Sequence[Mark],
) -> tuple[str, bool]:
    """The clauses after the rule's name, and whether they rest on the house; empty if none show it."""
    layout = position.layout
    total = total_in(layout, reading.piece.premise)
    made = total and head_and_sum(total)
    if not total or not made or len(reading.zones) != 1:
        return "", False
    if not all(layout.is_cell(cell) for cell in made.body):
        return "", False
    struck = list(removes)
    for cell, digit in places:
        struck += [(cell, other) for other in members(position.masks[cell]) if other != digit]
    joint = _Joint(position, reading, total, made, tuple(cells)).with_what_is_seen
    if not joint.tells or not joint.shows(struck):
        return "", False
    said = f"{joint.out()}{joint.sums()}, {conclusion(position, places, removes)}"
    own = bits_of(total.cells)
    outside = any(not own >> cell & 1 for cell, _ in struck)
    joined = bool(outside or joint.beside or reading.spots or made.head is not None)
    return f"{as_given(premises_said(position, joint.cells, reading.spots))}{said}", joined


@dataclass
class _Joint:
    """The sums of a total, with the digits of cells beside them in a house."""

    position: Position
    reading: RuleStrikes
    total: WeightedSum
    made: HeadAndSum
    cells: tuple[int, ...]
    missed: list[Way] = field(default_factory=list, init=False)

    @cached_property
    def zone(self) -> Zone:
        """The house."""
        return self.reading.zones[0]

    @cached_property
    def with_what_is_seen(self) -> _Joint:
        """The same with the candidates of the head and placed digits, if these leave fewer sums."""
        whole = replace(self, cells=(*self.cells, *also_seen(self.position, self.made, self.cells)))
        for one in whole.cells[len(self.cells) :]:
            less = replace(whole, cells=tuple(cell for cell in whole.cells if cell != one))
            if less.ways == whole.ways:
                whole = less
        return whole

    @cached_property
    def beside(self) -> tuple[int, ...]:
        """The cells in the house beside the total whose candidates count."""
        return tuple(cell for cell in self.cells if cell not in self.total.cells)

    @cached_property
    def open_beside(self) -> tuple[int, ...]:
        """Those of them that have several candidates."""
        return tuple(c for c in self.beside if self.position.masks[c].bit_count() > 1)

    @cached_property
    def tells(self) -> bool:
        """Whether there are few sums, of cells that all differ."""
        body, apart = self.made.body, self.total.apart
        places = [self.total.cells.index(cell) for cell in body]
        own = bits_of(body)
        differ = not own & ~self.zone.bits or all(
            (one, other) in apart or (other, one) in apart
            for one in places
            for other in places
            if one < other
        )
        head = self.made.head
        spotted = any(head is not None and spots >> head & 1 for _, spots in self._places_of_digits)
        in_zone = all(self.zone.bits >> cell & 1 for cell in self.beside)
        zones = all(home is self.zone or home == self.zone for _, home in self.reading.spots)
        return (
            differ
            and not spotted
            and in_zone
            and zones
            and 0 < len(self.ways) <= MOST_SAID
            and self.several <= MOST_SAID
        )

    @cached_property
    def several(self) -> int:
        """The number of sums, each counted for every way beside it."""
        return sum(map(len, self.ways.values())) if self.open_beside else len(self.ways)

    @cached_property
    def _places_of_digits(self) -> list[tuple[int, int]]:
        position = self.position
        return [
            (digit, home.bits & position.where[digit] & ~position.placed)
            for digit, home in self.reading.spots
        ]

    @cached_property
    def ways(self) -> dict[Way, list[tuple[int, ...]]]:
        """The sums that can be filled in, with the digits that the cells beside can then have."""
        found: dict[Way, list[tuple[int, ...]]] = {}
        layout = self.position.layout
        masks = {
            one: self.position.masks[one] if one in self.cells else layout.full[one]
            for one in self.total.cells
        }
        count = len(self.made.body)
        if prod(self.position.masks[cell].bit_count() for cell in self.beside) > _MOST_TRIED:
            return {}
        for amount, place in self.made.amounts(masks, layout.domains):
            head = self.made.head
            taken = 0
            if head is not None and place is not None and self.zone.bits >> head & 1:
                taken = 1 << place
            for digits in sets_making(layout.digits, count, amount):
                ways = list(dict.fromkeys(self._beside(digits, masks, taken)))
                if ways:
                    found[amount, digits] = ways
                elif any(True for _ in self._fill(digits, masks)):
                    self.missed.append((amount, digits))
        return found

    def _fill(self, digits: int, masks: dict[int, int]) -> Iterator[dict[int, int]]:
        """The ways to put some digits into the cells that are added up."""
        body = self.made.body

        def go(place: int, left: int, chosen: dict[int, int]) -> Iterator[dict[int, int]]:
            if place == len(body):
                yield chosen
                return
            for digit in members(masks[body[place]] & left):
                yield from go(place + 1, left & ~(1 << digit), {**chosen, body[place]: digit})

        yield from go(0, digits, {})

    def _beside(self, digits: int, masks: dict[int, int], taken: int) -> Iterator[tuple[int, ...]]:
        """The digits that the cells beside can have, where a head in the house has the one ``taken``."""
        position = self.position
        fillings: Iterator[dict[int, int]] = self._fill(digits, masks)
        if not self._places_of_digits and not bits_of(self.made.body) & ~self.zone.bits:
            # Where each digit is does not matter.
            fillings = islice(fillings, 1)
        for filling in fillings:
            housed = bits_of(d for cell, d in filling.items() if self.zone.bits >> cell & 1)
            if housed & taken:
                continue
            free = [members(position.masks[cell] & ~(housed | taken)) for cell in self.beside]
            for others in product(*free):
                if len(set(others)) == len(others):
                    whole = filling | dict(zip(self.beside, others, strict=True))
                    if self._has_places(whole, taken):
                        yield others

    def _has_places(self, whole: dict[int, int], taken: int) -> bool:
        """Whether each digit of which places are known is, or can be, in one of them."""
        waiting: list[int] = []
        for digit, spots in self._places_of_digits:
            have = [c for c, d in whole.items() if d == digit and self.zone.bits >> c & 1]
            if (have and not spots >> have[0] & 1) or taken >> digit & 1:
                return False
            if not have:
                waiting.append(spots & ~bits_of(whole))

        def match(rest: Sequence[int], used: int) -> bool:
            return not rest or any(
                match(rest[1:], used | 1 << cell) for cell in members(rest[0] & ~used)
            )

        return match(waiting, 0)

    def shows(self, struck: Sequence[Mark]) -> bool:
        """Whether the sums alone show what goes: what none has or, from other cells, what all have."""
        domains, ways = self.position.layout.domains, self.ways
        beyond = [cell for cell in self.made.body if not self.zone.bits >> cell & 1]
        for cell, digit in struck:
            if cell == self.made.head:
                gone = not any(amount == domains[cell][digit] for amount, _ in ways)
            elif cell in self.made.body:
                gone = not any(digits >> digit & 1 for _, digits in ways)
            elif cell in self.beside:
                place = self.beside.index(cell)
                gone = not any(others[place] == digit for some in ways.values() for others in some)
            else:
                inside = not any(
                    one not in self.cells or self.position.has((one, digit)) for one in beyond
                )
                gone = bool(self.zone.bits >> cell & 1) and all(
                    (inside and digits >> digit & 1) or digit in others
                    for (_, digits), some in ways.items()
                    for others in some
                )
            if not gone:
                return False
        return True

    def sums(self) -> str:
        """``8 in two cells is 1+7 or 2+6``, ``8 is 1+3+4 with 2 in r2c3``, ``B can be 7 as 1+6``."""
        layout = self.position.layout
        if self.made.head is None and not self.open_beside:
            sets = dict.fromkeys(digits for _, digits in self.ways)
            count = number(len(self.made.body))
            return f"{self.made.amount} in {count} cells is {sums_said(layout, sets)}"
        of_amount: dict[int, dict[str, dict[str, None]]] = {}
        for (amount, digits), several in self.ways.items():
            for others in several:
                beside = of_amount.setdefault(amount, {}).setdefault(self._with(others), {})
                beside[sums_said(layout, [digits])] = None
        if self.made.head is not None:
            ends = {end for some in of_amount.values() for end in some}
            (always,) = ends if len(ends) == 1 and len(of_amount) > 1 else ("",)
            sums = {
                amount: _with_each({"" if always else one: added for one, added in some.items()})
                for amount, some in of_amount.items()
            }
            head = self.made.head
            mask = self.position.masks[head] if head in self.cells else layout.full[head]
            said = head_said(layout, head, mask, sums)
            return f"{said}, always{always}" if always else said
        ((amount, some),) = of_amount.items()
        return f"{amount} is {_with_each(some)}"

    def _with(self, others: Sequence[int]) -> str:
        layout = self.position.layout
        said = [
            f"{layout.symbol(digit)} in {layout.cells[cell]}"
            for cell, digit in zip(self.beside, others, strict=True)
            if cell in self.open_beside
        ]
        return f" with {word_list(said)}" if said else ""

    def out(self) -> str:
        """The sums that leave nothing for the one cell beside them."""
        if len(self.open_beside) != 1 or not 0 < len(self.missed) <= _MOST_OUT:
            return ""
        layout = self.position.layout
        (cell,) = self.open_beside
        if any(self.position.masks[cell] & ~digits for _, digits in self.missed):
            return ""
        if bits_of(self.made.body) & ~self.zone.bits:
            return ""
        named = [f"{amount} as {sums_said(layout, [digits])}" for amount, digits in self.missed]
        return f"{word_list(named, 'or')} would leave nothing for {layout.cells[cell]}; "


def _with_each(sums: Mapping[str, Iterable[str]]) -> str:
    """Sums with the digits beside them, those with the same together: ``1+4 or 2+3 with 6 in r1c1``."""
    groups = [(list(added), beside) for beside, added in sums.items()]
    said = [f"{word_list(added, 'or')}{beside}" for added, beside in groups]
    if len(said) > 1 and any(len(added) > 1 for added, _ in groups):
        return f"{', '.join(said[:-1])}, or {said[-1]}"
    return word_list(said, "or")
