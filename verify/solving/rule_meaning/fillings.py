"""The digits that must be in a cage or line: no filling of its cells avoids them.

Rules of every kind are read by their meaning: an engine that knows the rule, and the houses that
its cells share, is asked for a filling without the digits. Every filling found answers further
questions, and answers are kept by the candidates they were given for.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import combinations

from gridassay.verify.engines.by_thread import kept_by_thread
from gridassay.verify.engines.deletion import fewest
from gridassay.verify.engines.questions import Switch
from gridassay.verify.solving.board.position import Layout, Position, Zone, bits_of, members
from gridassay.verify.solving.rule_meaning.desks import RuleDesk, desks_of

_KEPT = 100
"""Fillings kept of a rule, the last ones found, beside the sets of their digits."""


class RuleFillings:
    """A rule, or a part of it, with its cells in order and how these can be filled.

    ``houses`` are zones with two of the cells or more that the rule itself lets be equal; it is
    ``whole`` if it has all cells of a house.
    """

    def __init__(self, desk: RuleDesk) -> None:
        self.layout = layout = desk.layout
        self.piece = piece = desk.piece
        self.switch = piece.switch
        self.cells = piece.cells
        self.bits = bits_of(self.cells)
        self.houses = tuple(_sharing(layout, piece.premise.name, self.bits))
        self.whole = any(not zone.bits & ~self.bits for zone in layout.full_zones)
        self._desk = desk
        self._sets: dict[tuple[int, ...], list[int]] = {}
        self._found: deque[tuple[int, ...]] = deque(maxlen=_KEPT)
        self._unavoidable: set[tuple[tuple[Zone, ...], tuple[int, ...], int]] = set()
        self._needed: dict[tuple[object, ...], tuple[int, ...]] = {}

    def filling(
        self, left: Mapping[int, int], houses: Sequence[Zone] = ()
    ) -> tuple[int, ...] | None:
        """The digits, by index, of the cells in a filling that the rule and these houses allow.

        ``left`` has the candidates of some cells (bit sets). None if there is no filling.
        """
        return self._desk.alone.filling(left, self.cells, self._desk.apart_in(houses))

    def filling_sets(self, position: Position) -> list[int]:
        """The digit sets of the fillings from the candidates found so far."""
        masks = tuple([position.masks[cell] for cell in self.cells])
        sets = self._sets.get(masks)
        if sets is None:
            # What was found on another board is a filling of this one if it has all its candidates.
            held = (
                filling
                for filling in self._found
                if all(mask >> digit & 1 for mask, digit in zip(masks, filling, strict=True))
            )
            sets = self._sets[masks] = [*dict.fromkeys(map(bits_of, held))]
        return sets

    def must_hold(self, position: Position, houses: tuple[Zone, ...], digits: int) -> bool:
        """Whether every filling from the candidates has one of these digits."""
        masks = tuple([position.masks[cell] for cell in self.cells])
        key = (houses, masks, digits)
        if key in self._unavoidable:
            return True
        # With all its houses a rule has the fewest fillings: these also count for fewer houses.
        sets = self.filling_sets(position)
        if any(not digits & have for have in sets):
            return False
        left = {cell: position.masks[cell] & ~digits for cell in self.cells}
        found = self.filling(left, houses)
        if found is None:
            self._unavoidable.add(key)
            return True
        if houses == self.houses:
            sets.append(bits_of(found))
            self._found.append(found)
        return False

    def houses_needed(self, position: Position, digits: int) -> tuple[Zone, ...]:
        """Houses with which it must hold one of the digits, all of them needed."""

        def enough(houses: list[Zone]) -> bool:
            return self.must_hold(position, tuple(houses), digits)

        return tuple(fewest(self.houses, enough))

    def cells_needed(
        self,
        position: Position,
        houses: Sequence[Zone],
        wanted: Iterable[tuple[int, Iterable[int]]],
    ) -> tuple[int, ...]:
        """Cells whose candidates are enough for it to hold digits in places, all of them needed.

        ``wanted`` lists digits (a bit set), of which one must be in the rule, with their places.
        """
        several = tuple((digits, tuple(places)) for digits, places in wanted)
        masks = tuple([position.masks[cell] for cell in self.cells])
        key = (masks, tuple(houses), several)
        found = self._needed.get(key)
        if found is None:
            every = self.layout.all_digits

            def enough(cells: list[int]) -> bool:
                for digits, places in several:
                    left = {cell: position.masks[cell] for cell in cells}
                    left |= {cell: left.get(cell, every) & ~digits for cell in places}
                    if self.filling(left, houses) is not None:
                        return False
                return True

            found = self._needed[key] = tuple(fewest(self.cells, enough))
        return found

    def switches(self, houses: Iterable[Zone]) -> tuple[Switch, ...]:
        """The premises of the rule and some of its houses."""
        return (self.switch, *(house.switch for house in houses))


def _sharing(layout: Layout, name: str, bits: int) -> Iterator[Zone]:
    """Other zones that keep some of these cells different; one zone for cells that several share."""
    own = [zone.bits for zone in layout.zones if zone.name == name]
    seen: set[int] = set()
    for zone in layout.zones:
        shared = zone.bits & bits
        pairs = combinations(members(shared), 2)
        if (
            zone.name != name
            and shared not in seen
            and any(
                not any(apart >> one & apart >> other & 1 for apart in own) for one, other in pairs
            )
        ):
            seen.add(shared)
            yield zone


@kept_by_thread(16)
def fillings_of(layout: Layout) -> tuple[RuleFillings, ...]:
    """The rules of a layout that can be read (``pieces.py``)."""
    return tuple(RuleFillings(desk) for desk in desks_of(layout) if desk.piece.cells)
