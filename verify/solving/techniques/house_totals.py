"""Totals of houses against cages: the cell or pair that is left inside, or sticks out.

Houses that hold every digit have a known total, and so have cages. Take the cages that lie in a few
houses from the total of these and what is left is the total of the cells that no cage covers; let
cages stick out of the houses and it is, turned round, the total of the cells outside. Few cells with
a known total lose the candidates that cannot make it.

The proof is the same sum done exactly: houses less cages, term by term, leaves those cells and that
total (``adds_up``); then every filling of the few cells is gone through.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache, partial
from itertools import combinations, product

from gridassay.encodings.constraints import Permutation, Sum
from gridassay.encodings.grid import Cell
from gridassay.verify.engines.questions import Switch
from gridassay.verify.solving.board.ideas import Idea, premise_name
from gridassay.verify.solving.board.position import Layout, Mark, Position, Zone, bits_of, members
from gridassay.verify.solving.rule_meaning import sums
from gridassay.verify.solving.techniques.facts import placements_and_removals
from gridassay.verify.solving.techniques.house_words import Balance
from gridassay.verify.solving.techniques.strike_words import Strike

NAME = "house total"
MOST_HOUSES = 3
MOST_CELLS = 3
"""The most houses that are added up, and the most cells left over."""

_MOST_KNOWN = 4000
"""The most answers about a few cells that are kept."""


@dataclass(frozen=True, slots=True)
class HouseTotal:
    """A house or cage whose cells have a known total."""

    switch: Switch
    bits: int
    amount: int


def placing(position: Position) -> Iterator[Idea]:
    """Totals that leave a cell with one digit."""
    return (idea for idea in find(position) if idea.places)


def find(position: Position) -> Iterator[Idea]:
    """For every few rows, columns or boxes next to each other."""
    for one in _choices(position.layout):
        yield from _idea(position, *one)


@lru_cache(maxsize=16)
def _choices(layout: Layout) -> tuple[tuple[tuple[Zone, ...], tuple[HouseTotal, ...], int], ...]:
    """Houses, cages that are taken from them, and the few cells that this leaves (a bit set)."""
    cages = _cages(layout)
    if not cages:
        return ()
    seen: set[tuple[int, int, tuple[Switch, ...]]] = set()
    choices = []
    for houses in _unions(layout):
        union = 0
        for house in houses:
            union |= house.bits
        inside = _apart([cage for cage in cages if not cage.bits & ~union])
        covered = sum(cage.bits for cage in inside)
        left = union & ~covered
        crossing = _apart([cage for cage in cages if cage.bits & left and not cage.bits & covered])
        for taken in (inside, [*inside, *crossing]):
            bits = sum(cage.bits for cage in taken)
            over = (union & ~bits) | (bits & ~union)
            key = (union, over, tuple(cage.switch for cage in taken))
            if taken and 0 < over.bit_count() <= MOST_CELLS and key not in seen:
                seen.add(key)
                choices.append((houses, tuple(taken), over))
    return tuple(choices)


@lru_cache(maxsize=16)
def _cages(layout: Layout) -> tuple[HouseTotal, ...]:
    """The rule parts that give the plain total of some cells."""
    found = []
    for premise in layout.premises.values():
        for number, part in enumerate(premise.parts):
            total = total_of(layout, (premise.name, number)) if premise.kind == "rule" else None
            if total and len(layout.part_scope(part)) > 1:
                found.append(total)
    return tuple(found)


def total_of(layout: Layout, switch: Switch) -> HouseTotal | None:
    """The total that a house or a rule part gives its cells, if it says exactly that."""
    name, number = (switch, 0) if isinstance(switch, str) else switch
    constraint = layout.premises[name].parts[number].constraint
    cells = [cell for cell in constraint.scope() if isinstance(cell, Cell)]
    bits = bits_of(layout.index[cell] for cell in cells)
    if isinstance(constraint, Permutation) and len(cells) == len(constraint.variables):
        return HouseTotal(switch, bits, sum(constraint.values))
    if (
        isinstance(constraint, Sum)
        and constraint.relation == "=="
        and set(constraint.coefficients) == {1}
        and len(cells) == len(constraint.variables)
    ):
        return HouseTotal(switch, bits, constraint.total)
    return None


def _unions(layout: Layout) -> Iterator[tuple[Zone, ...]]:
    """A few houses of a kind that share no cell: neighbours in the order of their names."""
    for kinds in (("row",), ("column",), ("box", "region")):
        zones = [zone for zone in layout.full_zones if zone.kind in kinds]
        for count in range(1, MOST_HOUSES + 1):
            for start in range(len(zones) - count + 1):
                chosen = tuple(zones[start : start + count])
                if not any(one.bits & other.bits for one, other in combinations(chosen, 2)):
                    yield chosen


def _apart(cages: list[HouseTotal]) -> list[HouseTotal]:
    """Cages of which no two share a cell, the larger first."""
    kept: list[HouseTotal] = []
    for cage in sorted(cages, key=lambda cage: -cage.bits.bit_count()):
        if not any(cage.bits & other.bits for other in kept):
            kept.append(cage)
    return kept


def _idea(
    position: Position, houses: Sequence[Zone], cages: Sequence[HouseTotal], over: int
) -> Iterator[Idea]:
    adding = tuple(house.switch for house in houses)
    taking = tuple(cage.switch for cage in cages)
    cells = members(over)
    keep = fillings(position, cells, adding, taking)
    struck = [
        (cell, digit)
        for place, cell in enumerate(cells)
        for digit in members(position.masks[cell])
        if not keep[place] >> digit & 1
    ]
    places, removes, _ = placements_and_removals(position, struck)
    if places or removes:
        yield Idea(
            NAME,
            places=places,
            removes=removes,
            cells=cells,
            switches=(*adding, *taking),
            shown=cells,
            adding=adding,
            taking=taking,
            say=partial(_say, position, houses, cages, cells, places, removes),
        )


def fillings(
    position: Position, cells: Sequence[int], adding: Sequence[Switch], taking: Sequence[Switch]
) -> list[int]:
    """The digits of each cell that some filling with the balance of the totals has.

    If the totals do not balance in exactly these cells, nothing is known of them, and every digit stays.
    """
    balance = _balance(position.layout, tuple(cells), tuple(adding), tuple(taking))
    if balance is None:
        return [position.layout.all_digits] * len(cells)
    return balance.left([position.masks[cell] for cell in cells])


class _Cells:
    """A few cells with weights that make an amount, some of them different from each other."""

    def __init__(
        self,
        digits: Sequence[int],
        weights: Sequence[int],
        amount: int,
        apart: Sequence[tuple[int, int]],
    ) -> None:
        self._digits = digits
        self._weights = weights
        self._amount = amount
        self._apart = apart
        self._known: dict[tuple[int, ...], list[int]] = {}

    def left(self, masks: Sequence[int]) -> list[int]:
        """The digits of each cell that some filling from its candidates has."""
        key = tuple(masks)
        found = self._known.get(key)
        if found is None:
            if len(self._known) >= _MOST_KNOWN:
                self._known.clear()
            found = self._known[key] = self._left(masks)
        return found

    def _left(self, masks: Sequence[int]) -> list[int]:
        keep = [0] * len(masks)
        made = [
            {digit: weight * self._digits[digit] for digit in members(mask)}
            for weight, mask in zip(self._weights, masks, strict=True)
        ]
        for filling in product(*made):
            total = sum([some[digit] for some, digit in zip(made, filling, strict=True)])
            if total == self._amount and all(
                filling[one] != filling[other] for one, other in self._apart
            ):
                for place, digit in enumerate(filling):
                    keep[place] |= 1 << digit
        return keep


@lru_cache(maxsize=1 << 10)
def _balance(
    layout: Layout, cells: tuple[int, ...], adding: tuple[Switch, ...], taking: tuple[Switch, ...]
) -> _Cells | None:
    """The rest of the totals; None if they do not balance in exactly these cells."""
    weights: dict[int, int] = {}
    amount = 0
    for sign, switches in ((1, adding), (-1, taking)):
        for switch in switches:
            total = total_of(layout, switch)
            if total is None:
                return None
            amount += sign * total.amount
            for cell in members(total.bits):
                weights[cell] = weights.get(cell, 0) + sign
    if {cell for cell, weight in weights.items() if weight} != set(cells):
        return None
    zones = [zone.bits for zone in layout.zones if zone.switch in adding or zone.switch in taking]
    apart = [
        (one, other)
        for one, other in combinations(range(len(cells)), 2)
        if any(bits >> cells[one] & bits >> cells[other] & 1 for bits in zones)
    ]
    return _Cells(layout.digits, [weights[cell] for cell in cells], amount, apart)


def adds_up(position: Position, idea: Idea) -> bool:
    """Whether the balance of an idea's totals leaves no room for what it removes."""
    keep = fillings(position, idea.cells, idea.adding, idea.taking)
    kept = dict(zip(idea.cells, keep, strict=True))
    return all(kept.get(cell) == 1 << digit for cell, digit in idea.places) and all(
        cell in kept and not kept[cell] >> digit & 1 for cell, digit in idea.removes
    )


def _say(
    position: Position,
    houses: Sequence[Zone],
    cages: Sequence[HouseTotal],
    cells: tuple[int, ...],
    places: tuple[Mark, ...],
    removes: tuple[Mark, ...],
) -> str:
    layout = position.layout
    union = covered = 0
    for house in houses:
        union |= house.bits
    for cage in cages:
        covered |= cage.bits
    inside = tuple(cell for cell in cells if union >> cell & 1)
    outside = tuple(cell for cell in cells if not union >> cell & 1)
    totals = [total for house in houses if (total := total_of(layout, house.switch))]
    meant = [c for c in _cages(layout) if c.bits & union and (outside or not c.bits & ~union)]
    balance = Balance(
        tuple(houses),
        tuple(dict.fromkeys(premise_name(layout, cage.switch) for cage in cages)),
        sum(cage.amount for cage in cages),
        sum(total.amount for total in totals),
        inside,
        outside,
        every={cage.switch for cage in meant} == {cage.switch for cage in cages},
    )
    head = balance.words(layout)
    if len(cells) == 1:
        return f"{head}, so {balance.result(layout)}"
    strike = Strike(
        position,
        cells,
        cells,
        places,
        removes,
        _total(position, cells, houses, cages, 1 if inside else -1),
    )
    return f"{head}, so {balance.result(layout)}: {strike.why()}"


def _total(
    position: Position,
    cells: tuple[int, ...],
    houses: Sequence[Zone],
    cages: Sequence[HouseTotal],
    sign: int,
) -> sums.WeightedSum:
    """The balance of houses minus cages, with its first cells counted positively."""
    layout = position.layout
    amount = -sum(cage.amount for cage in cages)
    for house in houses:
        total = total_of(layout, house.switch)
        amount += total.amount if total else 0
    union = bits_of(cell for house in houses for cell in house.cells)
    weights = tuple(sign if union >> cell & 1 else -sign for cell in cells)
    apart = [house.bits for house in houses] + [
        zone.bits for zone in layout.zones if zone.switch in {cage.switch for cage in cages}
    ]
    pairs = frozenset(
        (one, other)
        for one, other in combinations(range(len(cells)), 2)
        if any(bits >> cells[one] & bits >> cells[other] & 1 for bits in apart)
    )
    return sums.WeightedSum(cells, weights, sign * amount, pairs)
