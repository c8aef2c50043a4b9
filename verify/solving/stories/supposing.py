"""The consequences of one supposed candidate, link by link, with what each link rests on.

A supposition is followed in waves: all that the singles and single rules give at once, then what
these give, until something has nothing left. Every link knows the links it rests on, as a bit set; so
a story's length is known before it is told, and no link is followed that would make it longer than
the shortest known. What a rule strikes is read off its table, and rests on no more links than it
needs. The order of all this is fixed, so that the same position always gives the same story.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field

from gridassay.verify.engines.questions import Switch
from gridassay.verify.solving.board.ideas import Idea
from gridassay.verify.solving.board.position import Layout, Mark, Position, Zone, members
from gridassay.verify.solving.stories.tables import FillingTable
from gridassay.verify.solving.techniques import hidden_single, naked_single, rule_alone

SUPPOSED = 0
"""The number that stands for the supposition itself, among the numbers of links."""


@dataclass(frozen=True, slots=True, eq=False)
class Link:
    """A step on the supposed board: its kind, and the candidates that have to be gone for it.

    ``zone`` is where a hidden single stands, ``switch`` the rule that strikes, ``idea`` the step of
    another technique.
    """

    technique: str
    places: tuple[Mark, ...] = ()
    removes: tuple[Mark, ...] = ()
    zone: Zone | None = None
    switch: Switch | None = None
    idea: Idea | None = None
    uses: tuple[Mark, ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class End:
    """The end of a supposition: what has nothing left, and what has to be gone for that."""

    unknown: int | None = None
    digit: int | None = None
    zone: Zone | None = None
    switch: Switch | None = None
    uses: tuple[Mark, ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class Outcome:
    """How a supposition ends, and the links that lead there, in order."""

    supposed: tuple[Mark, ...]
    links: tuple[Link, ...]
    end: End

    @property
    def premises(self) -> int:
        """Roughly how many unknowns and places its links and its end rest on."""
        uses = [mark for link in self.links for mark in link.uses]
        return len({unknown for unknown, _ in (*uses, *self.end.uses)})


class Ground:
    """A position with what is needed to suppose things on it."""

    def __init__(self, position: Position, tables: Iterable[FillingTable]) -> None:
        layout: Layout = position.layout
        self.position = position
        self.layout = layout
        self.tables = tuple(tables)
        self.read_whole = frozenset(table.switch for table in self.tables if table.whole)
        self.tables_of: list[list[int]] = [[] for _ in layout.unknowns]
        for number, table in enumerate(self.tables):
            for unknown in table.scope:
                self.tables_of[unknown].append(number)
        self.full_zones_of = [
            tuple(zone for zone in layout.full_zones if zone.bits >> cell & 1)
            for cell in range(len(layout.cells))
        ]


Deeper = Callable[[Position, int], Iterator[Idea]]
"""Steps of further techniques, looked for where singles and single rules give nothing more: on a board
on which some unknowns (a bit set) changed.
"""


@dataclass(slots=True)
class _Found:
    """A link that could be taken, with everything that it rests on."""

    link: Link
    rests: int


@dataclass
class Supposition:
    """Follows one supposition: that an unknown has one of some of its candidates.

    ``most`` is the number of links beyond which nothing is followed.
    """

    ground: Ground
    supposed: tuple[Mark, ...]
    most: int
    deeper: Deeper | None = None
    links: list[Link] = field(default_factory=list)
    rests: list[int] = field(default_factory=list)
    best: tuple[int, int, End] | None = None

    def __post_init__(self) -> None:
        self.board = self.ground.position.copy()
        self.by: dict[Mark, int] = {}
        self.fresh: list[Mark] = []
        self.changed = 0
        self._deepened = 0
        self.links.append(Link("", places=self.supposed))
        self.rests.append(0)
        if len(self.supposed) == 1:
            ((unknown, value),) = self.supposed
            self._place(unknown, value, SUPPOSED)
            return
        unknown = self.supposed[0][0]
        for value in members(self.board.masks[unknown]):
            if (unknown, value) not in self.supposed:
                self._strike(unknown, value, SUPPOSED)

    def follow(self) -> Outcome | None:
        """How it ends, if it does within so many links."""
        while self.wave():
            pass
        return self.outcome()

    def wave(self) -> bool:
        """Take everything that follows at once; return whether more may follow.

        What ends in the next waves has at least as many links as there were waves.
        """
        fresh, self.fresh = self.fresh, []
        found = self._singles(fresh)
        found += self._by_rules(fresh)
        if not found and self.deeper and self._deepened != len(self.links) and self.best is None:
            self._deepened = len(self.links)
            found = self._by_techniques()
        found.sort(key=lambda one: (one.rests.bit_count(), *one.link.places, *one.link.removes))
        for one in found:
            self._take(one)
        return bool(self.fresh)

    def outcome(self) -> Outcome | None:
        """How it ends, as far as it was followed."""
        if self.best is None:
            return None
        _, rests, end = self.best
        return Outcome(self.supposed, tuple(self._needed(rests, end)), end)

    def _place(self, unknown: int, value: int, number: int) -> None:
        board, layout = self.board, self.ground.layout
        for other in members(board.masks[unknown] & ~(1 << value)):
            self._strike(unknown, other, number)
        board.placed |= 1 << unknown
        if layout.is_cell(unknown):
            for peer in members(layout.sees[unknown] & board.where[value]):
                self._strike(peer, value, number)

    def _strike(self, unknown: int, value: int, number: int) -> None:
        board = self.board
        if not board.masks[unknown] >> value & 1:
            return
        board.remove(unknown, value)
        self.by[unknown, value] = number
        self.fresh.append((unknown, value))
        self.changed |= 1 << unknown
        if not board.masks[unknown]:
            uses = self._gone(unknown)
            self._ends(End(unknown=unknown, uses=uses))
        if self.ground.layout.is_cell(unknown):
            for zone in self.ground.full_zones_of[unknown]:
                if not board.where[value] & zone.bits:
                    self._ends(End(digit=value, zone=zone, uses=self._gone_from(value, zone)))

    def _ends(self, end: End) -> None:
        rests = self._rests_on(end.uses)
        length = rests.bit_count()
        if length <= self.most and (self.best is None or length < self.best[0]):
            self.best = length, rests, end
            self.most = length - 1

    def _gone(self, unknown: int) -> tuple[Mark, ...]:
        """The candidates of an unknown that are gone since something was supposed."""
        gone = self.ground.position.masks[unknown] & ~self.board.masks[unknown]
        return tuple((unknown, value) for value in members(gone))

    def _gone_from(self, digit: int, zone: Zone) -> tuple[Mark, ...]:
        gone = self.ground.position.where[digit] & ~self.board.where[digit] & zone.bits
        return tuple((cell, digit) for cell in members(gone))

    def _rests_on(self, uses: Iterable[Mark]) -> int:
        rests = 0
        for mark in uses:
            number = self.by[mark]
            if number:
                rests |= self.rests[number] | 1 << number
        return rests

    def _found(self, link: Link) -> list[_Found]:
        rests = self._rests_on(link.uses)
        return [_Found(link, rests)] if rests.bit_count() < self.most else []

    def _singles(self, fresh: Sequence[Mark]) -> list[_Found]:
        board, zones_of = self.board, self.ground.full_zones_of
        masks, where, placed = board.masks, board.where, board.placed
        found: list[_Found] = []
        seen: set[object] = set()
        for cell, digit in fresh:
            if cell >= len(zones_of):
                continue
            mask = masks[cell]
            if mask and not mask & (mask - 1) and not placed >> cell & 1 and cell not in seen:
                seen.add(cell)
                mark = cell, mask.bit_length() - 1
                found += self._found(Link(naked_single.NAME, places=(mark,), uses=self._gone(cell)))
            there = where[digit]
            for zone in zones_of[cell]:
                places = there & zone.bits
                if places & (places - 1) or not places or places & placed:
                    continue
                if (digit, zone) in seen:
                    continue
                seen.add((digit, zone))
                mark = places.bit_length() - 1, digit
                found += self._found(
                    Link(
                        hidden_single.NAME,
                        places=(mark,),
                        zone=zone,
                        uses=self._gone_from(digit, zone),
                    )
                )
        return found

    def _by_rules(self, fresh: Sequence[Mark]) -> list[_Found]:
        found: list[_Found] = []
        ground, board = self.ground, self.board
        for number in dict.fromkeys(n for unknown, _ in fresh for n in ground.tables_of[unknown]):
            table = ground.tables[number]
            alive = table.alive(board.masks, self.changed)
            if not alive:
                uses = self._few(table, None)
                self._ends(End(switch=table.switch, uses=uses))
                continue
            struck: dict[tuple[Mark, ...], list[Mark]] = {}
            for place, unknown in enumerate(table.scope):
                having = table.having[place]
                for value in members(board.masks[unknown]):
                    if not having[value] & alive:
                        mark = unknown, value
                        struck.setdefault(self._few(table, (place, mark)), []).append(mark)
            for uses, marks in struck.items():
                found += self._found(
                    Link(rule_alone.NAME, removes=tuple(marks), switch=table.switch, uses=uses)
                )
        return found

    def _few(self, table: FillingTable, struck: tuple[int, Mark] | None) -> tuple[Mark, ...]:
        """Candidates that have to be gone for a rule to strike, those of few links.

        What was supposed costs nothing; the links are left out one by one, long ones first.
        """
        start, board = self.ground.position.masks, self.board
        gone = [
            (unknown, value)
            for unknown in table.scope
            for value in members(start[unknown] & ~board.masks[unknown])
        ]
        by_link: dict[int, list[Mark]] = {}
        for mark in gone:
            by_link.setdefault(self.by[mark], []).append(mark)
        numbers = sorted(
            (number for number in by_link if number),
            key=lambda number: (-self.rests[number].bit_count(), -number),
        )
        if not numbers:
            return tuple(gone)
        # The fillings that the candidates of each unknown allow and, last, those with the struck
        # candidate.
        place_of = {unknown: place for place, unknown in enumerate(table.scope)}
        allowed: dict[int, int] = {}
        for place, unknown in enumerate(table.scope):
            if board.masks[unknown] != start[unknown]:
                some = 0
                for value in members(board.masks[unknown]):
                    some |= table.having[place][value]
                allowed[place] = some
        every = table.every
        if struck is not None:
            every &= table.having[struck[0]][struck[1][1]]
        for number in numbers:
            wider = dict(allowed)
            for unknown, value in by_link[number]:
                place = place_of[unknown]
                wider[place] |= table.having[place][value]
            alive = every
            for some in wider.values():
                alive &= some
            if not alive:
                allowed = wider
                del by_link[number]
        return tuple(mark for marks in by_link.values() for mark in marks)

    def _by_techniques(self) -> list[_Found]:
        assert self.deeper
        found: list[_Found] = []
        for idea in self.deeper(self.board, self.changed):
            uses = {mark for cell in idea.cells for mark in self._gone(cell)}
            uses.update(mark for digit, zone in idea.spots for mark in self._gone_from(digit, zone))
            found += self._found(
                Link(
                    idea.technique,
                    places=idea.places,
                    removes=idea.removes,
                    idea=idea,
                    uses=tuple(sorted(uses)),
                )
            )
        return found

    def _take(self, found: _Found) -> None:
        link, board = found.link, self.board
        news = [mark for mark in link.removes if board.has(mark)]
        places = [mark for mark in link.places if not board.is_placed(mark[0])]
        if not news and not places:
            return
        number = len(self.links)
        self.links.append(link)
        self.rests.append(found.rests)
        for unknown, value in places:
            self._place(unknown, value, number)
        for unknown, value in news:
            self._strike(unknown, value, number)

    def _needed(self, rests: int, end: End) -> Iterator[Link]:
        """The links of a story, each with no more conclusions than are used."""
        wanted = set(end.uses)
        kept: list[Link] = []
        for number in reversed(members(rests)):
            link = self.links[number]
            mine = {mark for mark in wanted if self.by[mark] == number}
            if not mine:
                continue
            removes = tuple(mark for mark in link.removes if mark in mine)
            kept.append(
                Link(
                    link.technique,
                    link.places,
                    removes,
                    link.zone,
                    link.switch,
                    link.idea,
                    link.uses,
                )
            )
            wanted.update(link.uses)
        yield from reversed(kept)
