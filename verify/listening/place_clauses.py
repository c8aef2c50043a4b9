"""The tokens around the words for a place in a sentence (``place_words.py``)."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from gridassay.verify.listening.token import Token

_BREAKS = ".;!?"


def clause_before(row: Sequence[Token]) -> list[Token]:
    """The tokens of the clause that a place goes on with."""
    found: list[Token] = []
    for token in reversed(row):
        ends = token.letter in "SB" or token.text in _BREAKS or _joins(token)
        if ends and token.text != ":":
            break
        found.insert(0, token)
    return found


def clause_after(rest: Sequence[Token]) -> Iterator[Token]:
    """The tokens up to the end of a clause; *and* ends it, and a comma before another digit."""
    for place, token in enumerate(rest):
        more = next((one.letter for one in rest[place + 1 :] if one.letter != "w"), "")
        if token.letter in "SB" or token.text in _BREAKS or _joins(token):
            return
        if token.letter == "K" and more in "DHC" and more:
            return
        yield token


def has_its_cell(row: Sequence[Token]) -> bool:
    """Whether the digit before a place has its cell already: *r7c1 8 end of row 7*."""
    return bool(
        re.search("(?:^|[SKB])CE*D$", "".join(one.letter for one in row if one.letter != "w"))
    )


def names_it(row: Sequence[Token], rest: Sequence[Token], end: int) -> bool:
    """Whether the cell is named as well: *the foot of column four, r9c4*, *in the middle r5c5 is …*."""
    led = not row or row[-1].letter in "SKB"
    clause = clause_after([one for one in rest if one.start >= end])
    if led and rest[0].letter in "LIwU" and any(one.letter == "C" for one in clause):
        return True
    after = [one for one in rest if one.start >= end and one.letter not in "wU"]
    return "".join(one.letter for one in after[:2]).startswith(("KC", "C"))


def of_house(rest: Sequence[Token]) -> Token | None:
    """The house of which a place is: *of row six*, *of that column*."""
    after = [one for one in rest[:3] if one.letter != "w"]
    led = len(after) > 1 and after[0].letter == "I" and after[1].letter in "HA"
    return after[1] if led else None


def names_house(row: Sequence[Token]) -> bool:
    """Whether a house was named as a heading right before: *row two, last square*."""
    said = [one for one in row if one.letter != "w"]
    return len(said) > 1 and said[-1].text in ",:" and said[-2].letter == "H"


def _joins(token: Token) -> bool:
    return token.letter == "K" and token.text.casefold() == "and"


def stands_alone(row: Sequence[Token], rest: Sequence[Token]) -> bool:
    """Whether an ordinal without a noun is that of a cell: *the fourth is a 1*, *3 third*."""
    before = "".join(one.letter for one in row if one.letter != "w")
    after = "".join(one.letter for one in rest if one.letter != "w")
    if re.match("ED", after) or (after[:1] == "D" and rest and rest[0].letter == "w"):
        return True
    return bool(re.search("D[EGI]*$", before)) and not re.match("[UHCTQDLA]", after)
