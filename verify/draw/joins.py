"""The links between the candidates of a pattern: strong and weak links, and what its ends see.

They are read from the step and the board, so that a step that somebody wrote is drawn like one of
the route: a digit with two places in a house that is named is a strong link, two cells that see
each other a weak one.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations, pairwise, product
from typing import Literal

from gridassay.encodings.grid import Cell
from gridassay.verify.draw.view import Join, Spot
from gridassay.verify.solving.board.position import Layout, Position, members
from gridassay.verify.solving.techniques import (
    colouring,
    empty_rectangle,
    fish,
    inference_chain,
    locked,
    remote_pairs,
    two_links,
    w_wing,
    wings,
    x_chain,
    xy_chain,
)

Kind = Literal["strong", "weak", "sight"]

MOST_SIGHTS = 8
"""The most lines to struck candidates; more of them would not be readable."""

_WINGS = {wings.XY, wings.XYZ, wings.WXYZ}
_CHAINS = {x_chain.NAME, xy_chain.NAME, inference_chain.NAME, remote_pairs.NAME}
_PAIRS = {
    two_links.SKYSCRAPER,
    two_links.KITE,
    empty_rectangle.NAME,
    colouring.ONE,
    colouring.SEVERAL,
}
_FISH = {f"{kind}{name}" for name in fish.NAMES.values() for kind in ("", "finned ", "sashimi ")}
LINKED = _WINGS | _CHAINS | _PAIRS | {w_wing.NAME}
"""Techniques whose candidates are joined."""


def ringed_digits(
    technique: str, cells: Sequence[Cell], cited: Collection[int], position: Position
) -> Collection[int]:
    """The digits that are ringed in the cells of a pattern: of a wing, all that they can be."""
    if technique not in _WINGS:
        return cited
    layout = position.layout
    masks = [position.masks[layout.index[cell]] for cell in cells]
    return {layout.digits[digit] for mask in masks for digit in members(mask)}


def joins(
    technique: str,
    cells: Sequence[Cell],
    digits: Sequence[int],
    houses: Collection[str],
    removes: Collection[Spot],
    position: Position,
) -> list[Join]:
    """The lines to draw for a step by this technique, over these cells, digits and houses."""
    layout = position.layout
    known = [layout.index[cell] for cell in cells if cell in layout.index]
    values = [layout.digit_index[digit] for digit in digits]
    pattern = _Pattern(technique, known, values, houses, position)
    found = dict.fromkeys(pattern.links())
    lines = [Join(_spot(layout, *one), _spot(layout, *other), kind) for one, other, kind in found]
    marks = [(layout.index[cell], layout.digit_index[digit]) for cell, digit in removes]
    seen = [
        Join(_spot(layout, end, mark[1]), _spot(layout, *mark), "sight")
        for mark in marks
        for end in pattern.ends(mark)
    ]
    return lines + (seen if len(seen) <= MOST_SIGHTS else [])


def _spot(layout: Layout, cell: int, digit: int) -> Spot:
    return layout.cells[cell], layout.digits[digit]


Node = tuple[int, ...]
"""The cells of a node of a chain: one, or a group of them."""

_Mark = tuple[int, int]
_Link = tuple[_Mark, _Mark, Kind]


def _bits(cells: Sequence[int]) -> int:
    return sum(1 << cell for cell in {*cells})


@dataclass(frozen=True)
class _Pattern:
    """A technique over cells and digits, by their indexes, with the houses that it names."""

    technique: str
    cells: Sequence[int]
    digits: Sequence[int]
    houses: Collection[str]
    position: Position

    def links(self) -> Iterator[_Link]:
        """Each link once, from the first cell to the second."""
        if self.technique in _WINGS:
            yield from self._of_wing()
        elif self.technique == w_wing.NAME:
            yield from self._of_w_wing()
        elif self.technique in _CHAINS:
            yield from self._in_order()
        elif self.technique in _PAIRS:
            yield from self._of_pairs()
        elif self.technique in _FISH:
            yield from self._of_fish()

    def ends(self, mark: _Mark) -> list[int]:
        """The cells of the pattern that keep a candidate which is struck out of its cell."""
        cell, digit = mark
        seen = [
            one
            for one in self.cells
            if self.position.has((one, digit)) and self.position.layout.sees[cell] >> one & 1
        ]
        if self.technique in _CHAINS:
            nodes = self._nodes()
            inside = [[one for one in node if one in seen] for node in (nodes[0], nodes[-1])]
            return list(
                dict.fromkeys(
                    min(found, key=lambda one: self._far(one, cell)) for found in inside if found
                )
            )
        if self.technique == w_wing.NAME:
            return [one for one in self.cells[:2] if one in seen]
        if self.technique in (two_links.SKYSCRAPER, two_links.KITE):
            return [one for one in self.cells[1::2] if one in seen]
        if self.technique in LINKED:
            return seen
        if self.technique in _FISH or self.technique == locked.NAME:
            return sorted(seen, key=lambda one: self._far(one, cell))[:1]
        return []

    def _far(self, one: int, other: int) -> int:
        first, second = (self.position.layout.cells[cell] for cell in (one, other))
        return abs(first.row - second.row) + abs(first.column - second.column)

    def _places(self, digit: int) -> int:
        """Where a digit may still go."""
        return self.position.where[digit] & ~self.position.placed

    def _strong(self, both: int, digit: int) -> bool:
        """Whether a house that is named has just these places for a digit."""
        return any(
            zone.name in self.houses and self._places(digit) & zone.bits == both
            for zone in self.position.layout.full_zones
        )

    def _between(self, one: int, other: int, digit: int) -> _Link | None:
        """The link between the same digit in two cells; None if there is none."""
        return self._of_nodes((one,), (other,), digit)

    def _of_nodes(self, one: Node, other: Node, digit: int) -> _Link | None:
        """The link between the same digit in two nodes, drawn between the cells that are nearest."""
        if not all(self.position.has((cell, digit)) for cell in (*one, *other)):
            return None
        first, last = min(product(one, other), key=lambda pair: self._far(*pair))
        sees = self.position.layout.sees
        if self._strong(_bits(one) | _bits(other), digit):
            return (first, digit), (last, digit), "strong"
        if all(sees[cell] >> seen & 1 for cell, seen in product(one, other)):
            return (first, digit), (last, digit), "weak"
        return None

    def _nodes(self) -> list[Node]:
        """The cells of a chain in order, those together that are one node of it.

        They are where a house that is named has more than two places for a digit, in two parts of
        which each lies in another house as well.
        """
        groups: list[Node] = []
        inside = _bits(self.cells)
        zones = self.position.layout.full_zones
        for digit in self.digits:
            for zone in zones:
                here = self._places(digit) & zone.bits
                if zone.name not in self.houses or here.bit_count() < 3 or here & ~inside:
                    continue
                across = [other.bits for other in zones if other is not zone]
                run = [cell for cell in dict.fromkeys(self.cells) if here >> cell & 1]
                for cut in range(1, len(run)):
                    parts = (tuple(run[:cut]), tuple(run[cut:]))
                    if all(
                        len(part) == 1 or any(not _bits(part) & ~bits for bits in across)
                        for part in parts
                    ):
                        groups += [part for part in parts if len(part) > 1]
                        break
        nodes = [next((group for group in groups if cell in group), (cell,)) for cell in self.cells]
        return list(dict.fromkeys(nodes))

    def _inside(self, cell: int) -> Iterator[_Link]:
        """The strong link between the only two candidates of a cell."""
        pair = members(self.position.masks[cell])
        if len(pair) == 2:
            yield (cell, pair[0]), (cell, pair[1]), "strong"

    def _of_wing(self) -> Iterator[_Link]:
        pivot, *pincers = self.cells
        for pincer in pincers:
            shared = self.position.masks[pivot] & self.position.masks[pincer]
            for digit in members(shared):
                if digit not in self.digits:
                    yield (pivot, digit), (pincer, digit), "weak"
        for cell in self.cells:
            yield from self._inside(cell)

    def _of_w_wing(self) -> Iterator[_Link]:
        one, other, *places = self.cells
        for cell in (one, other):
            yield from self._inside(cell)
        joining = [d for d in self.digits if all(self.position.has((p, d)) for p in places)]
        for digit in joining[:1]:
            for place in places:
                for end in (one, other):
                    if self.position.layout.sees[end] >> place & 1:
                        yield (end, digit), (place, digit), "weak"
            yield from filter(None, (self._between(a, b, digit) for a, b in pairwise(places)))

    def _in_order(self) -> Iterator[_Link]:
        """Along the cells as they are named; each cell is entered by one digit and left by another."""
        came = None
        for one, other in pairwise(self._nodes()):
            found = [self._of_nodes(one, other, digit) for digit in self.digits]
            ways = [link for link in found if link]
            ways.sort(key=lambda link: (link[0][1] == came, link[2] == "weak"))
            if ways:
                came = ways[0][0][1]
                yield ways[0]
        if len(self.digits) > 1:
            for cell in self.cells:
                yield from self._inside(cell)

    def _of_pairs(self) -> Iterator[_Link]:
        for digit in self.digits:
            for one, other in combinations(self.cells, 2):
                link = self._between(one, other, digit)
                if link and self._meets(one, other):
                    yield (one, digit), (other, digit), "weak"
                elif link and link[2] == "strong":
                    yield link

    def _meets(self, one: int, other: int) -> bool:
        """Whether a weak link is one of the pattern's: between the two strong links, not inside a box."""
        if self.technique == empty_rectangle.NAME:
            near = self.cells[-2]
            named = [
                zone.name in self.houses
                for zone in self.position.layout.zones_of[one]
                if zone.bits >> other & 1
            ]
            return other == near and any(named)
        if self.technique in (two_links.SKYSCRAPER, two_links.KITE):
            return {one, other} == {self.cells[0], self.cells[2]}
        return False

    def _of_fish(self) -> Iterator[_Link]:
        """Along the houses whose only places are those of the fish."""
        inside = _bits(self.cells)
        for digit in self.digits:
            places = self._places(digit)
            for zone in self.position.layout.full_zones:
                here = places & zone.bits
                if zone.name in self.houses and here and not here & ~inside:
                    for one, other in pairwise(members(here)):
                        yield (one, digit), (other, digit), "strong"
