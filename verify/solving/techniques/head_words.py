"""The sums that a total may be, by what they make: "r1c1 can be 8 as 1+2+5 or 1+3+4, or 9 as 2+3+4".

So one tells an arrow, bulb by bulb, or a cage whose number is a letter.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace
from typing import TypeVar

from gridassay.verify.solving.board.ideas import word_list
from gridassay.verify.solving.board.position import Layout, Position
from gridassay.verify.solving.rule_meaning.sums import (
    MOST_SAID,
    HeadAndSum,
    extent,
    fillings,
    head_and_sum,
)
from gridassay.verify.solving.techniques.bounds import is_letter
from gridassay.verify.solving.techniques.facts import Makes
from gridassay.verify.solving.techniques.struck import Struck

Summands = tuple[int, ...]
"""The places of digits that are added up, in order."""

Shown = TypeVar("Shown", bound=Struck)

_MOST_TRIED = 60
"""The most fillings from which sums are read off."""


def by_head(strike: Struck) -> str:
    """The sums for each value of the head, if they have no digit that goes."""
    strike = with_seen(strike)
    ways = head_ways(strike)
    if not ways:
        return ""
    total = strike.total
    assert total is not None
    found = head_and_sum(total)
    assert found is not None
    values = strike.layout.domains
    for unknown, digit in strike.struck:
        if unknown == found.head:
            if values[unknown][digit] in ways:
                return ""
        elif unknown not in found.body or any(
            digit in one for some in ways.values() for one in some
        ):
            return ""
    return f"{strike.premises()}{ways_said(strike, ways)}, {strike.end()}"


def also_seen(position: Position, made: HeadAndSum, cells: Collection[int]) -> list[int]:
    """The head and the cells with a placed digit, of those that are not among some cells."""
    layout = position.layout
    placed = [one for one in made.body if layout.is_cell(one) and position.is_placed(one)]
    head = made.head
    if head is not None and position.masks[head] != layout.full[head]:
        placed.insert(0, head)
    return [one for one in placed if one not in cells]


def with_seen(strike: Shown) -> Shown:
    """The same with the candidates of the head and placed digits, as far as these leave fewer sums."""
    made = strike.total and head_and_sum(strike.total)
    if not made or made.head is None:
        return strike
    also = also_seen(strike.position, made, strike.cells)
    whole = replace(strike, cells=(*strike.cells, *also))
    for one in also:
        less = replace(whole, cells=tuple(cell for cell in whole.cells if cell != one))
        if head_ways(less) == head_ways(whole):
            whole = less
    return whole


def head_ways(strike: Struck) -> dict[int, list[Summands]]:
    """The sums, by what they make; nothing if they are many, or if a number is given."""
    total = strike.total
    found = total and head_and_sum(total)
    if not total or not found or found.head is None or strike.beside:
        return {}
    if any(is_letter(strike.layout, one) for one in found.body):
        return {}
    masks = [strike.masks[one] for one in total.cells]
    every = fillings(total, masks, strike.layout.domains, _MOST_TRIED)
    ways: dict[int, list[Summands]] = {}
    for filling in every or ():
        of = dict(zip(total.cells, filling, strict=True))
        made = strike.layout.domains[found.head][of[found.head]]
        summands = tuple(sorted(of[one] for one in found.body))
        if summands not in ways.setdefault(made, []):
            ways[made].append(summands)
    if sum(map(len, ways.values())) > MOST_SAID:
        return {}
    return {made: sorted(ways[made]) for made in sorted(ways)}


def ways_said(strike: Struck, ways: Mapping[int, Sequence[Summands]]) -> str:
    """``B can be 14 as 3+5+6 or 16 as 3+5+8``, ``r2c8 can only be 7, as 3+4``, ``6 is 2+4``."""
    total, layout = strike.total, strike.layout
    found = total and head_and_sum(total)
    assert found
    assert found.head is not None
    sums = {
        made: word_list(["+".join(map(layout.symbol, one)) for one in some], "or")
        for made, some in ways.items()
    }
    return head_said(layout, found.head, strike.masks[found.head], sums)


def head_said(layout: Layout, unknown: int, mask: int, sums: Mapping[int, str]) -> str:
    """The amounts that a head with these candidates can be, with the sums that make each."""
    if not mask & (mask - 1):
        ((made, some),) = sums.items()
        return f"{made} is {some}"
    head = layout.unknowns[unknown]
    said = [f"{made} as {some}" for made, some in sums.items()]
    if len(said) == 1:
        return f"{head} can only be {said[0].replace(' as ', ', as ', 1)}"
    if any(" or " in some for some in sums.values()):
        return f"{head} can be {', '.join(said[:-1])}, or {said[-1]}"
    return f"{head} can be {word_list(said, 'or')}"


def without_digit(strike: Struck, digit: int) -> str:
    """The sum of the cells without a digit, if that is too much or too little.

    ``r7c1 and r7c2 make at least 11 without 2, and r6c3 is at most 9``.
    """
    layout, total = strike.layout, strike.total
    found = total and head_and_sum(total)
    if not total or not found or strike.beside:
        return ""
    masks = {
        one: mask & ~(1 << digit) if layout.is_cell(one) else mask
        for one, mask in strike.masks.items()
    }
    amounts = sorted(value for value, _ in found.amounts(masks, layout.domains))
    part = total.among([total.cells.index(one) for one in found.body])
    part = replace(part, weights=(1,) * len(found.body))
    try:
        low, high = extent(part, [masks[one] for one in found.body], layout.domains)
    except ValueError:
        return ""
    if not amounts or (amounts[0] <= high and low <= amounts[-1]):
        return ""
    much = low > amounts[-1]
    limit = amounts[-1] if much else amounts[0]
    made = Makes(found.body, low if much else None, None if much else high).words(layout)
    if found.head is None:
        rest = f"{'more' if much else 'less'} than {limit}"
    else:
        exact = len(amounts) == 1
        least = None if much and not exact else limit
        most = None if not much and not exact else limit
        bound = Makes((found.head,), least, most)
        rest = f"and {bound.words(layout)}"
    return (
        f"{strike.premises()}{strike.they(made, found.body)} without {layout.symbol(digit)}, {rest}"
    )
