"""The strikes of a rule, in numbers: its remaining fillings, or the least that its cells make.

A rule is read by its meaning (``rule_meaning/sums.py``, and its constraints), never by its kind. If
few fillings are left, they are told, else the bound that the other cells set. If a rule has
neither, the candidates that it was read with are named, and what they leave.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import partial, reduce
from math import factorial, prod
from operator import or_

from gridassay.encodings.grid import Cell
from gridassay.verify.solving.board.ideas import removal, word_list
from gridassay.verify.solving.board.position import bits_of, members
from gridassay.verify.solving.rule_meaning.sums import (
    MOST_SAID,
    WeightedSum,
    extent,
    fillings,
    fits,
    sets_making,
)
from gridassay.verify.solving.techniques.bounds import bounds
from gridassay.verify.solving.techniques.chain_words import by_chain
from gridassay.verify.solving.techniques.claim_words import by_claims
from gridassay.verify.solving.techniques.facts import (
    CannotDiffer,
    CannotMake,
    Gone,
    GoneFromAll,
    Makes,
    Reads,
    SetsLeft,
    Ways,
)
from gridassay.verify.solving.techniques.head_words import (
    by_head,
    head_ways,
    ways_said,
    with_seen,
    without_digit,
)
from gridassay.verify.solving.techniques.letter_words import by_letter
from gridassay.verify.solving.techniques.pair_words import (
    MOST_CLAUSES,
    MOST_PARTNERED,
    by_partners,
)
from gridassay.verify.solving.techniques.struck import Struck
from gridassay.verify.solving.techniques.sum_words import by_sum

_FEW = 3
"""Up to so many sums are told to show a digit that all of them hold, even if a bound would show it."""

_MOST_TRIED = 20_000
"""The most fillings tried for a sentence; nobody would tell more."""


class Strike(Struck):
    """The conclusion of a rule, or of a total, with the words that say why."""

    def why(self) -> str:
        """Facts, or else only premises, and the conclusion."""
        return self.in_numbers() or self.bare()

    def in_numbers(self) -> str:
        """Facts and the conclusion: ``8 in two cells is 1+7, 2+6 or 3+5, so 4 can be removed from …``."""
        for way in (
            partial(by_sum, self),
            self._by_sets,
            partial(by_chain, self),
            partial(by_partners, self),
            partial(by_head, self),
            self._by_order,
            partial(by_claims, self),
            partial(by_letter, self),
            self._by_bounds,
            self._by_rest,
            self._by_difference,
        ):
            said = way()
            if said:
                return said
        return ""

    def _by_sets(self) -> str:
        """The digit sets of a total of cells that all differ."""
        total = self.total
        left = self._sets_left()
        if total is None or not left:
            return ""
        union = reduce(or_, left)
        if len(total.cells) == 2 and (partner := self._by_partner(total)):
            return partner
        # The sets alone tell it if none of them has a digit that goes.
        placed = any(union & ~(1 << digit) for _, digit in self.places)
        if not placed and not any(union >> digit & 1 for _, digit in self.struck):
            return f"{self._sets_said(left)}{self.end()}"
        found = fillings(
            total, [self.masks[cell] for cell in total.cells], self.layout.domains, MOST_SAID
        )
        if found is None:
            return ""
        if len(found) == 1 and not self.removes:
            return f"{self._sets_said(left, single=True)}{self.end()}"
        order = self.in_order(total.cells, found).words(self.layout)
        return f"{self._sets_said(left, ordered=True)}{order}, {self.end()}"

    def must_hold(self, digits: int) -> str:
        """Why the rule holds these digits: each way to fill it has them, or its sum misses them."""
        layout = self.layout
        left = self._sets_left()
        if left and not any(digits & ~one for one in left):
            return self._sets_said(left).removesuffix(", ")
        seen = with_seen(self)
        sums = head_ways(seen)
        if any(
            digits & ~bits_of(one) & ~(1 << layout.digit_index.get(made, layout.width))
            for made, some in sums.items()
            for one in some
        ):
            sums = {}
        if 0 < sum(map(len, sums.values())) <= _FEW:
            return f"{seen.premises()}{ways_said(seen, sums)}"
        missed = "" if digits & (digits - 1) else without_digit(self, digits.bit_length() - 1)
        if missed or sums:
            return missed or f"{seen.premises()}{ways_said(seen, sums)}"
        cells, ways = self._ways()
        reads = self.in_order(cells, ways)
        if not ways or any(digits & ~bits_of(filling) for filling in reads.fillings):
            return ""
        return f"{self.premises()}{reads.words(layout)}"

    def _sets_left(self) -> tuple[int, ...]:
        """The few sets of digits that can make the total; nothing if they are many."""
        total = self.total
        if total is None or not total.plain:
            return ()
        masks = [self.masks[cell] for cell in total.cells]
        every = sets_making(self.layout.digits, len(masks), total.amount)
        left = tuple(one for one in every if fits(one, masks))
        return left if len(left) <= MOST_SAID else ()

    def _sets_said(
        self, left: tuple[int, ...], *, ordered: bool = False, single: bool = False
    ) -> str:
        """The sets that make the total, and why some of them are out, up to the conclusion.

        If the order matters (``ordered``), or is known (``single``), the candidates that count are named.
        """
        total, layout = self.total, self.layout
        assert total is not None
        count = len(total.cells)
        every = sets_making(layout.digits, count, total.amount)
        given = f"; {self.premises()}" if ordered and self.premises() else ", "
        if single and self.premises():
            given = f"; {word_list(self.clauses(self.cells))}, "
        if left == every:
            return f"{Ways(total.amount, count, left).words(layout)}{given}"
        have = reduce(or_, (self.masks[cell] for cell in total.cells))
        gone = [one for one in every if one & ~have]
        lost = 0
        for one in gone:
            lost |= one & ~have
        by_digits = len(every) - len(gone) == len(left) and lost.bit_count() <= 3
        if len(every) > MOST_SAID:
            ways = Ways(total.amount, count, left).words(layout)
            if by_digits:
                return f"{GoneFromAll(lost, count).words(layout)}, so {ways}{given}"
            return f"{self.premises()}{ways}, "
        ways, rest = Ways(total.amount, count, every).words(layout), SetsLeft(left).words(layout)
        if by_digits and not ordered and not single:
            return f"{ways}; {GoneFromAll(lost, count).words(layout)}, so it is {rest}, "
        return f"{ways}; {self.premises()}it is {rest}, "

    def _by_partner(self, total: WeightedSum) -> str:
        """The digits that one of two cells has lost, if exactly their partners are struck."""
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
        return f"{total.amount} in two cells, and {gone}, {self.end()}"

    def _by_order(self) -> str:
        """The fillings in order, of any rule of cells."""
        cells, ways = self._ways()
        if not ways:
            return ""
        if len(ways) == 1 and not self.removes and self.premises():
            # The one way that is left is what follows.
            sums = head_ways(self)
            return (
                f"{self.premises()}{ways_said(self, sums)}, {self.end()}" if sums else self.bare()
            )
        return f"{self.premises()}{self.in_order(cells, ways).words(self.layout)}, {self.end()}"

    def _ways(self) -> tuple[tuple[int, ...], list[tuple[int, ...]]]:
        """Its own cells and the few ways to fill them; no ways if they are many."""
        # Cells beside the rule's own are named with their candidates, not as part of its filling.
        own = [place for place, cell in enumerate(self.scope) if cell not in self.beside]
        found = self._in_order() or []
        ways = list(dict.fromkeys(tuple(filling[place] for place in own) for filling in found))
        return tuple(self.scope[place] for place in own), ways

    def _in_order(self) -> list[tuple[int, ...]] | None:
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
        for filling in self._fillings():
            found.append(filling)
            if len(found) > MOST_SAID * factorial(min(len(self.scope), 4)):
                return None
        several = Reads.of(self.scope, found)
        return found if len(several.fillings) <= MOST_SAID else None

    def _fillings(self) -> Iterator[tuple[int, ...]]:
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
        """The least or the most that the other cells of a total make, for each cell that is struck."""
        total = self.total
        if total is None or not set(total.weights) <= {1, -1, 0}:
            return ""
        struck = [*dict.fromkeys(cell for cell, _ in sorted(self.struck))]
        # What is the same of several cells is said of the others of them.
        alike = {cell: self._bound_fact(total, cell, others=True) for cell in struck}
        count = Counter(words for words, _ in alike.values())
        said: dict[tuple[str, bool], list[int]] = {}
        for cell, (words, exact) in alike.items():
            if not words:
                return ""
            told = words if count[words] > 1 else self._bound_fact(total, cell, others=False)[0]
            said.setdefault((told, exact), []).append(cell)
        clauses = []
        for (words, exact), cells in said.items():
            marks = [mark for mark in self.struck if mark[0] in cells]
            end = f"so {bounds(self.position, marks, always=True)}"
            clauses.append(f"{words}, {end if exact else removal(self.layout, marks)}")
        named = [cell for cell in total.cells if cell in self.cells]
        return f"{self.premises()}{self.they('; '.join(clauses), named)}"

    def _by_rest(self) -> str:
        """The amount left for the other cells of a total, which they cannot make."""
        total, layout = self.total, self.layout
        if total is None or set(total.weights) != {1} or len(self.struck) > MOST_PARTNERED:
            return ""
        said: dict[int, list[tuple[int, int | None]]] = {}
        for cell, digit in sorted(self.struck):
            place = total.cells.index(cell)
            others = [other for other in range(len(total.cells)) if other != place]
            rest = replace(total.among(others), amount=total.amount - layout.digits[digit])
            masks = [self.masks[total.cells[other]] for other in others]
            alone = fillings(rest, masks, layout.domains, 0) == []
            said.setdefault(cell, []).append((rest.amount, None if alone else digit))
        together: dict[tuple[tuple[int, int | None], ...], list[int]] = {}
        for cell, amounts in said.items():
            together.setdefault(tuple(amounts), []).append(cell)
        if len(together) > MOST_CLAUSES:
            return ""
        clauses = []
        for left, cells in together.items():
            fact = CannotMake(len(total.cells) - 1, left).words(layout)
            marks = [mark for mark in self.struck if mark[0] in cells]
            clauses.append(f"{fact}, so {bounds(self.position, marks)}")
        return f"{self.premises()}{'; '.join(clauses)}"

    def _by_difference(self) -> str:
        """The totals or differences that two sides of a sum cannot make: an arrow's bulb and shaft."""
        total, layout = self.total, self.layout
        if total is None or total.amount or set(total.weights) != {1, -1}:
            return ""
        if len(self.struck) > MOST_PARTNERED:
            return ""
        said: dict[tuple[tuple[int, ...], tuple[int, ...], int], list[int]] = {}
        for cell, digit in sorted(self.struck):
            if not layout.is_cell(cell):
                return ""
            place = total.cells.index(cell)
            weight = total.weights[place]
            rest = [other for other in range(len(total.cells)) if other != place]
            part = replace(total.among(rest), amount=-weight * layout.digits[digit])
            masks = [self.masks[total.cells[other]] for other in rest]
            if fillings(part, masks, layout.domains, 0) != []:
                return ""
            more = tuple(total.cells[n] for n in rest if total.weights[n] == -weight)
            less = tuple(total.cells[n] for n in rest if total.weights[n] == weight)
            said.setdefault((more, less, cell), []).append(digit)
        if len(said) > MOST_CLAUSES:
            return ""
        clauses = []
        for (more, less, cell), digits in said.items():
            amounts = tuple(layout.digits[digit] for digit in digits)
            fact = CannotDiffer(more, less, amounts).words(layout)
            marks = [(cell, digit) for digit in digits]
            clauses.append(f"{fact}, so {bounds(self.position, marks)}")
        return f"{self.premises()}{'; '.join(clauses)}"

    def _bound_fact(self, total: WeightedSum, cell: int, *, others: bool) -> tuple[str, bool]:
        """A fact that bounds a cell, or nothing, and whether the cell can still be just that bound."""
        layout = self.layout
        place = total.cells.index(cell)
        weight = total.weights[place]
        if not weight:
            return "", False
        rest = [other for other in range(len(total.cells)) if other != place]
        same = [other for other in rest if total.weights[other] == weight]
        against = [other for other in rest if total.weights[other] == -weight]
        amount = total.amount * weight
        try:
            low, high = self._extent(total, same)
            low_other, high_other = self._extent(total, against)
        except ValueError:
            return "", False
        least, most = amount - high + low_other, amount - low + high_other
        struck = [layout.domains[cell][digit] for where, digit in self.struck if where == cell]
        up, down = any(d > most for d in struck), any(d < least for d in struck)
        if any(least <= digit <= most for digit in struck):
            return "", False
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
                    others=others or not against,
                )
            )
        left = {layout.domains[cell][d] for d in members(self.position.masks[cell])} - {*struck}
        exact = (not up or most in left) and (not down or least in left)
        return word_list(fact.words(layout) for fact in facts), exact or len(left) == 1

    def _extent(self, total: WeightedSum, places: Sequence[int]) -> tuple[int, int]:
        beside = [place for place, weight in enumerate(total.weights) if not weight]
        part = total.among([*places, *beside])
        part = replace(part, weights=tuple(map(abs, part.weights)))
        return extent(part, [self.masks[cell] for cell in part.cells], self.layout.domains)
