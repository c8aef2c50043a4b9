"""The digits that a digit needs next to it, for rules about neighbours: whispers, thermometers, dots.

A digit can be removed from a cell if the cell beside it has none of the digits that may stand beside it,
or if the two cells beside it would need the same one and cannot both have it.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations

from gridassay.encodings.constraints import Constraint
from gridassay.encodings.grid import Cell
from gridassay.verify.solving.board.position import bits_of
from gridassay.verify.solving.techniques.facts import Needs
from gridassay.verify.solving.techniques.struck import Struck

MOST_PARTNERED, MOST_CLAUSES = 8, 3
"""The most candidates told by what they need beside them, and the most clauses."""


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
    said = []
    for (cell, needs), several in facts.items():
        digits = tuple(dict.fromkeys(several))
        swapped = False
        if len(needs) == 1:
            ((other, fit),) = needs
            swapped = bool(fit) and facts.get((other, ((cell, fit),))) == several
            if swapped and other < cell:
                continue
        said.append(Needs(cell, digits, needs, swapped).words(strike.layout))
    placed = [cell for cell, _ in strike.places]
    return f"{strike.premises(placed)}{'; '.join(said)}, {strike.end()}"


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
