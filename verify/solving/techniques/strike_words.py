"""What a rule strikes, in numbers: the fillings that are left to it, or what its cells make at least.

A rule is read by its meaning (``rule_meaning/sums.py``, and its constraints), never by its kind. Where
few fillings are left they are said, else the bound that the other cells set; a rule that says neither
names the candidates that it was read with, and what they leave.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from math import factorial, prod

from gridassay.encodings.constraints import Constraint
from gridassay.encodings.grid import Cell
from gridassay.verify.solving.board.ideas import listed
from gridassay.verify.solving.board.position import Layout, Mark, Position, Zone, bits_of, members
from gridassay.verify.solving.rule_meaning.pieces import Piece
from gridassay.verify.solving.rule_meaning.sums import (
    MOST_SAID,
    Total,
    extent,
    fillings,
    fits,
    sets_making,
    total_in,
)
from gridassay.verify.solving.techniques.bounds import bounds
from gridassay.verify.solving.techniques.facts import (
    Gone,
    GoneFromAll,
    HasCandidates,
    Makes,
    Reads,
    SetsLeft,
    Ways,
    conclusion,
)

_MOST_TRIED = 20_000
"""Fillings gone through for a sentence; of more nobody says any."""


@dataclass(frozen=True, eq=False)
class Strike:
    """What a rule, or a total, concludes for the cells of ``scope``.

    ``total`` is the one total that it gives them, where that is all it says, ``constraints`` what it
    says else; ``apart`` are sets of cells (one bit a cell) that houses keep different. ``cells`` are
    those whose candidates count: any other cell might be any digit.
    """

    position: Position
    scope: tuple[int, ...]
    cells: tuple[int, ...]
    places: tuple[Mark, ...]
    removes: tuple[Mark, ...]
    total: Total | None = None
    constraints: tuple[Constraint, ...] = ()
    apart: tuple[int, ...] = ()

    @classmethod
    def of(
        cls,
        position: Position,
        piece: Piece,
        zones: Sequence[Zone],
        cells: tuple[int, ...],
        places: tuple[Mark, ...],
        removes: tuple[Mark, ...],
    ) -> Strike:
        """What a piece of a rule concludes with some houses."""
        apart = tuple(zone.bits for zone in zones)
        total = total_in(position.layout, piece.premise, apart)
        constraints = tuple(part.constraint for part in piece.premise.parts)
        beside = tuple(cell for cell in cells if cell not in piece.scope)
        scope = piece.scope if total is None else total.cells
        if beside and total:
            total = total.beside(beside, apart)
        return cls(position, (*scope, *beside), cells, places, removes, total, constraints, apart)

    @property
    def layout(self) -> Layout:
        """Where it lies."""
        return self.position.layout

    @cached_property
    def struck(self) -> tuple[Mark, ...]:
        """Every candidate that goes, those of a cell that is placed among them."""
        placed = [
            (cell, other)
            for cell, digit in self.places
            for other in members(self.position.masks[cell] & ~(1 << digit))
        ]
        return (*self.removes, *placed)

    @cached_property
    def masks(self) -> dict[int, int]:
        """The candidates that count, cell by cell."""
        every = self.layout.all_digits
        return {
            cell: self.position.masks[cell] if cell in self.cells else every for cell in self.scope
        }

    def why(self) -> str:
        """Facts and the conclusion: ``8 in two cells is 1+7, 2+6 or 3+5, so 4 and 8 go from …``."""
        for way in (self._by_sets, self._by_order, self._by_bounds):
            said = way()
            if said:
                return said
        return f"{self._given('with ', ', ')}{bounds(self.position, self.struck)}"

    def _end(self) -> str:
        return conclusion(self.position, self.places, self.removes)

    def _given(self, head: str, tail: str) -> str:
        """``with r1c1 (236) and r1c2 (56),`` or nothing where no candidates count."""
        words = [
            HasCandidates(cell, self.position.masks[cell]).words(self.layout) for cell in self.cells
        ]
        return f"{head}{listed(words)}{tail}" if words else ""

    def _by_sets(self) -> str:
        """The digit sets of a total of cells that all differ."""
        total = self.total
        if total is None or not total.plain:
            return ""
        layout, count = self.layout, len(total.cells)
        masks = [self.masks[cell] for cell in total.cells]
        every = sets_making(layout.digits, count, total.amount)
        left = tuple(one for one in every if fits(one, masks))
        if not left or len(left) > MOST_SAID:
            return ""
        union = 0
        for one in left:
            union |= one
        if count == 2 and (partner := self._by_partner(total)):
            return partner
        order = self._order() if any(union >> digit & 1 for _, digit in self.struck) else ""
        if order is None:
            return ""
        tail = f"{order}{self._end()}"
        if left == every:
            given = self._given("; with ", "") if order else ""
            return f"{Ways(total.amount, count, left).words(layout)}{given}, {tail}"
        whole = Ways(total.amount, count, every if len(every) <= MOST_SAID else left)
        rest = SetsLeft(left).words(layout)
        have = 0
        for mask in masks:
            have |= mask
        gone = [one for one in every if one & ~have]
        lost = 0
        for one in gone:
            lost |= one & ~have
        by_digits = len(every) - len(gone) == len(left) and lost.bit_count() <= 3
        if len(every) > MOST_SAID:
            if by_digits:
                head = f"{GoneFromAll(lost, count).words(layout)}, so {whole.words(layout)}"
                return f"{head}{self._given('; with ', '') if order else ''}, {tail}"
            return f"{self._given('with ', ', ')}{whole.words(layout)}, {tail}"
        if by_digits and not order:
            gone_words = GoneFromAll(lost, count).words(layout)
            return f"{whole.words(layout)}; {gone_words}, so {rest}: {tail.removeprefix('so ')}"
        return f"{whole.words(layout)}{self._given('; with ', ' it is ')}{rest}, {tail}"

    def _by_partner(self, total: Total) -> str:
        """What one of two cells has lost, where just its partners go."""
        layout = self.layout
        touched = {cell for cell, _ in self.struck}
        if len(touched) > 1 or self.places:
            return ""
        other = next(cell for cell in total.cells if cell not in touched)
        partners = [total.amount - layout.digits[digit] for _, digit in self.struck]
        if any(partner not in layout.digit_index for partner in partners):
            return ""
        lost = bits_of(layout.digit_index[partner] for partner in partners)
        # Half of the total has itself as its partner: then it is the two sets that say it.
        if lost & self.masks[other]:
            return ""
        gone = Gone(lost, other).words(layout)
        return f"{total.amount} in two cells, and {gone}, {self._end()}"

    def _order(self) -> str | None:
        """The fillings in order, said before the conclusion; None where they are too many."""
        total = self.total
        assert total is not None
        masks = [self.masks[cell] for cell in total.cells]
        found = fillings(total, masks, self.layout.digits, MOST_SAID)
        if found is None:
            return None
        return f"{Reads.of(total.cells, found).words(self.layout)}, "

    def _by_order(self) -> str:
        """The fillings in order, of any rule of cells."""
        found = self._ordered()
        if not found:
            return ""
        reads = Reads.of(self.scope, found).words(self.layout)
        return f"{self._given('with ', ', ')}{reads}, {self._end()}"

    def _ordered(self) -> list[tuple[int, ...]] | None:
        layout = self.layout
        if self.total:
            masks = [self.masks[cell] for cell in self.total.cells]
            found = fillings(self.total, masks, layout.digits, MOST_SAID)
            order = [self.total.cells.index(cell) for cell in self.scope]
            return found and [tuple(filling[place] for place in order) for filling in found]
        variables = [v for constraint in self.constraints for v in constraint.scope()]
        if not all(isinstance(variable, Cell) for variable in variables):
            return None
        if prod(self.masks[cell].bit_count() for cell in self.scope) > _MOST_TRIED:
            return None
        found = []
        for filling in self._filled():
            found.append(filling)
            if len(found) > MOST_SAID * factorial(min(len(self.scope), 4)):
                return None
        several = Reads.of(self.scope, found)
        return found if len(several.fillings) <= MOST_SAID else None

    def _filled(self) -> Iterator[tuple[int, ...]]:
        """Every filling from the candidates that the rule and the houses allow, cell by cell."""
        layout, scope = self.layout, self.scope
        place_of = {layout.cells[cell]: place for place, cell in enumerate(scope)}
        ready: list[list[int]] = [[] for _ in scope]
        for number, constraint in enumerate(self.constraints):
            last = max(place_of[name] for name in constraint.scope() if isinstance(name, Cell))
            ready[last].append(number)
        chosen: list[int] = []
        values: dict[Cell, int] = {}

        def go(place: int) -> Iterator[tuple[int, ...]]:
            if place == len(scope):
                yield tuple(chosen)
                return
            cell = scope[place]
            name = layout.cells[cell]
            for digit in members(self.masks[cell]):
                if any(
                    chosen[before] == digit
                    for before in range(place)
                    for bits in self.apart
                    if bits >> cell & bits >> scope[before] & 1
                ):
                    continue
                values[name] = layout.digits[digit]
                if all(self.constraints[number].holds(values) for number in ready[place]):  # type: ignore[arg-type]
                    chosen.append(digit)
                    yield from go(place + 1)
                    chosen.pop()
            values.pop(name, None)

        yield from go(0)

    def _by_bounds(self) -> str:
        """What the other cells of a total make at least or at most, for each cell that is struck."""
        total = self.total
        if total is None or not set(total.weights) <= {1, -1, 0}:
            return ""
        said: dict[str, list[int]] = {}
        for cell in dict.fromkeys(cell for cell, _ in sorted(self.struck)):
            words = self._bound(total, cell)
            if not words:
                return ""
            said.setdefault(words, []).append(cell)
        clauses = []
        for words, cells in said.items():
            marks = [mark for mark in self.struck if mark[0] in cells]
            clauses.append(f"{words}, so {bounds(self.position, marks, always=True)}")
        return f"{self._given('with ', ', ')}{'; '.join(clauses)}"

    def _bound(self, total: Total, cell: int) -> str:
        """The fact that bounds one cell, or nothing where bounds do not say it all."""
        layout = self.layout
        place = total.cells.index(cell)
        weight = total.weights[place]
        if not weight:
            return ""
        rest = [other for other in range(len(total.cells)) if other != place]
        same = [other for other in rest if total.weights[other] == weight]
        against = [other for other in rest if total.weights[other] == -weight]
        amount = total.amount * weight
        try:
            low, high = self._extent(total, same)
            low_other, high_other = self._extent(total, against)
        except ValueError:
            return ""
        least, most = amount - high + low_other, amount - low + high_other
        struck = [layout.digits[digit] for where, digit in self.struck if where == cell]
        up, down = any(d > most for d in struck), any(d < least for d in struck)
        if any(least <= digit <= most for digit in struck):
            return ""
        facts = []
        if against:
            facts.append(
                Makes(
                    tuple(total.cells[other] for other in against),
                    low_other if down else None,
                    high_other if up else None,
                )
            )
        if same:
            facts.append(
                Makes(
                    tuple(total.cells[other] for other in same),
                    low if up else None,
                    high if down else None,
                    others=not against,
                )
            )
        return listed(fact.words(layout) for fact in facts)

    def _extent(self, total: Total, places: Sequence[int]) -> tuple[int, int]:
        beside = [place for place, weight in enumerate(total.weights) if not weight]
        part = total.among([*places, *beside])
        part = replace(part, weights=tuple(map(abs, part.weights)))
        return extent(part, [self.masks[cell] for cell in part.cells], self.layout.digits)
