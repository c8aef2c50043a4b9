"""The strikes of a rule, or of a part of it: read from its meaning by asking an
engine.

No rule has its own code here. A candidate stays if some filling of the rule's cells
with their candidates keeps the rule and has it; every filling found settles all the candidates in it,
so few questions are needed. Each rule has its own small engine, which knows only the rule's
cells, and answers are kept by the candidates for which they were given.

Read *with its houses*, a rule also keeps those of its cells different that share a house, as anyone
does who fills in a line through a box.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Container, Iterator, Sequence
from dataclasses import dataclass, field
from functools import cached_property, partial

from gridassay.verify.engines.by_thread import kept_by_thread
from gridassay.verify.engines.deletion import fewest
from gridassay.verify.engines.questions import Switch
from gridassay.verify.solving.board.position import (
    ALL,
    Layout,
    Mark,
    Position,
    Zone,
    members,
)
from gridassay.verify.solving.rule_meaning.desks import RuleDesk, desks_of
from gridassay.verify.solving.rule_meaning.pieces import Piece
from gridassay.verify.solving.rule_meaning.small_engine import About, Premised, SmallEngine

Cells = tuple[int, ...]


@dataclass(frozen=True)
class RuleStrikes:
    """The candidates that a rule strikes, perhaps with houses, and the candidates on which that rests.

    ``cells`` are premises "the candidates of this cell are these", ``spots`` are premises "the places
    of this digit in this house are these".
    """

    piece: Piece
    zones: tuple[Zone, ...]
    removes: tuple[Mark, ...]
    cells: tuple[int, ...]
    spots: tuple[tuple[int, Zone], ...] = ()

    @property
    def switch(self) -> Switch:
        """The premise of the rule, or of a part of it."""
        return self.piece.switch

    @property
    def houses(self) -> tuple[Switch, ...]:
        """The premises of its houses."""
        return tuple(dict.fromkeys(zone.switch for zone in self.zones))


Readings = Iterator[RuleStrikes]


class RuleReader:
    """Reads the rules of one layout; made on first use and kept with it."""

    def __init__(self, layout: Layout) -> None:
        self._rules = [_Rule(layout, desk) for desk in desks_of(layout)]
        self._by_switch = {rule.piece.switch: rule for rule in self._rules}

    def alone(
        self, position: Position, touched: int = ALL, known: Container[Switch] = ()
    ) -> Iterator[RuleStrikes]:
        """The strikes of each rule by itself, rule by rule; nothing for rules that strike nothing.

        Only rules with ``touched`` unknowns (a bit set) are read, except those in ``known``.
        """
        for rule in self._rules:
            if rule.bits & touched and rule.piece.switch not in known:
                yield from rule.alone(position)

    def striking(
        self,
        position: Position,
        switch: Switch,
        wanted: Sequence[Mark],
        houses: Collection[Switch] = (),
    ) -> RuleStrikes | None:
        """Exactly these candidates, struck by one rule, alone or with some houses that hold its cells.

        None if it does not strike them all, or if the houses do so without it.
        """
        rule = self._by_switch.get(switch)
        if rule is None:
            return None
        names = [name for name, zone in rule.zones.items() if zone.switch in houses]
        if houses and not names:
            return None
        return rule.striking(position, tuple(wanted), names)

    def scope(self, switch: Switch) -> tuple[int, ...]:
        """The unknowns of a rule, or of the part of it, that can be read; nothing if it cannot."""
        rule = self._by_switch.get(switch)
        return rule.piece.scope if rule else ()

    def own_houses(self, switch: Switch) -> tuple[Zone, ...]:
        """The houses that hold several unknowns of a rule."""
        rule = self._by_switch.get(switch)
        return tuple(rule.zones.values()) if rule else ()

    def all_strikes(
        self,
        position: Position,
        switch: Switch,
        wanted: Sequence[Mark],
        kept: Container[Mark],
        zones: Sequence[Zone] = (),
    ) -> RuleStrikes | None:
        """These candidates, struck by a rule, and all that the same premises strike beside them.

        Its cells do not repeat a digit in any of the ``zones``. None if it does not strike them all.
        Those in ``kept`` are left.
        """
        rule = self._by_switch.get(switch)
        if rule is None or not rule.piece.reaches(wanted):
            return None
        return rule.all_strikes(position, tuple(wanted), kept, zones)

    def unfillable(self, position: Position, switch: Switch) -> tuple[int, ...] | None:
        """Unknowns whose candidates leave a rule no filling; None if it has one."""
        rule = self._by_switch.get(switch)
        return rule.unfillable(position) if rule else None

    def desk(self, reading: RuleStrikes) -> tuple[SmallEngine, list[str]]:
        """An engine for the rule of a reading, and what has to be on: its cells differ in its houses."""
        return self._by_switch[reading.switch].desk(reading.zones)

    def with_houses(self, position: Position, touched: int = ALL) -> Iterator[RuleStrikes]:
        """The strikes of each rule with houses that hold two or more of its cells, but not alone.

        With one house, it strikes in the whole house; with several, in its own cells, which do not
        repeat a digit in any of them. If nothing in a rule and its house was ``touched``, they are
        not read.
        """
        for rule in self._rules:
            yield from rule.with_houses(position, touched)


@dataclass(eq=False)
class _Rule:
    """A piece of a rule, with what has been read from it."""

    layout: Layout
    _desk: RuleDesk
    _known: dict[tuple[str, tuple[int, ...]], tuple[RuleStrikes, ...]] = field(default_factory=dict)
    _struck: dict[str, tuple[tuple[int, ...], frozenset[Mark]]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.piece, self.bits, self.zones = self._desk.piece, self._desk.bits, self._desk.zones

    def alone(self, position: Position) -> tuple[RuleStrikes, ...]:
        """The strikes of the piece by itself, in one reading."""
        return self._recall("", position, self.piece.scope, self._alone)

    def striking(
        self, position: Position, wanted: tuple[Mark, ...], names: Sequence[str] = ()
    ) -> RuleStrikes | None:
        """These candidates, struck with houses, by their names; None if it does not strike them all."""
        cells, on = self.piece.scope, [self._desk.name, *names]
        house = self.zones[names[0]] if len(names) == 1 else None
        if house:
            cells = tuple(dict.fromkeys((*cells, *house.cells)))
        if not {*cells}.issuperset(cell for cell, _ in wanted):
            return None

        def read(position: Position) -> Readings:
            desk = self._desk.with_zones if names else self._desk.alone
            about = desk.about_cells(position, cells)
            if house:
                about |= desk.about_spots(position, house)
            if len(desk.refuted(wanted, on, about)) < len(wanted):
                return
            if house and len(desk.refuted(wanted, names, about)) == len(wanted):
                return
            needed = desk.needed_demands(wanted, on, about)
            yield self._reading(wanted, names, [about[one] for one in needed])

        found = self._recall(f"striking {wanted} {names}", position, cells, read)
        return found[0] if found else None

    def all_strikes(
        self,
        position: Position,
        wanted: tuple[Mark, ...],
        kept: Container[Mark],
        zones: Sequence[Zone],
    ) -> RuleStrikes | None:
        """These candidates, and all that the premises they need and its placed digits strike."""
        desk, on = self.desk(zones)
        about = desk.about_cells(position, self.piece.scope)
        if len(desk.refuted(wanted, on, about)) < len(wanted):
            return None
        alone = self.striking(position, wanted)
        if alone:
            cells = set(alone.cells)
        else:
            cells = {_cell(about[one]) for one in desk.needed_demands(wanted, on, about)}
        seen = [one for one in self.piece.scope if one in cells or position.is_placed(one)]
        about = desk.about_cells(position, seen)
        every = [
            (unknown, value)
            for unknown in self.piece.scope
            if not position.is_placed(unknown)
            for value in members(position.masks[unknown])
        ]
        among = [mark for mark in every if mark not in kept or mark in wanted]
        struck = desk.refuted(among, on, about)
        needed = desk.needed_demands(struck, on, about)
        return RuleStrikes(
            self.piece, tuple(zones), tuple(struck), tuple(_cell(about[one]) for one in needed)
        )

    def unfillable(self, position: Position) -> tuple[int, ...] | None:
        """Unknowns whose candidates leave it no filling, all of them needed; None if it has one."""
        desk, on = self._desk.alone, [self._desk.name]
        about = desk.about_cells(position, self.piece.scope)
        if not desk.empty(on, about):
            return None
        kept = fewest(about, lambda some: desk.empty(on, some))
        return tuple(_cell(about[one]) for one in kept)

    def desk(self, zones: Sequence[Zone]) -> tuple[SmallEngine, list[str]]:
        """An engine for it, and what has to be on for it alone, its cells in each zone different."""
        return self._desk.alone, self._desk.apart_in(zones)

    def with_houses(self, position: Position, touched: int) -> Iterator[RuleStrikes]:
        """The strikes with each of its houses, and with several; no strike twice."""
        said: set[Mark] = set()
        if not (self.zones and self._joint_bits & touched):
            return
        for reading in self._every_joint(position, touched):
            if not said.issuperset(reading.removes):
                said.update(reading.removes)
                yield reading

    def _every_joint(self, position: Position, touched: int) -> Readings:
        for name, zone in self.zones.items():
            if not (self.bits | zone.bits) & touched:
                continue
            cells = tuple(dict.fromkeys((*self.piece.scope, *zone.cells)))
            yield from self._recall(name, position, cells, partial(self._in, name, zone, cells))
        if len(self.zones) > 1 and self.bits & touched:
            yield from self._recall("all", position, self.piece.scope, self._in_several)

    def _recall(
        self, what: str, position: Position, cells: Cells, read: Callable[[Position], Readings]
    ) -> tuple[RuleStrikes, ...]:
        """The readings, from memory if these cells had the same candidates before."""
        key = (what, tuple([position.masks[cell] for cell in cells]))
        known = self._known.get(key)
        if known is None:
            known = self._known[key] = tuple(read(position))
        return known

    @cached_property
    def _joint_bits(self) -> int:
        """Its unknowns and those of its zones, as a bit set."""
        bits = self.bits
        for zone in self.zones.values():
            bits |= zone.bits
        return bits

    def _whole(self, position: Position) -> tuple[list[str], About]:
        """All its houses, and the candidates of its cells and theirs.

        A filling that keeps them all answers for each of them.
        """
        on = [self._desk.name, *self.zones]
        return on, self._desk.with_zones.about_cells(position, members(self._joint_bits))

    def _alone(self, position: Position) -> Readings:
        desk, on = self._desk.alone, [self._desk.name]
        about = desk.about_cells(position, self.piece.scope)
        struck = desk.strikes(position, on, self.piece.scope, about)
        if struck:
            needed = desk.needed_demands(struck, on, about)
            yield self._reading(struck, [], [about[one] for one in needed])

    def _struck_alone(self, position: Position) -> set[Mark]:
        return {mark for reading in self.alone(position) for mark in reading.removes}

    def _in(self, name: str, zone: Zone, cells: Cells, position: Position) -> Readings:
        """The strikes with one house, anywhere in it or in the rule's cells."""
        desk, on = self._desk.with_zones, [self._desk.name, name]
        about = desk.about_cells(position, cells) | desk.about_spots(position, zone)
        known = self._known_struck(name, position, cells)
        whole = partial(self._whole, position)
        struck = desk.strikes(position, on, cells, about, known=known, also=whole)
        self._struck[name] = tuple([position.masks[cell] for cell in cells]), frozenset(struck)
        alone = self._struck_alone(position)
        left = [mark for mark in struck if mark not in alone]
        # Strikes of the house without the rule are left to other techniques.
        left = [mark for mark in left if not desk.refuted([mark], [name], about)]
        while left:
            needed = desk.needed_demands(left[:1], on, about)
            struck = desk.refuted(left, on, needed)
            left = [mark for mark in left if mark not in struck]
            yield self._reading(struck, [name], [about[one] for one in needed])

    def _known_struck(self, name: str, position: Position, cells: Cells) -> frozenset[Mark]:
        """Its strikes with a house when its cells had these candidates and perhaps more."""
        before, struck = self._struck.get(name, ((), frozenset()))
        fewer = before and not any(
            position.masks[cell] & ~mask for cell, mask in zip(cells, before, strict=True)
        )
        return struck if fewer else frozenset()

    def _in_several(self, position: Position) -> Readings:
        """The strikes with all its houses, in its own cells."""
        desk, rule = self._desk.with_zones, self._desk.name
        about = desk.about_cells(position, self.piece.scope)
        on = [rule, *self.zones]
        whole = partial(self._whole, position)
        struck = desk.strikes(position, on, self.piece.scope, about, also=whole)
        left = [mark for mark in struck if mark not in self._struck_alone(position)]
        while left:
            few = desk.houses_needed(left[0], [rule], tuple(self.zones), about)
            needed = desk.needed_demands(left[:1], [rule, *few], about)
            struck = desk.refuted(left, [rule, *few], needed)
            left = [mark for mark in left if mark not in struck]
            if len(few) > 1:
                yield self._reading(struck, few, [about[one] for one in needed])

    def _reading(
        self, struck: Sequence[Mark], names: Sequence[str], needed: Sequence[Premised]
    ) -> RuleStrikes:
        return RuleStrikes(
            self.piece,
            tuple(self.zones[name] for name in names),
            tuple(struck),
            tuple(one for one in needed if isinstance(one, int)),
            tuple(one for one in needed if not isinstance(one, int)),
        )


def _cell(premised: Premised) -> int:
    assert isinstance(premised, int)
    return premised


@kept_by_thread(16)
def reader_of(layout: Layout) -> RuleReader:
    """The reader of a layout's rules, kept with what it has read."""
    return RuleReader(layout)
