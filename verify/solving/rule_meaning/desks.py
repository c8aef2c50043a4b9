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
            *(_apart(name) for name, zone in self.zones.items() if zone in several),
        ]

    @cached_property
    def alone(self) -> SmallEngine:
        """An engine for the piece, and for its own cells in each zone as different."""
        cells = self.layout.cells
        apart = [
            _premise(
                _apart(name),
                Part(
                    name, AllDifferent(tuple(cells[one] for one in members(zone.bits & self.bits)))
                ),
            )
            for name, zone in self.zones.items()
        ]
        return SmallEngine(self.layout, [self.piece.premise, *apart], self.piece.scope)

    @cached_property
    def with_zones(self) -> SmallEngine:
        """An engine for the piece and its zones."""
        layout, around = self.layout, self.bits
        premises = [self.piece.premise]
        for name, zone in self.zones.items():
            number = 0 if isinstance(zone.switch, str) else zone.switch[1]
            premises.append(_premise(name, layout.premise_of(zone.switch).parts[number]))
            around |= zone.bits
        return SmallEngine(layout, premises, members(around))


def _premise(name: str, part: Part) -> Premise:
    return Premise(name, "house", (part,))


def _apart(name: str) -> str:
    """The name of the premise that a rule's own cells in a zone are different."""
    return f"{name} apart"


@kept_by_thread(16)
def desks_of(layout: Layout) -> tuple[RuleDesk, ...]:
    """The rules of a layout that can be read (``pieces.py``)."""
    return tuple(RuleDesk(layout, piece) for piece in pieces_of(layout))
