"""The digits that a digit needs next to it, for rules about neighbours: whispers, thermometers, dots.

A digit can be removed from a cell if the cell beside it has none of the digits that may stand beside it,
or if the two cells beside it would need the same one and cannot both have it.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations, product

from gridassay.encodings.constraints import Compare, Constraint
from gridassay.encodings.grid import Cell
from gridassay.verify.solving.board.ideas import word_list
from gridassay.verify.solving.board.position import Mark, bits_of, members
from gridassay.verify.solving.techniques.bounds import bounds
from gridassay.verify.solving.techniques.facts import Makes, Needs
from gridassay.verify.solving.techniques.struck import Struck

MOST_PARTNERED, MOST_CLAUSES = 8, 3
"""The most candidates told by what they need beside them, and the most clauses."""


def by_neighbours(strike: Struck) -> str:
    """How high or low a cell can be after another, for a rule on cells in order: a thermometer."""
    order = _order(strike)
    if not order:
        return ""
    layout, masks = strike.layout, strike.masks
    lows = {cell: _end(strike, cell, 0) for cell in order}
    tops = {cell: _end(strike, cell, -1) for cell in order}
    said: dict[tuple[tuple[int, int], ...], list[Mark]] = {}
    for cell in dict.fromkeys(cell for cell, _ in sorted(strike.struck)):
        struck = [layout.digits[digit] for where, digit in strike.struck if where == cell]
        # ``order[one][other]``: one is at most so much more than the other.
        top, by_top = min((tops[o] + order[cell][o], o) for o in order if o in order[cell])
        low, by_low = max((lows[o] - order[o][cell], o) for o in order if cell in order[o])
        if any(low <= digit <= top for digit in struck):
            return ""
        key: tuple[tuple[int, int], ...] = (
            ((by_low, 0),) if any(digit < low for digit in struck) else ()
        )
        key += ((by_top, -1),) if any(digit > top for digit in struck) else ()
        said.setdefault(key, []).extend(mark for mark in strike.struck if mark[0] == cell)
    if len(said) > MOST_CLAUSES or any(cell not in masks for cell in order):
        return ""
    clauses = []
    for key, marks in said.items():
        facts = [
            Makes(
                (cell,),
                lows[cell] if not end or lows[cell] == tops[cell] else None,
                tops[cell] if end or lows[cell] == tops[cell] else None,
            ).words(layout)
            for cell, end in key
        ]
        clauses.append(f"{word_list(facts)}, so {bounds(strike.position, marks, always=True)}")
    placed = [cell for cell, _ in strike.places]
    return f"{strike.premise_words('with ', ', ', placed)}{'; '.join(clauses)}"


def _end(strike: Struck, cell: int, end: int) -> int:
    """The least (0) or the greatest (-1) that a cell can be."""
    return strike.layout.digits[members(strike.masks[cell])[end]]


def _order(strike: Struck) -> dict[int, dict[int, int]]:
    """The most by which each cell exceeds each other one, if the rule says only such things."""
    index = strike.layout.index
    found: dict[int, dict[int, int]] = {cell: {cell: 0} for cell in strike.scope}
    for constraint in strike.constraints:
        if not isinstance(constraint, Compare) or constraint.relation != "<=":
            return {}
        if not isinstance(constraint.left, Cell) or not isinstance(constraint.right, Cell):
            return {}
        found[index[constraint.left]][index[constraint.right]] = constraint.offset
    for middle, one, other in product(strike.scope, repeat=3):
        if middle in found[one] and other in found[middle]:
            through = found[one][middle] + found[middle][other]
            found[one][other] = min(through, found[one].get(other, through))
    return found if len(strike.scope) > 1 and strike.constraints else {}


def by_partners(strike: Struck) -> str:
    """The digits that a digit needs next to it, for a rule of pairs: ``4 in r1c1 needs 9 in r1c2``."""
    pairs = _pairs(strike)
    if not pairs or len(strike.struck) > MOST_PARTNERED:
        return ""
    facts: dict[tuple[int, tuple[tuple[int, int], ...]], list[int]] = {}
    for cell, digit in sorted(strike.struck):
        needs = _needs(strike, pairs.get(cell, []), digit)
        if needs is None:
            return ""
        never = all(
            _needs(strike, pairs[one], digit) in [((other, 0),) for other, _ in pairs[one]]
            for one in pairs
        )
        facts.setdefault((-1, ()) if never else (cell, needs), []).append(digit)
    if len(facts) > MOST_CLAUSES:
        return ""
    said = [
        Needs(cell, tuple(dict.fromkeys(digits)), needs).words(strike.layout)
        for (cell, needs), digits in facts.items()
    ]
    placed = [cell for cell, _ in strike.places]
    return f"{strike.premise_words('with ', ', ', placed)}{'; '.join(said)}, {strike.end()}"


def _pairs(strike: Struck) -> dict[int, list[tuple[int, Constraint]]]:
    """The cells beside each cell, if the rule says only what goes beside what."""
    index = strike.layout.index
    found: dict[int, list[tuple[int, Constraint]]] = {}
    for constraint in strike.constraints:
        names = list(dict.fromkeys(constraint.scope()))
        if len(names) != 2 or not all(isinstance(name, Cell) for name in names):
            return {}
        one, other = (index[name] for name in names if isinstance(name, Cell))
        found.setdefault(one, []).append((other, constraint))
        found.setdefault(other, []).append((one, constraint))
    return found


def _needs(
    strike: Struck, beside: Sequence[tuple[int, Constraint]], digit: int
) -> tuple[tuple[int, int], ...] | None:
    """Cells beside with the digits that a digit needs in them and cannot have; None for no such."""
    layout = strike.layout
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
        if not fit & strike.masks[other]:
            return ((other, fit),)
        wanted.append((other, fit & strike.masks[other]))
    for (one, first), (other, second) in combinations(wanted, 2):
        both = 1 << one | 1 << other
        if (
            first == second
            and first.bit_count() == 1
            and any(bits & both == both for bits in strike.apart)
        ):
            return (one, first), (other, second)
    return None
