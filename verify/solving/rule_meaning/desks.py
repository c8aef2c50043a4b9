"""A rule of a layout, or a part of it, with its houses, and the small engines that know them.

Whatever reads the rule asks these engines, so that it is compiled once and each answer serves all.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import cached_property

from gridassay.encodings.board import Part
from gridassay.encodings.constraints import AllDifferent
from gridassay.encodings.model import Premise
from gridassay.verify.engines.by_thread import kept_by_thread
from gridassay.verify.solving.board.position import Layout, Zone, bits_of, members
from gridassay.verify.solving.rule_meaning.pieces import Piece, pieces_of
from gridassay.verify.solving.rule_meaning.small_engine import SmallEngine


class RuleDesk:
    """A piece of a rule; its ``zones`` hold several of its cells, by their names at its engines.

    ``bits`` are its unknowns.
    """

    def __init__(self, layout: Layout, piece: Piece) -> None:
        self.layout = layout
        self.piece = piece
        self.bits = bits_of(piece.scope)
        self.name = piece.premise.name
        self.zones: dict[str, Zone] = {
            f"#zone {number}": zone
            for number, zone in enumerate(layout.zones)
            if (zone.bits & self.bits).bit_count() > 1 and zone.switch != piece.switch
        }

    def apart_in(self, zones: Iterable[Zone]) -> list[str]:
        """The premises of ``alone`` for the piece with its cells in each of these zones different."""
        several = list(zones)
        return [
            self.name,
            *(self._apart(name) for name, zone in self.zones.items() if zone in several),
        ]

    def _apart(self, name: str) -> str:
        """The premise that its own cells in a zone are different: the zone itself, if it has them all."""
        return name if self._fills(self.zones[name]) else f"{name} apart"

    def _fills(self, zone: Zone) -> bool:
        return zone.full and not zone.bits & ~self.bits

    def _aparts(self) -> list[Premise]:
        cells = self.layout.cells
        return [
            _premise(
                self._apart(name),
                Part(
                    name, AllDifferent(tuple(cells[one] for one in members(zone.bits & self.bits)))
                ),
            )
            for name, zone in self.zones.items()
            if not self._fills(zone)
        ]

    @cached_property
    def alone(self) -> SmallEngine:
        """An engine for the piece, and for its own cells in each zone as different.

        What it refutes for a line that fills a house holds with its zones, and is hard to refute twice:
        there it is the engine of both.
        """
        if any(map(self._fills, self.zones.values())):
            return self.with_zones
        return SmallEngine(self.layout, [self.piece.premise, *self._aparts()], self.piece.scope)

    @cached_property
    def with_zones(self) -> SmallEngine:
        """An engine for the piece and its zones."""
        layout, around = self.layout, self.bits
        premises = [self.piece.premise]
        for name, zone in self.zones.items():
            number = 0 if isinstance(zone.switch, str) else zone.switch[1]
            premises.append(_premise(name, layout.premise_of(zone.switch).parts[number]))
            around |= zone.bits
        if any(map(self._fills, self.zones.values())):
            premises += self._aparts()
        return SmallEngine(layout, premises, members(around))


def _premise(name: str, part: Part) -> Premise:
    return Premise(name, "house", (part,))


@kept_by_thread(16)
def desks_of(layout: Layout) -> tuple[RuleDesk, ...]:
    """The rules of a layout that can be read (``pieces.py``)."""
    return tuple(RuleDesk(layout, piece) for piece in pieces_of(layout))
