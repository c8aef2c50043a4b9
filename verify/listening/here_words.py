"""Digits of which only *here*, *this one* or nothing at all tells where: *seven there*, *and the six*."""

from __future__ import annotations

from collections.abc import Sequence

from gridassay.verify.listening.heard import Heard, Pointer
from gridassay.verify.listening.token import Token
from gridassay.verify.listening.vocabulary import Here

_KNOWN = frozenset("DEGISJB")


def said_here(text: str, said: Sequence[Token], row: list[Token], words: Here) -> list[Heard]:
    """The claim of a sentence with one digit that points at its cell with the hand, if it is one.

    ``said`` are all its tokens, ``row`` those that tell something.
    """
    digits = [token for token in row if token.letter == "D"]
    if len(digits) != 1 or {token.letter for token in row} - _KNOWN:
        return []
    unknown = [token for token in said if token.letter in "UP"]
    if any(token.text.casefold() not in words.beside for token in unknown):
        return []
    (digit,) = digits
    if len(digit.digits) != 1 or digit.either:
        return []
    here = _pointer(text, digit, row, words)
    if not here:
        return []
    return [
        Heard(
            said=text.strip(),
            start=row[0].start,
            digits=digit.digits,
            loose=True,
            here=here,
            sure=False,
        )
    ]


def _pointer(text: str, digit: Token, row: list[Token], words: Here) -> Pointer:
    if words.here.search(text):
        return "here"
    if words.this.search(text) and any(token.letter == "E" for token in row):
        return "this"
    for verb in (one for one in row if one.letter == "S" and one.end <= digit.start):
        makes = verb.text.casefold().split()[-1] in words.makes
        if makes and words.this.search(text[verb.end : digit.start]):
            return "this"
    before, after = text[: digit.start], text[digit.end :]
    if words.goes_on.fullmatch(before.strip()) and not after.strip(" .,!"):
        return "goes on"
    return ""
