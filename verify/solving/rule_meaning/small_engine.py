"""Questions about a few premises of a puzzle, put to a small engine that knows nothing else.

A *desk* holds the compiled premises and the fillings found so far. It finds which candidates
no filling has, with few premises about candidates.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Sequence
from itertools import combinations
from math import comb

from gridassay.encodings.model import Premise
from gridassay.encodings.puzzle import Fact, Solution
from gridassay.verify.budget import Clock, TooHard
from gridassay.verify.engines.deletion import fewest
from gridassay.verify.engines.questions import Demand, Denial
from gridassay.verify.engines.sat import SatEngine
from gridassay.verify.solving.board.position import Layout, Mark, Position, Zone, members

_SOLVER = "glucose4"
_NO_LIMIT = Clock(float("inf"))
"""Questions here are small; a large one is broken off by the caller's clock (``running``)."""

_KEPT = 200
"""Fillings found of some cells up to which those are kept that the board at hand does not allow."""

Premised = int | tuple[int, Zone]
"""A premise about candidates: those of a cell, or the places of a digit in a zone."""

About = dict[Demand, Premised]
"""Premises about candidates by their handles in the desk's engine."""

_TRIED = 1000
"""Choices of premises about candidates of one number up to which all of them are tried."""


class SmallEngine:
    """An engine for some premises of a layout, over the unknowns of ``scope``."""

    def __init__(self, layout: Layout, premises: Sequence[Premise], scope: Sequence[int]) -> None:
        model = layout.model.excerpt(premises).with_free_letters
        self.layout = layout
        self._engine = SatEngine(model, _NO_LIMIT, solver=_SOLVER)
        self._place = {one: model.shown.index(layout.unknowns[one]) for one in scope}
        self._shown = {one: place for place, one in enumerate(model.shown)}
        self._denied: dict[Demand, list[tuple[int, int]]] = {}
        self._left: dict[Demand, int] = {}
        self._handles: dict[tuple[object, ...], Demand] = {}
        self._fillings: dict[tuple[tuple[str, ...], tuple[int, ...]], list[int]] = {}

    def about_cells(self, position: Position, cells: Iterable[int]) -> About:
        """Premises on the candidates of these cells, except cells that still have all of them."""
        layout, about = self.layout, About()
        for cell in cells:
            denied = layout.full[cell] & ~position.masks[cell]
            if denied:
                denials = (layout.denial((cell, value)) for value in members(denied))
                left = position.masks[cell].bit_count()
                about[self._handle((cell, denied), denials, left)] = cell
        return about

    def about_spots(self, position: Position, zone: Zone) -> About:
        """Premises on the places of each digit that is not placed in a zone that holds every digit."""
        layout, about = self.layout, About()
        for digit, places in enumerate(position.where if zone.full else ()):
            denied = zone.bits & ~places
            if denied and not places & zone.bits & position.placed:
                name = layout.digits[digit]
                denials = (Denial(layout.cells[cell], name) for cell in members(denied))
                key, left = (digit, zone.switch, denied), (places & zone.bits).bit_count()
                about[self._handle(key, denials, left)] = digit, zone
        return about

    def _handle(self, key: tuple[object, ...], denials: Iterable[Denial], left: int) -> Demand:
        """A premise that leaves so many values to an unknown, or places to a digit."""
        found = self._handles.get(key)
        if found is None:
            several = list(denials)
            found = self._handles[key] = self._engine.every(several)
            self._left[found] = left
            self._denied[found] = [(self._shown[one.variable], one.value) for one in several]
        return found

    def _breaks(self, filling: Solution, premise: Demand) -> bool:
        """Whether a premise about candidates does not hold in a filling."""
        return any(filling[place] == value for place, value in self._denied[premise])

    def strikes(
        self,
        position: Position,
        on: Sequence[str],
        cells: Sequence[int],
        about: About,
        *,
        among: Collection[Mark] | None = None,
        known: Collection[Mark] = (),
        effort: int | None = None,
    ) -> list[Mark]:
        """The candidates of some cells (``among`` these) that no filling has, in order.

        Those ``known`` not to be in one are not asked about. With ``effort``, also those of which so many
        conflicts do not show it.
        """
        size = self.layout.width
        open_bits = 0
        for place, cell in enumerate(cells):
            open_bits |= position.masks[cell] << place * size
        key = tuple(on), tuple(cells)
        # Fillings found before are still fillings while all of their candidates remain: on one board, if
        # not on another.
        fillings = self._fillings.get(key, [])
        held = [filling for filling in fillings if not filling & ~open_bits]
        if len(fillings) > _KEPT:
            fillings = held
        self._fillings[key] = fillings
        left, struck = open_bits, []
        spot = {cell: place * size for place, cell in enumerate(cells)}
        if among is not None:
            left &= sum(1 << spot[cell] + index for cell, index in among if cell in spot)
        sure = left & sum(1 << spot[cell] + index for cell, index in known if cell in spot)
        for filling in held:
            left &= ~filling
        if left & ~sure:
            # Fillings with many candidates that no filling has so far settle the most.
            self._engine.lean(self._facts(cells, left & ~sure))
        where = [
            (place * size, self._place[cell], self.layout.value_indexes(cell))
            for place, cell in enumerate(cells if left & ~sure else ())
        ]
        while left:
            bit = (left & -left).bit_length() - 1
            mark = cells[bit // size], bit % size
            if sure >> bit & 1:
                struck.append(mark)
                left &= ~(1 << bit)
                continue
            try:
                solution = self._ask(mark, on, about, effort)
            except TooHard:
                solution = None
            if solution is None:
                struck.append(mark)
                left &= ~(1 << bit)
                continue
            filling = 0
            for place, shown, number_of in where:
                filling |= 1 << place + number_of[solution[shown]]
            fillings.append(filling)
            self._engine.shun(self._facts(cells, left & filling))
            left &= ~filling
        return struck

    def _facts(self, cells: Sequence[int], bits: int) -> Iterator[Fact]:
        """The candidates in a bit set, as assertions."""
        layout, size = self.layout, self.layout.width
        for place, cell in enumerate(cells):
            for value in members(bits >> place * size & layout.full[cell]):
                yield layout.fact((cell, value))

    def filling(self, denials: Iterable[Denial], on: Sequence[str]) -> tuple[int, ...] | None:
        """The digits, by index, of the cells in a filling without these; None if there is none."""
        found = self._engine.solve(denials, _NO_LIMIT, on=on)
        if found is None:
            return None
        digits = self.layout.digit_index
        return tuple([digits[found[place]] for place in self._place.values()])

    def empty(self, on: Sequence[str], about: Iterable[Demand]) -> bool:
        """Whether there is no filling at all."""
        return self._engine.solve([], _NO_LIMIT, on=on, demands=about) is None

    def refuted(
        self, marks: Iterable[Mark], on: Sequence[str], about: Iterable[Demand]
    ) -> list[Mark]:
        """The candidates among some that these premises strike."""
        given, several = list(about), list(marks)
        domains = self.layout.domains
        left = dict.fromkeys(several)
        struck = set()
        for mark in several:
            if mark not in left:
                continue
            filling = self._ask(mark, on, given)
            if filling is None:
                struck.add(mark)
                del left[mark]
                continue
            # A filling also answers for the other candidates that it has.
            for other in [
                one for one in left if filling[self._place[one[0]]] == domains[one[0]][one[1]]
            ]:
                del left[other]
            self._engine.shun([self.layout.fact(mark)])
        return [mark for mark in several if mark in struck]

    def needed_demands(
        self, struck: Sequence[Mark], on: Sequence[str], about: About
    ) -> list[Demand]:
        """Premises about candidates that strike all of these, all of them needed."""
        given = list(about)
        bit = {one: 1 << place for place, one in enumerate(given)}
        # A filling with one of them refutes every choice that has none of the premises it breaks; what
        # a refutation rests on is enough in every choice.
        broken: list[int] = []
        proved: list[int] = []

        def enough(some: Sequence[Demand]) -> bool:
            bits = 0
            for one in some:
                bits |= bit[one]
            if any(not breaks & bits for breaks in broken):
                return False
            if any(not rests & ~bits for rests in proved):
                return True
            rests = 0
            for mark in struck:
                filling = self._ask(mark, on, some)
                if filling is not None:
                    broken.append(sum(bit[one] for one in given if self._breaks(filling, one)))
                    return False
                for one in self._engine.why().demands:
                    rests |= bit[one]
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
            return self._ask(mark, [*on, *some], given) is None

        return fewest(houses, enough)

    def _ask(
        self,
        mark: Mark,
        on: Sequence[str],
        about: Iterable[Demand],
        effort: int | None = None,
    ) -> Solution | None:
        fact = self.layout.fact(mark)
        return self._engine.solve([fact], _NO_LIMIT, on=on, demands=about, effort=effort)


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
