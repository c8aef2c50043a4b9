"""Strikes of one sentence that are one step, and those that spell out the one before them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from gridassay.verify.listening.heard import Heard
from gridassay.verify.listening.token import Token


def goes_on(last: Heard, claim: Heard, between: Sequence[Token]) -> bool:
    """Whether two strikes are one step: only a comma between them, and at most one name for both."""
    if (
        last.left
        or claim.left
        or last.places
        or claim.places
        or any(token.letter in "STB" for token in between)
    ):
        return False
    return not (last.technique and claim.technique)


def says_again(last: Heard, claim: Heard) -> bool:
    """Whether a strike spells out the one before it: *is at least three, so it's not a two*."""
    return bool(claim.removes) and set(claim.removes) <= set(last.removes)


def without(last: Heard, claim: Heard) -> list[Heard]:
    """A strike without the cells of the one that spells a part of it out."""
    again = {cell for cell, _ in claim.removes}
    others = tuple(one for one in last.removes if one[0] not in again)
    return [replace(last, removes=others)] if others else []


def as_one(last: Heard, claim: Heard) -> Heard:
    """Two strikes that are one step, as one claim."""
    return replace(
        claim,
        said=f"{last.said}, {claim.said}",
        start=last.start,
        removes=tuple(dict.fromkeys((*last.removes, *claim.removes))),
        technique=last.technique or claim.technique,
        cells=(*last.cells, *claim.cells),
        digits=(*last.digits, *claim.digits),
        houses=(*last.houses, *claim.houses),
        rules=(*last.rules, *claim.rules),
        sure=last.sure and claim.sure,
        parts=(*(last.parts or (last,)), *(claim.parts or (claim,))),
    )
