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

from collections.abc import Callable, Iterable, Iterator, Sequence
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
)
from gridassay.verify.solving.stories.shortening import Known, needed_links, shorter
from gridassay.verify.solving.stories.tables import FillingTable
from gridassay.verify.solving.techniques import (
    hidden_single,
    naked_single,
    rule_alone,
)

_FEW_LINKS = 3
"""The most links of a story that is short enough as it is."""

Deeper = Callable[[Position, int], Iterator[Idea]]
"""Steps of further techniques, looked for where singles and single rules give nothing more: on a board
on which some unknowns (a bit set) changed.
"""


class _Read:
    """A table on a supposed board: what each unknown allows, and the links by which candidates went.

    ``numbers`` are these links, long ones first; ``allowed`` holds the fillings by unknown.
    """

    def __init__(self, one: Supposition, table: FillingTable) -> None:
        start, masks = one.ground.position.masks, one.board.masks
        self.having: dict[int, tuple[int, ...]] = {}
        self.allowed: dict[int, int] = {}
        self.by_link: dict[int, list[Mark]] = {}
        for place, unknown in enumerate(table.scope):
            gone = start[unknown] & ~masks[unknown]
            if not gone:
                continue
            self.having[unknown] = table.having[place]
            self.allowed[unknown] = table.with_any(place, masks[unknown])
            for value in members(gone):
                mark = unknown, value
                self.by_link.setdefault(one.by[mark], []).append(mark)
        rests = one.rests
        self.numbers = sorted(
            (number for number in self.by_link if number),
            key=lambda number: (-rests[number].bit_count(), -number),
        )


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
    best: Outcome | None = None

    def __post_init__(self) -> None:
        self.board = self.ground.position.copy()
        self._cells = len(self.ground.layout.cells)
        self.by: dict[Mark, int] = {}
        self.fresh: list[Mark] = []
        self.changed = 0
        self._deepened = 0
        self._since = 0
        self._joined = 0
        self._soonest = 0
        self._alive: dict[int, int] = {}
        self._found: list[list[tuple[StoryLink, int]]] = [[] for _ in range(self.most + 1)]
        self.links.append(StoryLink("", places=self.supposed))
        self.rests.append(0)
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
            if self.best:
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
            lowest = next((n for n, some in enumerate(self._found) if some), None)
            if lowest is not None and lowest <= level:
                found, self._found[lowest] = self._found[lowest], []
                found.sort(key=lambda one: (one[0].places, one[0].removes))
                for link, rests in found:
                    self._take(link, rests)
            elif self.fresh and self._soonest > level:
                self._end_by_rules()
                return True
            elif lowest is not None:
                return True
            elif self.deeper and self.best is None and self._deepened != len(self.links):
                self._deepened = len(self.links)
                self._by_techniques()
            else:
                return bool(self.fresh)

    def _place(self, unknown: int, value: int, number: int) -> None:
        board, layout = self.board, self.ground.layout
        for other in members(board.masks[unknown] & ~(1 << value)):
            self._strike(unknown, other, number)
        board.placed |= 1 << unknown
        if unknown < self._cells:
            self._strike_in(layout.sees[unknown] & board.where[value], value, number)

    def _strike_in(self, cells: int, value: int, number: int) -> None:
        """Strike a digit in some cells (a bit set), all of which have it."""
        board, zones_of, by, fresh = self.board, self.ground.full_zones_of, self.by, self.fresh
        masks, bit = board.masks, 1 << value
        self.changed |= cells
        self._since |= cells
        for cell in members(cells):
            mark = cell, value
            by[mark] = number
            fresh.append(mark)
            mask = masks[cell] = masks[cell] ^ bit
            there = board.where[value] = board.where[value] ^ 1 << cell
            if not mask:
                self._ends(End(unknown=cell, uses=self._losses(cell)))
            for bits, zone in zones_of[cell]:
                if not there & bits:
                    self._ends(End(digit=value, zone=zone, uses=self._gone_from(value, zone)))

    def _strike(self, unknown: int, value: int, number: int) -> None:
        board = self.board
        before, bit = board.masks[unknown], 1 << value
        if not before & bit:
            return
        if unknown < self._cells:
            self._strike_in(1 << unknown, value, number)
            return
        mark = unknown, value
        mask = board.masks[unknown] = before ^ bit
        self.by[mark] = number
        self.fresh.append(mark)
        self.changed |= 1 << unknown
        self._since |= 1 << unknown
        if not mask:
            self._ends(End(unknown=unknown, uses=self._losses(unknown)))
        elif not mask & (mask - 1):
            board.placed |= 1 << unknown

    def _ends(self, end: End) -> None:
        length = self._count(self._rests_on(end.uses))
        if length <= self.most:
            outcome = self._outcome(end)
            if self.best is None or len(outcome.links) < len(self.best.links):
                self.best = outcome
            self.most = length - 1

    def _losses(self, unknown: int) -> tuple[Mark, ...]:
        """The candidates of an unknown that have gone since the supposition."""
        gone = self.ground.position.masks[unknown] & ~self.board.masks[unknown]
        return tuple([(unknown, value) for value in members(gone)])

    def _gone_from(self, digit: int, zone: Zone) -> tuple[Mark, ...]:
        gone = self.ground.position.where[digit] & ~self.board.where[digit] & zone.bits
        return tuple([(cell, digit) for cell in members(gone)])

    def _rests_on(self, uses: Iterable[Mark]) -> int:
        rests, by, above = 0, self.by, self.rests
        for mark in uses:
            number = by[mark]
            if number:
                rests |= above[number] | 1 << number
        return rests

    def _count(self, rests: int) -> int:
        """The number of these links; a single that a rule leaves is placed in the same link."""
        return (rests & ~self._joined).bit_count()

    def _offer(self, link: StoryLink) -> None:
        """A link that can be taken, unless it leads to nothing shorter."""
        rests = self._rests_on(link.uses)
        count = self._count(rests)
        if count < self.most and not (self.refused and self._refuses(link)):
            self._found[count].append((link, rests))

    def _refuses(self, link: StoryLink) -> bool:
        return not self.refused.isdisjoint(tellings(link))

    def _look(self) -> None:
        """Look for the links that the latest strikes give."""
        self._end_by_rules()
        fresh, self.fresh = self.fresh, []
        self._soonest = self.most
        self._singles(fresh)
        self._by_rules()

    def _singles(self, fresh: Sequence[Mark]) -> None:
        board, zones_of = self.board, self.ground.full_zones_of
        masks, where, placed = board.masks, board.where, board.placed
        cells = self._cells
        seen: set[object] = set()
        for cell, digit in fresh:
            if cell >= cells:
                continue
            mask = masks[cell]
            if mask and not mask & (mask - 1) and not placed >> cell & 1 and cell not in seen:
                seen.add(cell)
                mark = cell, mask.bit_length() - 1
                self._offer(StoryLink(naked_single.NAME, places=(mark,), uses=self._losses(cell)))
            there = where[digit]
            for bits, zone in zones_of[cell]:
                places = there & bits
                if places & (places - 1) or not places or places & placed:
                    continue
                if (digit, zone) in seen:
                    continue
                seen.add((digit, zone))
                mark = places.bit_length() - 1, digit
                self._offer(
                    StoryLink(
                        hidden_single.NAME,
                        places=(mark,),
                        zone=zone,
                        uses=self._gone_from(digit, zone),
                    )
                )

    def _end_by_rules(self) -> None:
        """Look for rules that the latest strikes leave without a filling."""
        ground, masks, known = self.ground, self.board.masks, self._alive
        for unknown in dict.fromkeys([one for one, _ in self.fresh]):
            for number in ground.tables_of[unknown]:
                if number in known:
                    continue
                table = ground.tables[number]
                alive = known[number] = table.alive(masks, self.changed)
                if not alive:
                    uses = self._few(_Read(self, table), table.every)
                    self._ends(End(switch=table.switch, uses=uses))

    def _by_rules(self) -> None:
        ground, masks = self.ground, self.board.masks
        several, self._alive = self._alive, {}
        for number, alive in several.items():
            if not alive:
                continue
            table = ground.tables[number]
            struck: dict[tuple[Mark, ...], list[Mark]] = {}
            read: _Read | None = None
            for place, (unknown, left) in enumerate(
                zip(table.scope, table.left(alive), strict=True)
            ):
                gone = masks[unknown] & ~left
                for value in members(gone) if gone else ():
                    read = read or _Read(self, table)
                    uses = self._few(read, table.every & table.having[place][value])
                    struck.setdefault(uses, []).append((unknown, value))
            for uses, marks in struck.items():
                self._offer(
                    StoryLink(rule_alone.NAME, removes=tuple(marks), switch=table.switch, uses=uses)
                )

    def _few(self, read: _Read, every: int) -> tuple[Mark, ...]:
        """Candidates that have to be gone so that none of these fillings is left, chosen for few links.

        The supposition costs nothing; the links are left out one by one, long ones first.
        """
        allowed, by_link, having = read.allowed, read.by_link, read.having
        left_out: set[int] = set()
        for number in read.numbers:
            wider = dict(allowed)
            for unknown, value in by_link[number]:
                wider[unknown] |= having[unknown][value]
            alive = every
            for some in wider.values():
                alive &= some
                if not alive:
                    break
            if not alive:
                allowed = wider
                left_out.add(number)
        return tuple(
            mark for number, some in by_link.items() if number not in left_out for mark in some
        )

    def _by_techniques(self) -> None:
        assert self.deeper
        since, self._since = self._since, 0
        for idea in self.deeper(self.board, since):
            uses = {mark for cell in idea.cells for mark in self._losses(cell)}
            uses.update(mark for digit, zone in idea.spots for mark in self._gone_from(digit, zone))
            self._offer(
                StoryLink(
                    idea.technique,
                    places=idea.places,
                    removes=idea.removes,
                    idea=idea,
                    uses=tuple(sorted(uses)),
                )
            )

    def _take(self, link: StoryLink, rests: int) -> None:
        masks, placed = self.board.masks, self.board.placed
        news = [mark for mark in link.removes if masks[mark[0]] >> mark[1] & 1]
        places = [mark for mark in link.places if not placed >> mark[0] & 1]
        if not news and not places:
            return
        number = len(self.links)
        self.links.append(link)
        self.rests.append(rests)
        if link.technique == naked_single.NAME and any(
            self.links[self.by[mark]].technique in COMPLETING for mark in link.uses
        ):
            self._joined |= 1 << number
        self._soonest = min(self._soonest, self._count(rests | 1 << number))
        for unknown, value in places:
            self._place(unknown, value, number)
        for unknown, value in news:
            self._strike(unknown, value, number)

    def _outcome(self, end: End) -> Outcome:
        """How it ends, without needless links.

        A strike of a rule may also come from a placement that the story needs anyway.
        """
        return self._tell(members(self._rests_on(end.uses)), end)

    def _tell(self, numbers: Iterable[int], end: End) -> Outcome:
        links = [self.links[number] for number in numbers]
        while True:
            kept = needed_links(self.ground.position, self.supposed, links, end)
            if len(kept) == len(links):
                return Outcome(self.supposed, tuple(kept), end)
            links = kept

    def shorten(self, longest: int) -> None:
        """Try to reach the end by fewer links, if they are more than a few and not too many.

        A link is left out, and then, of all known links, whatever the others do not need. This is
        tried for each link of the story, until none makes it shorter.
        """
        while self.best and _FEW_LINKS < len(self.best.links) <= longest:
            end = self.best.end
            known = Known(self.links, self.rests, [m for m, by in self.by.items() if not by])
            short = shorter(self.ground.position, known, end, self._rests_on(end.uses))
            found = [self._tell(numbers, end) for numbers in short]
            best = min(found, key=lambda one: len(one.links), default=self.best)
            if len(best.links) >= len(self.best.links):
                return
            self.best = best
