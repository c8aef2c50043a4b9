"""Clauses put into the midst of another: *the five, as row three has one, can only be in r1c2*.

What is between a subject and its verb, or a verb and what it says, is taken out, so that the sentence
around it is heard. A reason is put behind it, and what only describes (*which ...*) is left out.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from gridassay.verify.listening.token import Token

_SUBJECT = re.compile("(?:C|D(?:w*[IG]+w*[HA])?|[HA]w*D)w*$")
_VERB = re.compile("w*(?:D?w*E|X|G|R|I+w*C)")
_MIDST = re.compile("(?:^|[SK])[^SK]*(?:C|D)[^SKCD]*[EG]w*$")
_REST = re.compile("w*[IUw]*(?:C|D)")
_WHOLE = re.compile("C.*D|D.*C")


def without_asides(
    tokens: Sequence[Token], small: Mapping[str, frozenset[str]]
) -> tuple[list[Token], list[Token]]:
    """A sentence with its asides taken out, and these; ``small`` are words of the language's file."""
    row = list(tokens)
    asides: list[Token] = []
    place = 1
    while place < len(row):
        end = _end(row, place, small) if row[place].text == "," else 0
        if not end:
            place += 1
            continue
        aside = row[place:end]
        asides += aside
        del row[place : end + 1]
        if not _describes(aside, small):
            at = _clause_end(row, place)
            row[at:at] = aside
    return row, asides


def _end(row: Sequence[Token], first: int, small: Mapping[str, frozenset[str]]) -> int:
    """The comma at which an aside ends that begins with another one; 0 if none does."""
    letters = "".join("S" if one.letter == "S" else one.letter for one in row)
    before = letters[:first]
    subject, midst = _SUBJECT.search(before), _MIDST.search(before)
    if not subject and not midst:
        return 0
    for end in range(first + 2, len(row)):
        if row[end].letter == "S" and row[end].text == ";":
            return 0
        if row[end].text != ",":
            continue
        inside, after = letters[first + 1 : end], letters[end + 1 :]
        goes_on = (_VERB if subject else _REST).match(after)
        led = _word(row, first + 1) in small["aside"] or _is_barred(row[first + 1])
        if goes_on and (led or not {*"CDEHAQTI"} & {*inside}) and not _WHOLE.search(inside):
            return end
    return 0


def _describes(aside: Sequence[Token], small: Mapping[str, frozenset[str]]) -> bool:
    """Whether an aside tells nothing that a claim may rest on."""
    letters = {one.letter for one in aside}
    if _is_barred(aside[1]):
        return True
    relative = any(_plain(one) in small["which"] | small["relative"] for one in aside[1:3])
    return "P" in letters or not letters & set("T" if relative else "HTQA")


def _is_barred(token: Token) -> bool:
    """Whether a verb that strikes only describes what was named: *the 9, barred from row 5, …*."""
    return token.letter == "R"


def _clause_end(row: Sequence[Token], first: int) -> int:
    """The place at which the clause that goes on at a place ends."""
    for place in range(first, len(row)):
        if row[place].letter in "SB" or row[place].text in (",", ".", "and"):
            return place
    return len(row)


def _word(row: Sequence[Token], place: int) -> str:
    return _plain(row[place])


def _plain(token: Token) -> str:
    return " ".join(token.text.casefold().split())
