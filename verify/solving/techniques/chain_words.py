"""Bounds carried along cells in order: "r2c2 is at least 1, so r3c3 is at least 2 and r4c3 at least 3".

That is how one counts along a thermometer, from either end. The order is read from the rule's meaning;
if a house keeps two cells of a slow one different, it rises there.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import product

from gridassay.encodings.constraints import Compare
from gridassay.encodings.grid import Cell
from gridassay.verify.solving.board.ideas import word_list
from gridassay.verify.solving.board.position import members
from gridassay.verify.solving.techniques.facts import Makes
from gridassay.verify.solving.techniques.struck import Struck

Order = dict[int, dict[int, int]]
"""The most by which each cell exceeds each other one."""


@dataclass
class _Chain:
    """The bounds of cells that come from one cell: ``sign`` is 1 for the least, -1 for the most.

    Those in ``moved`` are moved on to a digit that the cell has, as others rest on that.
    """

    source: int
    sign: int
    bounds: dict[int, int] = field(default_factory=dict)
    moved: set[int] = field(default_factory=set)


def by_chain(strike: Struck) -> str:
    """The bounds of each cell, from the cell from which they are counted; empty for other rules."""
    order = _order(strike)
    if not order or any(cell not in strike.masks for cell in order):
        return ""
    have = {cell: _values(strike, cell) for cell in order}
    chains = [chain for sign in (1, -1) for chain in _chains(order, have, sign)]
    layout, masks = strike.layout, strike.position.masks
    gone = {
        (cell, digit)
        for chain in chains
        for cell, bound in chain.bounds.items()
        for digit in members(masks[cell])
        if chain.sign * layout.digits[digit] < chain.sign * bound
    }
    if not gone or gone != set(strike.struck):
        return ""
    placed = dict(strike.places)
    clauses = []
    for number, chain in enumerate(chains):
        later = {cell for other in chains[number + 1 :] for cell in other.bounds}
        told = [
            cell
            for cell, bound in chain.bounds.items()
            if not (cell in placed and cell in later)
            and any(
                chain.sign * layout.digits[digit] < chain.sign * bound
                for digit in members(masks[cell])
            )
        ]
        if told:
            said = [_bound(strike, chain, cell, first=cell == told[0]) for cell in told]
            source = have[chain.source][:: chain.sign][0]
            exact = len(have[chain.source]) == 1
            fact = Makes(
                (chain.source,),
                source if exact or chain.sign > 0 else None,
                source if exact or chain.sign < 0 else None,
            )
            clauses.append(f"{fact.words(layout)}, so {word_list(said)}")
    given = [
        cell for cell in strike.cells if cell in placed or any(cell in c.moved for c in chains)
    ]
    return f"{strike.premises(given)}{'; '.join(clauses)}"


def _values(strike: Struck, cell: int) -> list[int]:
    """The digits that count for a cell; a placed one is seen."""
    mask = strike.position.masks[cell]
    if not strike.position.is_placed(cell):
        mask = strike.masks[cell]
    return [strike.layout.digits[digit] for digit in members(mask)]


def _bound(strike: Struck, chain: _Chain, cell: int, *, first: bool) -> str:
    name = strike.layout.cells[cell]
    for place, digit in strike.places:
        if place == cell:
            return f"{name} is {strike.layout.symbol(digit)}"
    end = "least" if chain.sign > 0 else "most"
    return f"{name}{' is' if first else ''} at {end} {chain.bounds[cell]}"


def _chains(order: Order, have: dict[int, list[int]], sign: int) -> Iterator[_Chain]:
    """The bounds that go up (1) or down (-1) along the order, each with the cell that they come from."""

    def gap(before: int, cell: int) -> int | None:
        """By how much a cell is at least above, or at least below, one before it."""
        most = order[before].get(cell) if sign > 0 else order[cell].get(before)
        return None if most is None else -most

    own = {cell: min(sign * value for value in values) for cell, values in have.items()}

    def carried(free: int | None = None) -> tuple[dict[int, int], dict[int, int], dict[int, int]]:
        """The bounds as they are counted, as the digits of the cells move them on, and their sources.

        No digit of the ``free`` cell moves its bound.
        """
        counted, best, source = dict(own), dict(own), {cell: cell for cell in order}
        for _ in order:
            for cell, before in product(order, order):
                step = gap(before, cell) if cell != before else None
                if step is None:
                    continue
                least = best[before] + step
                at_first = least == counted[cell] > own[cell] and own[before] == best[before]
                if least > counted[cell] or at_first:
                    fitting = [sign * value for value in have[cell] if sign * value >= least]
                    counted[cell] = least
                    best[cell] = least if cell == free else min(fitting, default=least)
                    source[cell] = source[before]
        return counted, best, source

    counted, best, source = carried()
    raised = sorted((cell for cell in order if best[cell] > own[cell]), key=best.__getitem__)
    found: dict[int, _Chain] = {}
    for cell in raised:
        chain = found.setdefault(source[cell], _Chain(source[cell], sign))
        chain.bounds[cell] = sign * counted[cell]
        if counted[cell] < best[cell]:
            without = carried(cell)[1]
            if any(without[other] < best[other] for other in order if other != cell):
                chain.bounds[cell] = sign * best[cell]
                chain.moved.add(cell)
    yield from found.values()


def _order(strike: Struck) -> Order:
    """The order of the cells, if the rule says only such things."""
    index = strike.layout.index
    found: Order = {cell: {cell: 0} for cell in strike.scope}
    for constraint in strike.constraints:
        if not isinstance(constraint, Compare) or constraint.relation != "<=":
            return {}
        if not isinstance(constraint.left, Cell) or not isinstance(constraint.right, Cell):
            return {}
        one, other = index[constraint.left], index[constraint.right]
        both = 1 << one | 1 << other
        rises = constraint.offset == 0 and any(bits & both == both for bits in strike.apart)
        found[one][other] = -1 if rises else constraint.offset
    for middle, one, other in product(strike.scope, repeat=3):
        if middle in found[one] and other in found[middle]:
            through = found[one][middle] + found[middle][other]
            found[one][other] = min(through, found[one].get(other, through))
    return found if len(strike.scope) > 1 and strike.constraints else {}
