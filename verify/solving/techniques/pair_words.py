"""The digits that a digit needs next to it, for rules about neighbours: whispers, thermometers, dots.

A digit can be removed from a cell if the cell beside it has none of the digits that may stand beside it,
or if the two cells beside it would need the same one and cannot both have it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import combinations

from gridassay.encodings.constraints import Constraint
from gridassay.encodings.grid import Cell
from gridassay.verify.solving.board.position import bits_of
from gridassay.verify.solving.techniques.facts import Needs
from gridassay.verify.solving.techniques.struck import Struck

Needed = tuple[tuple[int, int], ...]
"""Cells beside, with the digits (bits) that fit there."""

MOST_PARTNERED, MOST_CLAUSES = 8, 3
"""The most candidates told by what they need beside them, and the most clauses."""


def by_partners(strike: Struck) -> str:
    """The digits that a digit needs next to it, for a rule of pairs: ``4 in r1c1 needs 9 in r1c2``."""
    pairs = _pairs(strike)
    if not pairs or len(strike.struck) > MOST_PARTNERED:
        return ""
    facts: dict[tuple[int, Needed], list[int]] = {}
    for cell, digit in sorted(strike.struck):
        needs = _needs(strike, pairs.get(cell, []), digit)
        if needs is None:
            return ""
        never = all(
            _needs(strike, pairs[one], digit) in [((other, 0),) for other, _ in pairs[one]]
            for one in pairs
        )
        facts.setdefault((-1, ()) if never else (cell, needs), []).append(digit)
    if all(len(needs) == 1 and _is_decided(strike, needs[0][0]) for _, needs in facts):
        return strike.bare()
    told = _together(facts)
    if len(told) > MOST_CLAUSES:
        return ""
    placed = [cell for cell, _ in strike.places]
    said = [fact.words(strike.layout) for fact in told]
    return f"{strike.premises(placed)}{'; '.join(said)}, {strike.end()}"


def _together(facts: Mapping[tuple[int, Needed], list[int]]) -> list[Needs]:
    """The needs of digits, those of two cells that need the same of each other said once.

    The digits of a cell that need some in the same cell beside are taken together.
    """
    found: list[Needs] = []
    needing: dict[tuple[int, int], Needs] = {}
    for (cell, needs), several in facts.items():
        digits = tuple(dict.fromkeys(several))
        ((other, fit),) = needs if len(needs) == 1 else ((-1, 0),)
        if fit and facts.get((other, ((cell, fit),))) == several:
            if cell < other:
                found.append(Needs(cell, digits, needs, swapped=True))
            continue
        one = Needs(cell, digits, needs)
        before = needing.get((cell, other)) if fit else None
        if before:
            found.remove(before)
            both = ((other, before.needs[0][1] | fit),)
            one = Needs(cell, (*before.digits, *digits), both)
        if fit:
            needing[cell, other] = one
        found.append(one)
    return found


def _is_decided(strike: Struck, cell: int) -> bool:
    mask = strike.masks[cell]
    return not mask & (mask - 1)


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


def _needs(strike: Struck, beside: Sequence[tuple[int, Constraint]], digit: int) -> Needed | None:
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
