"""Digits said of cells that are only pointed at: *six on top, five underneath*."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import pairwise

from gridassay.verify.listening.clauses import closed, parting_place
from gridassay.verify.listening.heard import Heard
from gridassay.verify.listening.token import ON_SIDE, PLACED, Token

_EITHER = re.compile(r"D[^DSBCTQ]*H[wI]*(?:[KV][wI]*[DH][wI]*)*V[wI]*[DH]")
"""A digit in one house or another: *the seven is in row one or row two*, *is row two, four or five*."""
_SIDES = frozenset({"top", "bottom", "left", "right"})


def pointed_at(text: str, row: list[Token], *, spoken: bool, many: frozenset[str]) -> list[Heard]:
    """The claims of a sentence without cells; in prose only with a verb and two words of where.

    ``many`` has the verbs after several candidates: *the sixes are all down in box two* places none.
    """
    if {token.letter for token in row} & set("RPC"):
        return []
    row = list(row)
    letters = "".join(token.letter for token in row)
    for match in reversed(list(_EITHER.finditer(letters))):
        del row[match.start() : match.end()]
    digits = [place for place, token in enumerate(row) if token.letter == "D"]
    leads = [token for token in row[: digits[0]] if token.letter == "H"] if digits else []
    heard = []
    for number, place in enumerate(digits):
        begin = parting_place(row, digits[number - 1], place) if number else 0
        end = len(row)
        if number + 1 < len(digits):
            end = parting_place(row, place, digits[number + 1])
        part = row[begin:end]
        claim = _pointing(text, part, row[place], leads)
        if claim is not None and not claim.denies and _of_several(part, row[place], many):
            continue
        if claim is not None and not spoken:
            claim = _written(claim, part)
        if claim is not None:
            heard.append(claim)
    return heard


def _written(claim: Heard, part: list[Token]) -> Heard | None:
    """A claim of prose, if enough is said of where: people write much of cells that claims nothing."""
    corner = any(token.letter == "L" and "corner" in token.text.casefold() for token in part)
    if corner and not claim.houses and not claim.rules:
        claim = replace(claim, spots=(*claim.spots, "grid"))
    where = len(claim.houses) + len(claim.spots) + len(claim.beside)
    verb = corner or any(token.letter in "EGT" for token in part)
    if claim.denies or where < 2 or not verb:
        return None
    return replace(claim, sure=False)


def _pointing(text: str, part: list[Token], digit: Token, leads: list[Token]) -> Heard | None:
    used = [token for token in part if token.letter in "DHTQLM"]
    denies = any(token.letter == "X" for token in part)
    if len(used) < 2 or (not denies and (digit.either or len(digit.digits) != 1)):
        return None
    houses = [token.house for token in used if token.letter == "H"]
    named = [token for token in used if token.letter == "T"]
    order = "".join(token.letter for token in used)
    if order in ("TDH", "TDHL", "TDLH") and named[0].technique == "last cell":
        named = []  # *it ends with a six in row two* does not say which house ends
    return Heard(
        said=closed(text, used[0].start, max(token.end for token in used)),
        start=used[0].start,
        technique=next((one.technique for one in named if one.firm), "")
        or (named[0].technique if named else ""),
        digits=digit.digits,
        houses=tuple(dict.fromkeys(houses or (token.house for token in leads))),
        rules=tuple(rule for token in used for rule in token.rules),
        spots=tuple(token.spot for token in used if token.letter == "L"),
        beside=tuple(token.spot for token in used if token.letter == "M"),
        placed=any(
            one.spot in (PLACED, ON_SIDE) and after.letter == "L" and after.spot in _SIDES
            for one, after in pairwise(part)
        ),
        loose=not any(token.firm for token in named),
        denies=denies,
    )


def _of_several(part: list[Token], digit: Token, many: frozenset[str]) -> bool:
    """Whether several candidates of a digit are spoken of."""
    verb = any(token.letter == "E" and token.text.casefold() in many for token in part)
    return verb and digit.text.casefold().endswith("s")
