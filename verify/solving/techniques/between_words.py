"""Strikes of a rule that totals what is between two digits of a line, told in sums.

"With 1 in r5c7, 9 in r5c9 would shut in at most 7, and in r5c1 at least 24; 18 less 5 and 8 is 5, so r5c3
and r5c5 make 5"; "1 in r1c6 or r1c7 would shut in at most 15 wherever 9 is".
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import combinations

from gridassay.verify.solving.board.ideas import cell_names
from gridassay.verify.solving.board.position import Layout, Mark, Position, members
from gridassay.verify.solving.rule_meaning.between import Between, between_in
from gridassay.verify.solving.rule_meaning.strikes import RuleStrikes
from gridassay.verify.solving.rule_meaning.sums import WeightedSum, extent, fillings
from gridassay.verify.solving.techniques.facts import AddsUp, conclusion

_MOST_CLAUSES = 4


def between_words(
    position: Position, reading: RuleStrikes, places: Sequence[Mark], removes: Sequence[Mark]
) -> str:
    """The sums, and the conclusion; empty if it is another rule, or sums do not show it."""
    rule = between_in(position.layout, reading.piece)
    if rule is None or not rule.amount:
        return ""
    struck = list(removes)
    for cell, digit in places:
        struck += [(cell, other) for other in members(position.masks[cell]) if other != digit]
    if any(cell not in rule.cells for cell, _ in struck):
        return ""
    said = _LineBetween(position, rule).words(struck)
    return f"{said}, {conclusion(position, places, removes)}" if said else ""


@dataclass
class _LineBetween:
    position: Position
    rule: Between

    @property
    def layout(self) -> Layout:
        return self.position.layout

    @cached_property
    def ends(self) -> tuple[int, int]:
        """The two digits."""
        return 0, len(self.layout.digits) - 1

    def places(self, digit: int) -> list[int]:
        """The cells that can have a digit."""
        return [cell for cell in self.rule.cells if self.position.has((cell, digit))]

    def words(self, struck: Sequence[Mark]) -> str:
        """Why all of these go; empty if sums do not show it."""
        ends = [(cell, digit) for cell, digit in struck if digit in self.ends]
        inner = [mark for mark in struck if mark not in ends]
        for digit in sorted(self.ends, key=lambda one: len(self.places(one))) if inner else ():
            said = self._from_home(digit, struck)
            if said:
                return said
        if inner:
            return ""
        clauses = self._would_all(ends)
        return "; ".join(clauses) if len(clauses) <= _MOST_CLAUSES else ""

    def _would_all(self, marks: Sequence[Mark]) -> list[str]:
        """The sums that each would shut in, the same ones together; empty if one might fit."""
        told: dict[str, list[Mark]] = {}
        for cell, digit in marks:
            told.setdefault(self._would(cell, digit), []).append((cell, digit))
        if "" in told:
            return []
        return [f"{self._candidates(some)} {words}" for words, some in told.items()]

    def _candidates(self, marks: Sequence[Mark]) -> str:
        """``1 in r1c6 or r1c7``: the words of each name the other digit, so all have the same."""
        digit = self.layout.symbol(marks[0][1])
        return f"{digit} in {cell_names(self.layout, [cell for cell, _ in marks], 'or')}"

    def _from_home(self, digit: int, struck: Sequence[Mark]) -> str:
        """One of the two has one place that fits: where the other is, and the sum between."""
        (other,) = {*self.ends} - {digit}
        fitting = {
            cell: [one for one in self.places(other) if one != cell and self._fits(cell, one)]
            for cell in self.places(digit)
        }
        pairs = [(cell, one) for cell, some in fitting.items() for one in some]
        if len(pairs) != 1:
            return ""
        ((cell, home),) = pairs
        elsewhere = [(one, digit) for one in fitting if one != cell]
        clauses = self._would_all(elsewhere)
        if elsewhere and not clauses:
            return ""
        if [one for one in self.places(other) if one not in (cell, home)]:
            clauses.append(self._shut_in(cell, digit, but=home))
        within = [
            mark for mark in struck if mark[0] not in (cell, home) and mark[1] not in self.ends
        ]
        if within:
            clauses.append(self._sum_inside(self.rule.inside(cell, home), within))
        told = clauses and all(clauses) and len(clauses) <= _MOST_CLAUSES
        return "; ".join(clauses) if told else ""

    def _total(self, cells: Sequence[int]) -> tuple[WeightedSum, list[int]]:
        """The sum of some cells, and their candidates between the two digits."""
        sees = self.layout.sees
        apart = [
            (one, other)
            for one, other in combinations(range(len(cells)), 2)
            if sees[cells[one]] >> cells[other] & 1
        ]
        low, high = self.ends
        masks = [self.position.masks[cell] & ~(1 << low | 1 << high) for cell in cells]
        return WeightedSum(tuple(cells), (1,) * len(cells), 0, frozenset(apart)), masks

    def _extent(self, cells: Sequence[int]) -> tuple[int, int] | None:
        try:
            return extent(*self._total(cells), self.layout.domains)
        except ValueError:
            return None

    def _fits(self, one: int, other: int) -> bool:
        """Whether the cells between two cells may make the amount, as far as bounds tell."""
        made = self._extent(self.rule.inside(one, other))
        return made is not None and made[0] <= self.rule.amount <= made[1]

    def _sums(
        self, cell: int, digit: int, but: int | None = None
    ) -> list[tuple[str, list[int]]] | None:
        """The places of the other digit (but one) that shut in too little, and those that do too much.

        None if one might shut in the amount.
        """
        (other,) = {*self.ends} - {digit}
        few: dict[int, int] = {}
        many: dict[int, int] = {}
        for place in self.places(other):
            if place in (cell, but):
                continue
            made = self._extent(self.rule.inside(cell, place))
            if made is None or made[0] <= self.rule.amount <= made[1]:
                return None
            if made[1] < self.rule.amount:
                few[place] = made[1]
            else:
                many[place] = made[0]
        said = []
        if few:
            most = max(few.values())
            said.append((f"at most {most}" if most else "nothing", [*few]))
        if many:
            said.append((f"at least {min(many.values())}", [*many]))
        return said

    def _would(self, cell: int, digit: int) -> str:
        """How much a digit in a cell would shut in: ``would shut in at most 7 wherever 9 is``."""
        (other,) = {*self.ends} - {digit}
        said = self._sums(cell, digit)
        if not said:
            return ""
        name = self.layout.symbol(other)
        (first, places), *rest = sorted(said, key=lambda one: len(one[1]))
        if not rest and len(places) > 1:
            return f"would shut in {first} wherever {name} is"
        tail = "".join(f", and {limit} with {name} anywhere else" for limit, _ in rest)
        where = cell_names(self.layout, places, "or")
        return f"would shut in {first} with {name} in {where}{tail}"

    def _shut_in(self, cell: int, digit: int, but: int | None = None) -> str:
        """How much is between a digit in a cell and each place of the other one (but one)."""
        (other,) = {*self.ends} - {digit}
        said = self._sums(cell, digit, but)
        if not said:
            return ""
        layout = self.layout
        (limit, first), *rest = said
        head = f"with {layout.symbol(digit)} in {layout.cells[cell]}, {layout.symbol(other)} in"
        tail = "".join(f", and in {cell_names(layout, some, 'or')} {much}" for much, some in rest)
        return f"{head} {cell_names(layout, first, 'or')} would shut in {limit}{tail}"

    def _sum_inside(self, cells: Sequence[int], struck: Sequence[Mark]) -> str:
        """The sum of the open cells between the two; empty if that does not strike all of these."""
        layout, masks = self.layout, self.position.masks
        left = [cell for cell in cells if masks[cell] & (masks[cell] - 1)]
        known = [layout.digits[masks[cell].bit_length() - 1] for cell in cells if cell not in left]
        rest = self.rule.amount - sum(known)
        total, own = self._total(left)
        for cell, digit in struck:
            if cell not in left:
                return ""
            place = left.index(cell)
            tried = [1 << digit if one == place else mask for one, mask in enumerate(own)]
            whole = WeightedSum(total.cells, total.weights, rest, total.apart)
            if fillings(whole, tried, layout.domains, 0) != []:
                return ""
        if not known:
            alone = len(left) == 1
            names = cell_names(layout, left)
            return f"only {names} is between them" if alone else f"{names} make {rest}"
        said = AddsUp((self.rule.amount,), tuple(known)).words(layout)
        return said if len(left) == 1 else f"{said}, which {cell_names(layout, left)} make"
