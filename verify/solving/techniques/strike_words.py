"""What a rule strikes, in numbers: the fillings that are left to it, or what its cells make at least.

A rule is read by its meaning (``rule_meaning/sums.py``, and its constraints), never by its kind. Where
few fillings are left they are said, else the bound that the other cells set; a rule that says neither
names the candidates that it was read with, and what they leave.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import combinations
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
    Needs,
    Reads,
    SetsLeft,
    Ways,
    conclusion,
)

_MOST_PARTNERED, _MOST_CLAUSES = 8, 3
"""Candidates that are told by what they need beside them, and clauses that tell it, at most."""

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
        full = self.layout.full
        return {
            cell: self.position.masks[cell] if cell in self.cells else full[cell]
            for cell in self.scope
        }

    def why(self) -> str:
        """Facts and the conclusion: ``8 in two cells is 1+7, 2+6 or 3+5, so 4 and 8 go from …``."""
        for way in (self._by_sets, self._by_partners, self._by_order, self._by_bounds):
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
        left = self._sets_left()
        if total is None or not left:
            return ""
        union = 0
        for one in left:
            union |= one
        if len(total.cells) == 2 and (partner := self._by_partner(total)):
            return partner
        if not any(union >> digit & 1 for _, digit in self.struck):
            return f"{self._sets_said(left)}{self._end()}"
        found = fillings(
            total, [self.masks[cell] for cell in total.cells], self.layout.domains, MOST_SAID
        )
        if found is None:
            return ""
        order = Reads.of(total.cells, found).words(self.layout)
        return f"{self._sets_said(left, ordered=True)}{order}, {self._end()}"

    def must_hold(self, digits: int) -> str:
        """The sets of digits that are left, where each holds all these digits; else nothing."""
        left = self._sets_left()
        if not left or any(digits & ~one for one in left):
            return ""
        return self._sets_said(left)

    def _sets_left(self) -> tuple[int, ...]:
        """The few sets of digits that can make the total; nothing where they are many."""
        total = self.total
        if total is None or not total.plain:
            return ()
        masks = [self.masks[cell] for cell in total.cells]
        every = sets_making(self.layout.digits, len(masks), total.amount)
        left = tuple(one for one in every if fits(one, masks))
        return left if len(left) <= MOST_SAID else ()

    def _sets_said(self, left: tuple[int, ...], *, ordered: bool = False) -> str:
        """The sets that make the total, and why some of them are out, up to the conclusion.

        Where the order matters (``ordered``) the candidates that count are named.
        """
        total, layout = self.total, self.layout
        assert total is not None
        count = len(total.cells)
        every = sets_making(layout.digits, count, total.amount)
        given = self._given("; with ", "") if ordered else ""
        if left == every:
            return f"{Ways(total.amount, count, left).words(layout)}{given}, "
        have = 0
        for cell in total.cells:
            have |= self.masks[cell]
        gone = [one for one in every if one & ~have]
        lost = 0
        for one in gone:
            lost |= one & ~have
        by_digits = len(every) - len(gone) == len(left) and lost.bit_count() <= 3
        if len(every) > MOST_SAID:
            ways = Ways(total.amount, count, left).words(layout)
            if by_digits:
                return f"{GoneFromAll(lost, count).words(layout)}, so {ways}{given}, "
            return f"{self._given('with ', ', ')}{ways}, "
        ways, rest = Ways(total.amount, count, every).words(layout), SetsLeft(left).words(layout)
        if by_digits and not ordered:
            return f"{ways}; {GoneFromAll(lost, count).words(layout)}, so it is {rest}, "
        return f"{ways}{self._given('; with ', ' it is ')}{rest}, "

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

    def _by_partners(self) -> str:
        """What a digit needs beside it, for a rule of pairs: ``4 in r1c1 needs 9 in r1c2``."""
        pairs = self._pairs()
        if not pairs or len(self.struck) > _MOST_PARTNERED:
            return ""
        facts: dict[tuple[int, tuple[tuple[int, int], ...]], list[int]] = {}
        for cell, digit in sorted(self.struck):
            needs = self._needs(pairs.get(cell, []), digit)
            if needs is None:
                return ""
            facts.setdefault(
                (cell if needs[0][1] else -1, needs if needs[0][1] else ()), []
            ).append(digit)
        if len(facts) > _MOST_CLAUSES:
            return ""
        said = [
            Needs(cell, tuple(dict.fromkeys(digits)), needs).words(self.layout)
            for (cell, needs), digits in facts.items()
        ]
        return f"{'; '.join(said)}, {self._end()}"

    def _pairs(self) -> dict[int, list[tuple[int, Constraint]]]:
        """The cells beside each cell, where the rule says nothing but what goes beside what."""
        index = self.layout.index
        found: dict[int, list[tuple[int, Constraint]]] = {}
        for constraint in self.constraints:
            names = list(dict.fromkeys(constraint.scope()))
            if len(names) != 2 or not all(isinstance(name, Cell) for name in names):
                return {}
            one, other = (index[name] for name in names if isinstance(name, Cell))
            found.setdefault(one, []).append((other, constraint))
            found.setdefault(other, []).append((one, constraint))
        return found

    def _needs(
        self, beside: Sequence[tuple[int, Constraint]], digit: int
    ) -> tuple[tuple[int, int], ...] | None:
        """Cells beside with the digits that a digit needs in them and cannot have; None for no such."""
        layout = self.layout
        wanted = []
        for other, constraint in beside:
            mine = next(
                name
                for name in constraint.scope()
                if isinstance(name, Cell) and layout.index[name] != other
            )
            name = layout.cells[other]
            fit = bits_of(
                place
                for place, value in enumerate(layout.digits)
                if constraint.holds({mine: layout.digits[digit], name: value})
            )
            if not fit & self.masks[other]:
                return ((other, fit),)
            wanted.append((other, fit & self.masks[other]))
        for (one, first), (other, second) in combinations(wanted, 2):
            both = 1 << one | 1 << other
            if (
                first == second
                and first.bit_count() == 1
                and any(bits & both == both for bits in self.apart)
            ):
                return (one, first), (other, second)
        return None

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
            found = fillings(self.total, masks, layout.domains, MOST_SAID)
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
        struck = [layout.domains[cell][digit] for where, digit in self.struck if where == cell]
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
        return extent(part, [self.masks[cell] for cell in part.cells], self.layout.domains)
