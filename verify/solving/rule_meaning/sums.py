"""Totals of cells as a person adds them up: the possible ways, and what the other cells leave.

A *sum* is cells with coefficients and a total, read from a rule's parts or from the balance of
houses and cages. From candidates it finds the sets of digits that add up to it, the fillings in
order, and the least and the most that some of its cells can add up to.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations

from gridassay.encodings.constraints import (
    AllDifferent,
    AllOf,
    Constraint,
    Letter,
    Permutation,
    Sum,
)
from gridassay.encodings.grid import Cell
from gridassay.encodings.model import Premise
from gridassay.verify.solving.board.position import Layout, members

MOST_SAID = 6
"""The most fillings that anyone says one after another."""


Values = Sequence[Sequence[int]]
"""The values of every unknown by its index: ``Layout.domains``."""


@dataclass(frozen=True)
class WeightedSum:
    """Coefficients times the values of cells and letters make a total; ``apart`` places differ."""

    cells: tuple[int, ...]
    weights: tuple[int, ...]
    amount: int
    apart: frozenset[tuple[int, int]]

    @property
    def plain(self) -> bool:
        """Whether it is a plain set of digits: every cell counts once and all differ."""
        count = len(self.cells)
        return set(self.weights) == {1} and len(self.apart) == count * (count - 1) // 2

    def beside(self, cells: Sequence[int], apart: Sequence[int]) -> WeightedSum:
        """The same sum with further cells that do not count; sets of cells (bits) keep them different."""
        every = (*self.cells, *cells)
        pairs = {
            (one, other)
            for one, other in combinations(range(len(every)), 2)
            if any(bits >> every[one] & bits >> every[other] & 1 for bits in apart)
        }
        weights = (*self.weights, *(0 for _ in cells))
        return WeightedSum(every, weights, self.amount, self.apart | pairs)

    def among(self, places: Sequence[int]) -> WeightedSum:
        """A sum of the cells at some places; its amount has no meaning."""
        new = {old: number for number, old in enumerate(places)}
        apart = [(new[one], new[other]) for one, other in self.apart if one in new and other in new]
        return WeightedSum(
            tuple(self.cells[place] for place in places),
            tuple(self.weights[place] for place in places),
            0,
            frozenset(apart),
        )


@dataclass(frozen=True)
class HeadAndSum:
    """The sum of some cells: a number, or the value of a *head*, such as an arrow's bulb or a letter."""

    head: int | None
    amount: int
    body: tuple[int, ...]

    def amounts(self, masks: Mapping[int, int], values: Values) -> list[tuple[int, int | None]]:
        """The sums that the cells may have, with the place of that value in the head."""
        if self.head is None:
            return [(self.amount, None)]
        return [(values[self.head][place], place) for place in members(masks[self.head])]


def head_and_sum(total: WeightedSum) -> HeadAndSum | None:
    """A total as cells that make a number or the value of one other unknown; None if it is not so."""
    if set(total.weights) == {1}:
        return HeadAndSum(None, total.amount, total.cells)
    if total.amount or set(total.weights) != {1, -1}:
        return None
    for weight in (1, -1):
        one = [cell for cell, own in zip(total.cells, total.weights, strict=True) if own == weight]
        others = tuple(cell for cell in total.cells if cell not in one)
        if len(one) == 1 and len(others) > 1:
            return HeadAndSum(one[0], 0, others)
    return None


def total_in(layout: Layout, premise: Premise, apart: Sequence[int] = ()) -> WeightedSum | None:
    """The one total that a rule gives its cells, beside keeping some of them different.

    ``apart`` are sets of cells (one bit per cell) that others keep different. None if the rule
    says anything else.
    """
    found: Sum | None = None
    groups = list(apart)
    for part in premise.parts:
        constraint = part.constraint
        differing = _differing(layout, constraint)
        if isinstance(constraint, Sum) and constraint.relation == "==" and found is None:
            found = constraint
        elif differing is None:
            return None
        groups += differing or ()
    if found is None or not all(isinstance(one, Cell | Letter) for one in found.variables):
        return None
    weights: dict[int, int] = {}
    for name, weight in zip(found.variables, found.coefficients, strict=True):
        weights[layout.index[name]] = weights.get(layout.index[name], 0) + weight
    cells = tuple(cell for cell, weight in weights.items() if weight)
    pairs = [
        (one, other)
        for one, other in combinations(range(len(cells)), 2)
        if any(bits >> cells[one] & bits >> cells[other] & 1 for bits in groups)
    ]
    return WeightedSum(cells, tuple(weights[cell] for cell in cells), found.total, frozenset(pairs))


def _differing(layout: Layout, constraint: Constraint) -> list[int] | None:
    """The sets of cells that a constraint keeps different; None if it says more than that."""
    if isinstance(constraint, AllOf):
        several = [_differing(layout, member) for member in constraint.members]
        return None if None in several else [bits for some in several for bits in some or ()]
    if isinstance(constraint, AllDifferent | Permutation) or (
        isinstance(constraint, Sum) and constraint.distinct
    ):
        names = [one for one in constraint.scope() if isinstance(one, Cell)]
        return [sum(1 << layout.index[name] for name in set(names))]
    return None


@lru_cache(maxsize=1 << 14)
def sets_making(digits: tuple[int, ...], count: int, amount: int) -> tuple[int, ...]:
    """The sets of this many digits that add up to an amount, as bits of their places."""
    places = range(len(digits))
    return tuple(
        sum(1 << place for place in chosen)
        for chosen in combinations(places, count)
        if sum(digits[place] for place in chosen) == amount
    )


def fits(digits: int, masks: Sequence[int]) -> bool:
    """Whether a set of digits fits into as many cells with these candidates."""
    if not masks:
        return True
    first, *rest = masks
    return any(fits(digits & ~(1 << digit), rest) for digit in members(digits & first))


def fillings(
    total: WeightedSum, masks: Sequence[int], values: Values, most: int
) -> list[tuple[int, ...]] | None:
    """The fillings that make a total, by the places of their digits; None if there are more."""
    found: list[tuple[int, ...]] = []
    for filling in _fill(total, masks, values):
        found.append(filling)
        if len(found) > most:
            return None
    return found


def _fill(total: WeightedSum, masks: Sequence[int], values: Values) -> Iterator[tuple[int, ...]]:
    count = len(total.cells)
    # The range of the cells from each place on.
    least, greatest = [0] * (count + 1), [0] * (count + 1)
    for place in reversed(range(count)):
        numbers = values[total.cells[place]]
        made = [total.weights[place] * numbers[digit] for digit in members(masks[place])]
        if not made:
            return
        least[place], greatest[place] = (
            least[place + 1] + min(made),
            greatest[place + 1] + max(made),
        )
    before = _apart_before(total)
    stack: list[tuple[tuple[int, ...], int]] = [((), total.amount)]
    while stack:
        chosen, left = stack.pop()
        place = len(chosen)
        if place == count:
            yield chosen
            continue
        for digit in reversed(members(masks[place])):
            if any(chosen[one] == digit for one in before[place]):
                continue
            rest = left - total.weights[place] * values[total.cells[place]][digit]
            if least[place + 1] <= rest <= greatest[place + 1]:
                stack.append(((*chosen, digit), rest))


def _apart_before(total: WeightedSum) -> list[list[int]]:
    """For each place, those before it that differ from it."""
    before: list[list[int]] = [[] for _ in total.cells]
    for pair in total.apart:
        before[max(pair)].append(min(pair))
    return before


def extent(total: WeightedSum, masks: Sequence[int], values: Values) -> tuple[int, int]:
    """The least and the most that the cells of a total make, those apart different.

    Raises ValueError if they cannot be filled.
    """
    return _least(total, masks, values, 1), -_least(total, masks, values, -1)


def _least(total: WeightedSum, masks: Sequence[int], values: Values, sign: int) -> int:
    """The least of sign times the total of the cells: branch and bound, cell by cell."""
    count = len(total.cells)
    made = [
        sorted((sign * total.weights[p] * values[total.cells[p]][d], d) for d in members(masks[p]))
        for p in range(count)
    ]
    rest = [0] * (count + 1)
    for place in reversed(range(count)):
        if not made[place]:
            raise ValueError("a cell has no candidate")
        rest[place] = rest[place + 1] + made[place][0][0]
    before = _apart_before(total)
    best: int | None = None
    chosen = [0] * count

    def go(place: int, sofar: int) -> None:
        nonlocal best
        if place == count:
            best = sofar
            return
        for value, digit in made[place]:
            # They are in ascending order: what follows makes no less.
            if best is not None and sofar + value + rest[place + 1] >= best:
                return
            for other in before[place]:
                if chosen[other] == digit:
                    break
            else:
                chosen[place] = digit
                go(place + 1, sofar + value)

    go(0, 0)
    if best is None:
        raise ValueError("the cells cannot be filled")
    return best
