"""The digits that must be in a cage or line: no filling of its cells avoids them.

Rules of every kind are read by their meaning: an engine that knows the rule, and the houses that
its cells share, is asked for a filling without the digits. Every filling found answers further
questions, and answers are kept by the candidates they were given for.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Iterator, Sequence
from functools import cached_property
from itertools import combinations

from gridassay.encodings.board import Part
from gridassay.encodings.constraints import AllDifferent
from gridassay.encodings.model import Premise
from gridassay.verify.engines.by_thread import kept_by_thread
from gridassay.verify.engines.deletion import fewest
from gridassay.verify.engines.questions import Denial, Switch
from gridassay.verify.solving.board.position import Layout, Position, Zone, bits_of, members
from gridassay.verify.solving.rule_meaning.pieces import Piece, pieces_of
from gridassay.verify.solving.rule_meaning.small_engine import SmallEngine

_KEPT = 100
"""Fillings kept of a rule, the last ones found, beside the sets of their digits."""


class RuleFillings:
    """A rule, or a part of it, with its cells in order and how these can be filled.

    ``houses`` are zones with two of the cells or more that the rule itself lets be equal; it is
    ``whole`` if it has all cells of a house.
    """

    def __init__(self, layout: Layout, piece: Piece) -> None:
        self.layout = layout
        self.piece = piece
        self.switch = piece.switch
        self.cells = piece.cells
        self.bits = bits_of(self.cells)
        self.houses = tuple(_sharing(layout, piece.premise.name, self.bits))
        self.whole = any(not zone.bits & ~self.bits for zone in layout.full_zones)
        self._premise = piece.premise
        self._sets: dict[tuple[int, ...], list[int]] = {}
        self._found: deque[tuple[int, ...]] = deque(maxlen=_KEPT)
        self._unavoidable: set[tuple[tuple[Zone, ...], tuple[int, ...], int]] = set()
        self._needed: dict[tuple[object, ...], tuple[int, ...]] = {}

    @cached_property
    def _desk(self) -> SmallEngine:
        """A desk for the rule and its houses only."""
        names = self.layout.cells
        apart = [
            Premise(name, "house", (Part(name, AllDifferent(differ)),))
            for house, name in self._house_names.items()
            if (differ := tuple(names[cell] for cell in members(house.bits & self.bits)))
        ]
        return SmallEngine(self.layout, [self._premise, *apart], self.cells)

    @cached_property
    def _house_names(self) -> dict[Zone, str]:
        """The engine's name for each house: a rule may be several."""
        return {house: f"#{number} {house.name}" for number, house in enumerate(self.houses)}

    def filling(
        self, denials: Iterable[Denial], houses: Sequence[Zone] = ()
    ) -> tuple[int, ...] | None:
        """The digits, by index, of the cells in a filling that the rule and these houses allow."""
        on = [self._premise.name, *(self._house_names[house] for house in houses)]
        return self._desk.filling(denials, on)

    def never(self, cells: Iterable[int], digits: int) -> list[Denial]:
        """The denials of these digits (a bit set) in these cells."""
        layout = self.layout
        named = [layout.digits[digit] for digit in members(digits)]
        return [Denial(layout.cells[cell], digit) for cell in cells for digit in named]

    def about(self, position: Position, cells: Iterable[int]) -> list[Denial]:
        """The denials in the candidates of these cells."""
        every = self.layout.all_digits
        return [
            denial
            for cell in cells
            if position.masks[cell] != every
            for denial in self.never([cell], every & ~position.masks[cell])
        ]

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
        denials = [*self.about(position, self.cells), *self.never(self.cells, digits)]
        found = self.filling(denials, houses)
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
            denied = [self.never(places, digits) for digits, places in several]

            def enough(cells: list[int]) -> bool:
                about = self.about(position, cells)
                return all(self.filling([*about, *never], houses) is None for never in denied)

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
    return tuple(RuleFillings(layout, piece) for piece in pieces_of(layout) if piece.cells)
