"""A total of which one cell is missing: "2 and 7 make 9, so r3c4 is 9", "18 less 6 and 3 is 9"."""

from __future__ import annotations

from gridassay.verify.solving.board.position import bits_of, members
from gridassay.verify.solving.techniques.bounds import bounds
from gridassay.verify.solving.techniques.facts import AddsUp
from gridassay.verify.solving.techniques.struck import Struck


def by_sum(strike: Struck) -> str:
    """The sum or difference that is left for one cell or letter, if all the others are known."""
    total = strike.total
    touched = {unknown for unknown, _ in strike.struck}
    if total is None or len(touched) != 1 or strike.beside:
        return ""
    (unknown,) = touched
    if unknown not in total.cells:
        return ""
    layout = strike.layout
    weight = total.weights[total.cells.index(unknown)]
    more: list[int] = []
    less: list[int] = []
    for other, factor in zip(total.cells, total.weights, strict=True):
        if other == unknown:
            continue
        # A placed digit is seen, even if the conclusion does not need it.
        placed = layout.is_cell(other) and strike.position.is_placed(other)
        mask = (strike.position.masks if placed else strike.masks)[other]
        if mask & (mask - 1) or abs(factor) != 1:
            return ""
        (more if factor != weight else less).append(layout.domains[other][mask.bit_length() - 1])
    rest = total.amount * weight
    if rest > 0:
        more.append(rest)
    elif rest < 0:
        less.append(-rest)
    if len(more) > 1 and less:
        return ""
    value = sum(more) - sum(less)
    left = strike.position.masks[unknown] & ~bits_of(place for _, place in strike.struck)
    if abs(weight) != 1 or [value] != [layout.domains[unknown][place] for place in members(left)]:
        return ""
    fact = AddsUp(tuple(more), tuple(less)).words(layout)
    return f"{fact}, so {bounds(strike.position, strike.struck)}"
