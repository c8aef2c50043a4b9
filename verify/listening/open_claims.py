"""Claims that leave their conclusion open: a technique with where it is, or only a cell and a digit."""

from __future__ import annotations

from collections.abc import Sequence

from gridassay.verify.listening.heard import Heard
from gridassay.verify.listening.token import Token


def open_claims(text: str, row: Sequence[Token]) -> list[Heard]:
    """A claim of a technique, or only a cell, with its conclusion left open: one per sentence."""
    named = [token for token in row if token.letter == "T"]
    letters = {token.letter for token in row}
    if not named or not letters & set("CDHQ") or letters & set("PX"):
        return []
    used = [token for token in row if token.letter in "CDHTQ"]
    if any(token.either for token in used):
        return []
    return [
        Heard(
            said=text[used[0].start : max(token.end for token in used)],
            start=used[0].start,
            technique=named[0].technique,
            cells=tuple(cell for token in used for cell in token.cells),
            digits=tuple(digit for token in used for digit in token.digits),
            houses=tuple(token.house for token in used if token.house),
            rules=tuple(rule for token in used for rule in token.rules),
        )
    ]


def side_by_side(text: str, row: Sequence[Token]) -> list[Heard]:
    """A cell and a digit with nothing said of them, all in known words: ``7's: r7c2``."""
    letters = [token.letter for token in row]
    if letters.count("C") != 1 or letters.count("D") != 1 or not set(letters) <= set("CDHIBEG"):
        return []
    if any(token.either or len(token.cells) > 1 or len(token.digits) > 1 for token in row):
        return []
    return [
        Heard(
            said=text.strip(),
            start=row[0].start,
            cells=tuple(cell for token in row for cell in token.cells),
            digits=tuple(digit for token in row for digit in token.digits),
            houses=tuple(token.house for token in row if token.house),
        )
    ]
