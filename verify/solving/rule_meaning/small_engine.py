"""Questions about a few premises of a puzzle, put to a small engine that knows nothing else.

A *desk* holds the compiled premises and the fillings found so far. It finds which candidates
no filling has, with few premises about candidates.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from itertools import combinations
from math import comb

from gridassay.encodings.model import Premise
from gridassay.verify.budget import Clock, TooHard
from gridassay.verify.engines.deletion import fewest
from gridassay.verify.engines.questions import Demand
from gridassay.verify.engines.sat import SatEngine
from gridassay.verify.solving.board.position import Layout, Mark, Position, Zone, members
from gridassay.verify.solving.rule_meaning.evidence import Evidence, EvidenceBook

_SOLVER = "glucose4"
_NO_LIMIT = Clock(float("inf"))
"""Questions here are small; a large one is broken off by the caller's clock (``running``)."""

Premised = int | tuple[int, Zone]
"""A premise about candidates: those of a cell, or the places of a digit in a zone."""

About = dict[Demand, Premised]
"""Premises about candidates by their handles in the desk's engine."""

_GLANCE = 20
"""Conflicts within which fillings are found that keep more than is asked."""

_TRIED = 1000
"""Choices of premises about candidates of one number up to which all of them are tried."""


class SmallEngine:
    """An engine for some premises of a layout, over the unknowns of ``scope``."""

    def __init__(self, layout: Layout, premises: Sequence[Premise], scope: Sequence[int]) -> None:
        model = layout.model.excerpt(premises).with_free_letters
        self.layout = layout
        self._engine = SatEngine(model, _NO_LIMIT, solver=_SOLVER)
        self._place = {one: model.shown.index(layout.unknowns[one]) for one in scope}
        self._left: dict[Demand, int] = {}
        self._handles: dict[tuple[object, ...], Demand] = {}
        self._evidence = EvidenceBook()
        # Candidates and premises are bits: a candidate stands for the premises that deny it.
        self._scope = tuple(scope)
        self._spot = {one: place * layout.width for place, one in enumerate(scope)}
        self._denied: dict[Demand, int] = {}
        own = len(scope) * layout.width
        self._own = {one.name: 1 << own + place for place, one in enumerate(premises)}
        self._every_own = sum(self._own.values())

    def about_cells(self, position: Position, cells: Iterable[int]) -> About:
        """Premises on the candidates of these cells, except cells that still have all of them."""
        masks = position.masks
        return self._about({cell: masks[cell] for cell in cells})

    def _about(self, left: Mapping[int, int]) -> About:
        full, known, about = self.layout.full, self._handles.get, About()
        for cell, mask in left.items():
            denied = full[cell] & ~mask
            if denied:
                about[known((cell, denied)) or self._about_cell(cell, denied)] = cell
        return about

    def _about_cell(self, cell: int, denied: int) -> Demand:
        left = self.layout.full[cell] & ~denied
        marks = [(cell, value) for value in members(denied)]
        return self._premise((cell, denied), marks, left.bit_count())

    def about_spots(self, position: Position, zone: Zone) -> About:
        """Premises on the places of each digit that is not placed in a zone that holds every digit."""
        about = About()
        for digit, places in enumerate(position.where if zone.full else ()):
            denied = zone.bits & ~places
            if denied and not places & zone.bits & position.placed:
                key = digit, zone.switch, denied
                known = self._handles.get(key)
                if known is None:
                    marks = [(cell, digit) for cell in members(denied)]
                    known = self._premise(key, marks, (places & zone.bits).bit_count())
                about[known] = digit, zone
        return about

    def _premise(self, key: tuple[object, ...], denied: Sequence[Mark], left: int) -> Demand:
        """A new premise that denies these; ``left`` is the number of values or places that it leaves."""
        made = self._handles[key] = self._engine.every(list(map(self.layout.denial, denied)))
        self._left[made] = left
        self._denied[made] = sum(map(self._bit, denied))
        return made

    def _bit(self, mark: Mark) -> int:
        return 1 << self._spot[mark[0]] + mark[1]

    def _bits(self, on: Iterable[str], about: Iterable[Demand]) -> int:
        """The premises of a question."""
        bits = 0
        for name in on:
            bits |= self._own[name]
        for one in about:
            bits |= self._denied[one]
        return bits

    def _marks(self, bits: int, cells: Iterable[int]) -> Iterator[Mark]:
        """The candidates in a bit set, of these cells, in order."""
        full, spot = self.layout.full, self._spot
        for cell in cells:
            for value in members(bits >> spot[cell] & full[cell]):
                yield cell, value

    def strikes(
        self,
        position: Position,
        on: Sequence[str],
        cells: Sequence[int],
        about: About,
        *,
        known: Collection[Mark] = (),
        also: Callable[[], tuple[Sequence[str], About]] | None = None,
    ) -> list[Mark]:
        """The candidates of some cells that no filling has, in order.

        Those ``known`` not to be in one are not asked about. ``also`` gives more premises: fillings that
        keep them too, and so answer more questions, are looked for first.
        """
        masks, spot = position.masks, self._spot
        left = 0
        for cell in cells:
            left |= masks[cell] << spot[cell]
        struck = left & sum(self._bit(mark) for mark in known if mark[0] in spot)
        left &= ~struck
        premises = self._bits(on, about)
        unseen = left
        while left:
            bit = left & -left
            left ^= bit
            filling = self._evidence.filling(bit, premises)
            if filling:
                left &= ~filling.premises
                unseen &= ~filling.premises
        if not unseen:
            return list(self._marks(struck, cells)) if struck else []
        # Fillings with many candidates that no filling has so far settle the most.
        self._engine.lean(map(self.layout.fact, self._marks(unseen, cells)))
        if also:
            unseen = self._without(unseen, cells, *also(), effort=_GLANCE)
        struck |= self._without(unseen, cells, on, about)
        return list(self._marks(struck, cells))

    def _without(
        self,
        left: int,
        cells: Sequence[int],
        on: Sequence[str],
        about: About,
        *,
        effort: int | None = None,
    ) -> int:
        """Those of some candidates (bits) of which no filling is found."""
        premises = self._bits(on, about)
        struck = 0
        while left:
            bit = left & -left
            (mark,) = self._marks(bit, cells)
            try:
                answer = self._ask(mark, premises, on, about, effort)
            except TooHard:
                answer = Evidence(found=False, premises=premises)
            if not answer.found:
                struck |= bit
                left ^= bit
                continue
            self._engine.shun(map(self.layout.fact, self._marks(left & answer.premises, cells)))
            left &= ~answer.premises
            struck &= ~answer.premises
        return struck

    def filling(
        self, left: Mapping[int, int], cells: Iterable[int], on: Sequence[str]
    ) -> tuple[int, ...] | None:
        """The values, by index, of some cells in a filling; None if there is none.

        ``left`` has the candidates of cells (bit sets), others have all of them.
        """
        about = self._about(left)
        answer = self._ask(None, self._bits(on, about), on, about)
        return (
            tuple([value for _, value in self._marks(answer.premises, cells)])
            if answer.found
            else None
        )

    def empty(self, on: Sequence[str], about: Iterable[Demand]) -> bool:
        """Whether there is no filling at all."""
        demands = list(about)
        return not self._ask(None, self._bits(on, demands), on, demands).found

    def refuted(
        self, marks: Iterable[Mark], on: Sequence[str], about: Iterable[Demand]
    ) -> list[Mark]:
        """The candidates among some that these premises strike."""
        given, several = list(about), list(marks)
        premises = self._bits(on, given)
        left = {mark: self._bit(mark) for mark in several}
        struck = set()
        for mark in several:
            if mark not in left:
                continue
            answer = self._ask(mark, premises, on, given)
            if not answer.found:
                struck.add(mark)
                del left[mark]
                continue
            # A filling also answers for the other candidates that it has.
            left = {one: bit for one, bit in left.items() if not bit & answer.premises}
            self._engine.shun([self.layout.fact(mark)])
        return [mark for mark in several if mark in struck]

    def needed_demands(
        self, struck: Sequence[Mark], on: Sequence[str], about: About
    ) -> list[Demand]:
        """Premises about candidates that strike all of these, all of them needed."""
        given = list(about)
        # A filling with one of them refutes every choice that has none of the premises it breaks; what
        # a refutation rests on is enough in every choice.
        broken: list[int] = []
        proved: list[int] = []

        def enough(some: Sequence[Demand]) -> bool:
            premises = self._bits(on, some)
            for breaks in broken:
                if not breaks & premises:
                    return False
            for rests in proved:
                if not rests & ~premises:
                    return True
            rests = 0
            for mark in struck:
                answer = self._ask(mark, premises, on, some)
                if answer.found:
                    broken.append(answer.premises)
                    return False
                rests |= answer.premises
            proved.append(rests)
            return True

        cells = {one for one, premise in about.items() if isinstance(premise, int)}
        # Decided cells of the rule, which are given first, are told rather than those around it.
        decided = [one for one in given[::-1] if one in cells and self._left[one] == 1]
        # What leaves much takes long to say, and what is decided is seen: the one is left out first, the
        # other last. Of the two orders one tends to keep candidates of cells, the other places of digits.
        loosest = [one for one in given if one not in decided]
        loosest.sort(key=lambda one: -self._left[one])
        orders = [sorted(loosest, key=lambda one: (one in cells) is late) for late in (True, False)]
        kept = [fewest([*order, *decided], enough) for order in orders]

        def cost(some: list[Demand]) -> tuple[int, int, int]:
            return (
                len(set(some).difference(decided)),
                len(some),
                sum(self._left[one] for one in some),
            )

        best = min(kept, key=cost)
        few = _fewer(loosest[::-1], cost(best)[0], lambda some: enough([*some, *decided]))
        if few is not None:
            best = fewest([*decided, *few], enough)
        return [one for one in given if one in best]

    def houses_needed(
        self, mark: Mark, on: Sequence[str], houses: Sequence[str], about: Iterable[Demand]
    ) -> list[str]:
        """Houses with which a candidate is struck, all of them needed."""
        given = list(about)

        def enough(some: list[str]) -> bool:
            every = [*on, *some]
            return not self._ask(mark, self._bits(every, given), every, given).found

        return fewest(houses, enough)

    def _ask(
        self,
        mark: Mark | None,
        premises: int,
        on: Sequence[str],
        about: Iterable[Demand],
        effort: int | None = None,
    ) -> Evidence:
        """Whether there is a filling (with a candidate); ``premises`` are the bits of the question."""
        bit = self._bit(mark) if mark else 0
        evidence = self._evidence
        known = evidence.filling(bit, premises) or evidence.refutation(bit, premises)
        if known:
            return known
        facts = [self.layout.fact(mark)] if mark else []
        solution = self._engine.solve(facts, _NO_LIMIT, on=on, demands=about, effort=effort)
        if solution is None:
            why = self._engine.why()
            answer = Evidence(found=False, premises=self._bits(map(str, why.premises), why.demands))
            evidence.keep([bit], answer)
            return answer
        indexes = self.layout.value_indexes
        had = [
            1 << spot + indexes(one)[solution[self._place[one]]] for one, spot in self._spot.items()
        ]
        answer = Evidence(found=True, premises=sum(had) | self._every_own & ~premises)
        evidence.keep([0, *had], answer)
        return answer


def _fewer(
    items: Sequence[Demand], number: int, enough: Callable[[Sequence[Demand]], bool]
) -> Sequence[Demand] | None:
    """The first of the smallest choices below a number that are enough; None if none is found."""
    for size in range(number):
        if comb(len(items), size) > _TRIED:
            return None
        found = next((some for some in combinations(items, size) if enough(some)), None)
        if found is not None:
            return found
    return None
