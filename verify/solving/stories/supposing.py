"""The consequences of one supposed candidate, link by link, with what each link rests on.

A supposition is followed level by level: first the links that rest on no other, then those that
rest on one, and so on, until nothing is left for something. Every link knows the links it rests on,
as a bit set; so a story's length is known before it is told, and no link is followed that would
make it longer than the shortest known. The strikes of a rule are read from its table, and rest on
no more links than needed. The order of all this is fixed, so the same walk always gives the same
story.

A link that turned out to need too much to be told is refused, and the supposition followed without it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field

from gridassay.verify.solving.board.ideas import Idea
from gridassay.verify.solving.board.position import Mark, Position, Zone, members
from gridassay.verify.solving.board.supposed import ruled_out
from gridassay.verify.solving.stories.links import (
    COMPLETING,
    SUPPOSED,
    End,
    Ground,
    Outcome,
    StoryLink,
    Telling,
    tellings,
    zones_at,
)
from gridassay.verify.solving.stories.losses import Losses
from gridassay.verify.solving.stories.shortening import Known, by_fewer, outcome_of
from gridassay.verify.solving.stories.tables import FillingTable
from gridassay.verify.solving.techniques import (
    hidden_single,
    naked_single,
    rule_alone,
)

_FEW_LINKS = 3
"""The most links of a story that is short enough as it is."""

_Single = tuple[Zone | None, int]
"""A cell with one candidate left (no zone), or a zone with one place left for a digit."""

Deeper = Callable[[Position, int], Iterator[Idea]]
"""Steps of further techniques, looked for where singles and single rules give nothing more: on a board
on which some unknowns (a bit set) changed.
"""


@dataclass
class Supposition:
    """Follows one supposition: that one of some candidates is true.

    ``most`` is the number of links beyond which nothing is followed.
    """

    ground: Ground
    supposed: tuple[Mark, ...]
    most: int
    deeper: Deeper | None = None
    refused: frozenset[Telling] = frozenset()
    links: list[StoryLink] = field(default_factory=list)
    rests: list[int] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.board = self.ground.position.copy()
        self._cells = len(self.ground.layout.cells)
        # The link by which each candidate went: by value, then by unknown.
        self.by: list[dict[int, int]] = [{} for _ in range(self.ground.layout.width)]
        # Strikes that have not been looked at: a value, and the unknowns (a bit set) that lost it.
        self.fresh: list[tuple[int, int]] = []
        self.changed = 0
        self._best: Outcome | None = None
        self._ended: list[tuple[int, End]] = []
        self._scanned = 0
        self._singles: list[_Single] = []
        self._deepened = 0
        self._since = 0
        self._joined = 0
        self._soonest = 0
        self._alive: dict[int, int] = {}
        self._found: dict[int, list[tuple[StoryLink, int]]] = {}
        self._offered: dict[Mark, int] = {}
        self._with_rests: list[int] = []
        self._number(StoryLink("", places=self.supposed), 0)
        self._with_rests[SUPPOSED] = 0  # it costs nothing
        if len(self.supposed) == 1:
            ((unknown, value),) = self.supposed
            self._place(unknown, value, SUPPOSED)
            return
        for unknown, value in ruled_out(self.board, self.supposed):
            self._strike(unknown, value, SUPPOSED)

    def follow(self) -> Outcome | None:
        """How it ends, if it ends within this many links."""
        for level in range(self.most):
            if self.best and len(self.best.links) <= level + 1:
                break
            self.rise(level)
        return self.best

    def fails(self) -> bool:
        """Whether it ends within so many links."""
        for level in range(self.most):
            self.rise(level)
            if self._ended:
                return True
        return False

    def rise(self, level: int) -> bool:
        """Take every link that rests on at most this many others; return whether there may be more.

        Every end within one more link is then known. Links that the latest strikes give rest on more,
        so they are looked for when they may be taken.
        """
        while True:
            if self.fresh and self._soonest <= level:
                self._look()
            lowest = min(self._found, default=None)
            if lowest is not None and lowest <= level:
                found = self._found.pop(lowest)
                found.sort(key=lambda one: (one[0].places, one[0].removes))
                for link, rests in found:
                    self._take(link, rests)
            elif self.fresh and self._soonest > level:
                self._scan()
                self._end_by_rules()
                return True
            elif lowest is not None:
                return True
            elif self.deeper and self.best is None and self._deepened != len(self.links):
                self._deepened = len(self.links)
                self._by_techniques()
            else:
                return bool(self.fresh)

    def _number(self, link: StoryLink, rests: int) -> int:
        """Enter a link that is taken; its number."""
        number = len(self.links)
        self.links.append(link)
        self.rests.append(rests)
        self._with_rests.append(rests | 1 << number)
        return number

    def _place(self, unknown: int, value: int, number: int) -> None:
        board, layout = self.board, self.ground.layout
        for other in members(board.masks[unknown] & ~(1 << value)):
            self._strike(unknown, other, number)
        board.placed |= 1 << unknown
        if unknown < self._cells and (peers := layout.sees[unknown] & board.where[value]):
            self._strike_in(peers, value, number)

    def _strike_in(self, cells: int, value: int, number: int) -> None:
        """Strike a digit in some cells (a bit set), all of which have it."""
        board, row, bit = self.board, self.by[value], 1 << value
        masks = board.masks
        for cell in members(cells):
            row[cell] = number
            masks[cell] ^= bit
        board.where[value] ^= cells
        self._went(cells, value)

    def _strike(self, unknown: int, value: int, number: int) -> None:
        board = self.board
        before, bit = board.masks[unknown], 1 << value
        if not before & bit:
            return
        if unknown < self._cells:
            self._strike_in(1 << unknown, value, number)
            return
        mask = board.masks[unknown] = before ^ bit
        self.by[value][unknown] = number
        self._went(1 << unknown, value)
        if mask and not mask & (mask - 1):
            board.placed |= 1 << unknown

    def _went(self, unknowns: int, value: int) -> None:
        """Note that some unknowns lost a value."""
        self.fresh.append((unknowns, value))
        self.changed |= unknowns
        self._since |= unknowns

    @property
    def best(self) -> Outcome | None:
        """How it ends by the fewest links, without needless ones, as far as is known."""
        for rests, end in self._ended:
            links = [self.links[number] for number in members(rests)]
            outcome = outcome_of(self.ground.position, self.supposed, links, end)
            if self._best is None or len(outcome.links) < len(self._best.links):
                self._best = outcome
        self._ended.clear()
        return self._best

    def _ends(self, end: End) -> None:
        rests = self._rests_on(end.uses)
        if self._count(rests) <= self.most:
            self._ended.append((rests, end))
            self.most = self._count(rests) - 1

    def _losses(self, unknown: int) -> tuple[Mark, ...]:
        """The candidates of an unknown that have gone since the supposition."""
        gone = self.ground.position.masks[unknown] & ~self.board.masks[unknown]
        return tuple([(unknown, value) for value in members(gone)])

    def _gone_from(self, digit: int, zone: Zone) -> tuple[Mark, ...]:
        gone = self.ground.position.where[digit] & ~self.board.where[digit] & zone.bits
        return tuple([(cell, digit) for cell in members(gone)])

    def _rests_on(self, uses: Iterable[Mark]) -> int:
        rests, by, with_rests = 0, self.by, self._with_rests
        for unknown, value in uses:
            rests |= with_rests[by[value][unknown]]
        return rests

    def _count(self, rests: int) -> int:
        """The number of these links; a single that a rule leaves is placed in the same link."""
        return (rests & ~self._joined).bit_count()

    def _offer(self, link: StoryLink, rests: int) -> None:
        """A link that can be taken, unless it leads to nothing shorter."""
        count = self._count(rests)
        if count < self.most and self.refused.isdisjoint(tellings(link) if self.refused else ()):
            self._found.setdefault(count, []).append((link, rests))

    def _look(self) -> None:
        """Look for the links that the latest strikes give."""
        self._scan()
        self._end_by_rules()
        self._soonest = self.most
        self._offer_singles()
        self._by_rules()
        self.fresh.clear()
        self._scanned = 0

    def _scan(self) -> None:
        """Find the singles and the ends in the cells and zones of the latest strikes."""
        if self._scanned == len(self.fresh):
            return
        self._scanned = len(self.fresh)
        masks, where, placed = self.board.masks, self.board.where, self.board.placed
        cells, layout = self._cells, self.ground.layout
        singles: list[_Single] = []
        seen: set[object] = set()
        ends = False
        for unknowns, value in self.fresh:
            for unknown in members(unknowns):
                mask = masks[unknown]
                if not mask & (mask - 1):
                    if not mask:
                        ends = True
                    elif unknown < cells and not placed >> unknown & 1 and unknown not in seen:
                        seen.add(unknown)
                        singles.append((None, unknown))
            for bits, zone in zones_at(layout, unknowns):
                places = where[value] & bits
                if not places & (places - 1):
                    if not places:
                        ends = True
                    elif not places & placed and (value, zone) not in seen:
                        seen.add((value, zone))
                        singles.append((zone, value))
        self._singles = singles
        if ends:
            self._end_by_singles()

    def _end_by_singles(self) -> None:
        """Note the ends in the cells and zones of the latest strikes, in the order in which they came."""
        masks, where, layout = self.board.masks, self.board.where, self.ground.layout
        ends: dict[object, tuple[tuple[int, int, int], int, Zone | None]] = {}
        for time, (unknowns, value) in enumerate(self.fresh):
            for unknown in members(unknowns):
                if not masks[unknown]:
                    ends[unknown] = (time, unknown, 0), unknown, None
                for order, (bits, zone) in enumerate(zones_at(layout, 1 << unknown), 1):
                    if not where[value] & bits:
                        ends[value, zone] = (time, unknown, order), value, zone
        for _, one, place in sorted(ends.values(), key=lambda end: end[0]):
            if place is None:
                self._ends(End(unknown=one, uses=self._losses(one)))
            else:
                self._ends(End(digit=one, zone=place, uses=self._gone_from(one, place)))

    def _offer_singles(self) -> None:
        """Offer the placements that are left, each of them once if no later way is by fewer links."""
        start, board, most = self.ground.position, self.board, self.most
        by, with_rests, joined = self.by, self._with_rests, self._joined
        for zone, number in self._singles:
            rests = 0
            if zone is None:
                cell, mask = number, board.masks[number]
                value = mask.bit_length() - 1
                for other in members(start.masks[cell] & ~mask):
                    rests |= with_rests[by[other][cell]]
            else:
                value, row, there = number, by[number], board.where[number]
                cell = (there & zone.bits).bit_length() - 1
                for other in members(start.where[value] & zone.bits & ~there):
                    rests |= with_rests[row[other]]
            count = (rests & ~joined).bit_count()
            if count >= most or board.placed >> cell & 1:
                continue
            mark = cell, value
            if not self.refused and self._offered.get(mark, most) <= count:
                self._found.setdefault(count, [])  # it will have been placed by then
                continue
            uses = self._losses(cell) if zone is None else self._gone_from(value, zone)
            name = naked_single.NAME if zone is None else hidden_single.NAME
            self._offered[mark] = count
            self._offer(StoryLink(name, places=(mark,), zone=zone, uses=uses), rests)

    def _end_by_rules(self) -> None:
        """Look for rules that the latest strikes leave without a filling."""
        ground, masks, known = self.ground, self.board.masks, self._alive
        for unknowns, _ in self.fresh:
            for number in ground.tables_at(unknowns):
                if number in known:
                    continue
                table = ground.tables[number]
                alive = known[number] = table.alive(masks, self.changed)
                if not alive:
                    uses = self._losses_in(table).few(table.every)
                    self._ends(End(switch=table.switch, uses=uses))

    def _by_rules(self) -> None:
        ground, masks = self.ground, self.board.masks
        several, self._alive = self._alive, {}
        for number, alive in several.items():
            if not alive:
                continue
            table = ground.tables[number]
            struck: dict[tuple[Mark, ...], list[Mark]] = {}
            losses: Losses | None = None
            for place, unknown, lost in table.lost(alive):
                for value in members(masks[unknown] & lost):
                    losses = losses or self._losses_in(table)
                    uses = losses.few(table.every & table.having[place][value])
                    struck.setdefault(uses, []).append((unknown, value))
            for uses, marks in struck.items():
                link = StoryLink(
                    rule_alone.NAME, removes=tuple(marks), switch=table.switch, uses=uses
                )
                self._offer(link, self._rests_on(uses))

    def _losses_in(self, table: FillingTable) -> Losses:
        return Losses(table, self.ground.position.masks, self.board.masks, self.by, self.rests)

    def _by_techniques(self) -> None:
        assert self.deeper
        since, self._since = self._since, 0
        for idea in self.deeper(self.board, since):
            several = {mark for cell in idea.cells for mark in self._losses(cell)}
            several.update(m for digit, zone in idea.spots for m in self._gone_from(digit, zone))
            uses = tuple(sorted(several))
            link = StoryLink(
                idea.technique, places=idea.places, removes=idea.removes, idea=idea, uses=uses
            )
            self._offer(link, self._rests_on(uses))

    def _take(self, link: StoryLink, rests: int) -> None:
        masks, placed = self.board.masks, self.board.placed
        news = [mark for mark in link.removes if masks[mark[0]] >> mark[1] & 1]
        places = [mark for mark in link.places if not placed >> mark[0] & 1]
        if not news and not places:
            return
        number = self._number(link, rests)
        if link.technique == naked_single.NAME and any(
            self.links[self.by[value][unknown]].technique in COMPLETING
            for unknown, value in link.uses
        ):
            self._joined |= 1 << number
        self._soonest = min(self._soonest, self._count(rests | 1 << number))
        for unknown, value in places:
            self._place(unknown, value, number)
        for unknown, value in news:
            self._strike(unknown, value, number)

    def shorten(self, longest: int) -> None:
        """Try to reach the end by fewer links, if they are more than a few and not too many.

        This is tried for each link of the story, until none makes it shorter.
        """
        at_once = [
            (unknown, value)
            for value, row in enumerate(self.by)
            for unknown, number in row.items()
            if number == SUPPOSED
        ]
        known = Known(self.links, self.rests, at_once)
        while (best := self.best) and _FEW_LINKS < len(best.links) <= longest:
            story = self._rests_on(best.end.uses)
            self._best = by_fewer(self.ground.position, best, known, story)
            if self._best is best:
                return
