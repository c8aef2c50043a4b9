"""Strikes of a total together with a house, in numbers: the sets of digits left, and the digits besides.

A cage that lies in a house takes its digits from the rest of it. Where a digit of the house can only be
in the cage, the sets without it are out; where cells beside the cage have few candidates, each set goes
with what is left for them. Only what such few sets show by themselves is told in this way.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import product

from gridassay.verify.solving.board.ideas import cell_names, word_list, zone_said
from gridassay.verify.solving.board.position import Mark, Position, bits_of, members
from gridassay.verify.solving.rule_meaning.strikes import RuleStrikes
from gridassay.verify.solving.rule_meaning.sums import (
    MOST_SAID,
    WeightedSum,
    fits,
    sets_making,
    total_in,
)
from gridassay.verify.solving.techniques.facts import HasCandidates, Ways, conclusion, number

Beside = tuple[int, tuple[int, ...]]
"""A set of digits (bits) and the digits of the cells beside, in order."""


def joint_words(
    position: Position,
    reading: RuleStrikes,
    cells: Sequence[int],
    places: Sequence[Mark],
    removes: Sequence[Mark],
) -> str:
    """The clauses after the rule's name; empty if sets do not show it."""
    layout = position.layout
    total = total_in(layout, reading.piece.premise)
    if total is None or not total.plain or len(reading.zones) != 1:
        return ""
    (zone,) = reading.zones
    own = bits_of(total.cells)
    outside = any(not own >> cell & 1 for cell, _ in (*places, *removes))
    beside = [cell for cell in cells if not own >> cell & 1]
    if own & ~zone.bits and (outside or beside):
        return ""
    held = [
        (digit, members(home.bits & position.where[digit] & ~position.placed))
        for digit, home in reading.spots
    ]
    if any(bits_of(spots) & ~own or not spots for _, spots in held):
        return ""
    ways = list(_ways(position, total, [digit for digit, _ in held], cells, beside))
    if not ways or len(ways) > MOST_SAID or not _sets_show(position, own, ways, places, removes):
        return ""
    given = word_list(HasCandidates(cell, position.masks[cell]).words(layout) for cell in cells)
    homes = [
        f"{layout.symbol(digit)} in {zone_said(layout, home)} is in {cell_names(layout, spots, 'or')}"
        for (digit, spots), (_, home) in zip(held, reading.spots, strict=True)
    ]
    head = f"{word_list(homes)}, so " if homes else ""
    head += f"with {given}, " if given else ""
    end = conclusion(position, places, removes)
    if not beside:
        sets = tuple(dict.fromkeys(digits for digits, _ in ways))
        said = Ways(total.amount, len(total.cells), sets).words(layout)
        apart = f", no digit twice in {zone_said(layout, zone)}" if outside else ""
        return f"{apart}: {head}{said}, {end}"
    several = [
        f"{'+'.join(map(layout.symbol, members(digits)))} beside {'-'.join(map(layout.symbol, others))}"
        for digits, others in ways
    ]
    said = f"{total.amount} in {number(len(total.cells))} cells is {word_list(several, 'or')}"
    return f", no digit twice in {zone_said(layout, zone)}: {head}{said}, {end}"


def _ways(
    position: Position,
    total: WeightedSum,
    held: Sequence[int],
    cells: Sequence[int],
    beside: Sequence[int],
) -> Iterator[Beside]:
    """The sets that make the total, each with the digits that the cells beside them can then have."""
    layout = position.layout
    masks = [position.masks[c] if c in cells else layout.all_digits for c in total.cells]
    for digits in sets_making(layout.digits, len(masks), total.amount):
        if any(not digits >> digit & 1 for digit in held) or not fits(digits, masks):
            continue
        for others in product(*(members(position.masks[cell] & ~digits) for cell in beside)):
            if len(set(others)) == len(others):
                yield digits, others


def _sets_show(
    position: Position,
    own: int,
    ways: Sequence[Beside],
    places: Sequence[Mark],
    removes: Sequence[Mark],
) -> bool:
    """Whether the sets alone show what goes: what none has or, from other cells, what all have."""
    struck = list(removes)
    for cell, digit in places:
        struck += [(cell, other) for other in members(position.masks[cell]) if other != digit]
    return all(
        not any(digits >> digit & 1 for digits, _ in ways)
        if own >> cell & 1
        else all(digits >> digit & 1 or digit in others for digits, others in ways)
        for cell, digit in struck
    ) and not any(own >> cell & 1 for cell, _ in places)
