"""The houses of a claim: where a digit lies, where it has no other place, or why it lies elsewhere.

*The 4 is at r8c3, for column two has one* does not say that the 4 lies in column two. A house that has a
verb of its own, or holds another digit, is a reason.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from gridassay.verify.listening.heard import Heard
from gridassay.verify.listening.token import Token
from gridassay.verify.solving.techniques import hidden_single

_OWN_VERB = re.compile("w*(?:[KH]w*)*(?:[UXRG]|E(?!w*T))")
"""After a house that has, lacks or sees something; *has no other place* is said of the claim."""
_HAS_IT = re.compile("w*[EU][wEUI]*D")
"""After a house that has the digit: *column nine has a 1, so r1c8 is 1*."""
_SEVERAL = re.compile(r"[^\W\d]+s\s")
"""The kind of a house that begins a list of them: *5 in r2c1, rows 1, 3*."""
_OF_ANOTHER = re.compile("(?:X|U|R)[w]*(?:G?w*)I+w*$")
"""Before a house in which something is used, or is not: *5s used in col 4*."""
_ONLY_HERE = re.compile("w*I*w*(?:C|HwB|H$)|w*Dw*I+w*[HA]")
"""After *only*: a cell, a house alone, or the digit of a house."""


def reasons(
    said: Sequence[Token],
    inside: Sequence[Token],
    asides: Sequence[Token],
    only: frozenset[str],
) -> list[str]:
    """The houses that are reasons, among the words of a claim; ``inside`` is its conclusion.

    ``asides`` are words that stand in the midst of others (``asides.py``).
    """
    letters = "".join(one.letter for one in said)
    digits = {digit for one in inside for digit in one.digits}
    end = inside[-1].end
    found = []
    for place, one in enumerate(said):
        if one.letter != "H":
            continue
        before = letters[:place]
        holds = re.search("Dw*I+w*$", before)
        digit = said[holds.start()] if holds else None
        another = digit is not None and digits.isdisjoint(digit.digits)
        later = one.start >= end or one in asides
        told = later and _OWN_VERB.match(letters, place + 1)
        again = digit is not None and digit.start >= end and _before(said, digit) not in only
        had = digit is not None and digit.start < inside[0].start
        has = _HAS_IT.match(letters, place + 1)
        owned = said[has.end() - 1] if has else None
        owns = owned is not None and digits == {*owned.digits} and owned not in inside
        listed = _SEVERAL.match(one.text) is not None
        if another or told or again or had or owns or listed or _OF_ANOTHER.search(before):
            found.append(one.house)
    return found


def is_confined(said: Sequence[Token], inside: Sequence[Token], only: frozenset[str]) -> bool:
    """Whether a digit is said to be *only* in a cell, or the only one of a house."""
    letters = "".join(one.letter for one in said)
    digits = {digit for one in inside for digit in one.digits}
    for place, one in enumerate(said):
        match = _ONLY_HERE.match(letters, place + 1) if one.text.casefold() in only else None
        if match is None:
            continue
        own = {digit for token in said[place : match.end()] for digit in token.digits}
        if own <= digits and (match.group()[-1] != "C" or "D" in letters[:place]):
            return True
    return False


def confined(claim: Heard) -> Heard:
    """A placement in a house, as the only place of its digit there."""
    if claim.technique or len(claim.places) != 1 or len(claim.houses) != 1:
        return claim
    return replace(claim, technique=hidden_single.NAME, loose=True)


def _before(said: Sequence[Token], token: Token) -> str:
    """The word before a token."""
    return next((one.text.casefold() for one in reversed(said) if one.start < token.start), "")
