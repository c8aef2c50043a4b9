"""Breaks between clauses that each name a cell and its digit: *the 2 went to r6c7, r4c7 was 3*.

Without one the digit of one clause could be taken for the cell of the next, and cells side by side for
a list. A clause that only goes on with a verb has the digit of the one before as its subject: *the 9
cannot stand in row 7 and goes to r9c2*.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from gridassay.verify.listening.token import Token

_ENDS = frozenset("SBPVZY")
_VERBS = frozenset("EGXR")
_DENIES = frozenset("XR")
_DENIED_HOUSE = re.compile(r"D[^C]*[XR][^C]*[HA]$|^[XR][^C]*D[^C]*[HA]$")
_VERB_AND_CELL = re.compile(r"(?:E?[GI]|E)[^DHXR]*C$")


def with_clause_breaks(tokens: Sequence[Token], it: frozenset[str]) -> list[Token]:
    """The tokens, with a break for a comma or *and* between two whole claims.

    ``it`` are the words for the digit just placed, after which a new claim begins.
    """
    row = [
        replace(one, letter="S") if one.letter == "K" and _ends_with_it(tokens, at, it) else one
        for at, one in enumerate(tokens)
    ]
    subjects: dict[int, Token] = {}
    cuts = [-1, *(at for at, one in enumerate(row) if one.letter == "K" or _ends(one)), len(row)]
    for number in range(1, len(cuts) - 1):
        place = cuts[number]
        if row[place].letter != "K":
            continue
        before = row[cuts[number - 1] + 1 : place]
        after = row[place + 1 : cuts[number + 1]]
        if not _letters(before) and number > 1:  # *r2c3 is 4, and r2c4 is 5*
            before = row[cuts[number - 2] + 1 : cuts[number - 1]]
        if _is_whole(before) and _is_whole(after) and not _goes_on(before, after):
            row[place] = replace(row[place], letter="S")
        elif _has_its_subject(before, after):
            digit = next(one for one in before if one.letter == "D")
            subjects[place] = replace(digit, start=row[place].end, end=row[place].end, firm=False)
            row[place] = replace(row[place], letter="S")
    return [
        one
        for place, token in enumerate(row)
        for one in ([token, subjects[place]] if place in subjects else [token])
    ]


def _ends_with_it(tokens: Sequence[Token], place: int, it: frozenset[str]) -> bool:
    """Whether a reason for the digit before ends at a comma: *5 r5c3, c3 has no other for it, 6 …*."""
    last = tokens[place - 1] if place else None
    told = last is not None and last.letter == "T" and last.text.casefold().split()[-1] in it
    return told and _is_whole(tokens[: place - 1])


def _ends(token: Token) -> bool:
    return token.letter in _ENDS or token.text in ".;!?"


def _letters(tokens: Sequence[Token]) -> str:
    return "".join(one.letter for one in tokens if one.letter != "w")


def _is_whole(clause: Sequence[Token]) -> bool:
    """Whether one cell and one digit stand in a clause."""
    letters = _letters(clause)
    return letters.count("C") == letters.count("D") == 1


def _goes_on(before: Sequence[Token], after: Sequence[Token]) -> bool:
    """Whether a clause may have its verb from the next one, or both deny the same for one reason.

    As in *1 in r1c2, 4 in r1c3 are gone*, and in *X-wing: r5c2 not 8, r8c2 not 8*.
    """
    verbs, more = ({*_letters(clause)} & _VERBS for clause in (before, after))
    denied = [one.digits for one in (*before, *after) if one.letter == "D"]
    both = bool(verbs & _DENIES) and denied[0] == denied[1]
    return bool(more & _DENIES) and (not verbs or both)


def _has_its_subject(before: Sequence[Token], after: Sequence[Token]) -> bool:
    """Whether a clause of a verb and a cell goes on with a digit that was denied a house."""
    said = [one for one in before if one.letter == "D"]
    if len(said) != 1 or len(said[0].digits) != 1:
        return False
    return bool(_DENIED_HOUSE.search(_letters(before)) and _VERB_AND_CELL.match(_letters(after)))
