"""Cells and digits of a sentence whose other words were not understood.

*Row six wants a six, so row six column seven gets it* has one cell and one digit. That may be a claim or
none, so it counts only if the digit is true there and a single now, or after quiet singles: nothing
that was not understood is ever held against its speaker.
"""

from __future__ import annotations

from collections.abc import Sequence

from gridassay.verify.listening.heard import Heard, Pair
from gridassay.verify.listening.token import Token

_NO_CLAIM = frozenset("XRPVZYF")
"""Words that deny, strike, suppose, list or take back: they do not say that a digit is there."""


def loose_pairs(text: str, tokens: Sequence[Token]) -> list[Heard]:
    """The claims that such a sentence may make, each with the pairs of which one must be meant."""
    if any(token.letter in _NO_CLAIM for token in tokens):
        return []
    row = [token for token in tokens if token.letter in "CD"]
    if any(_varies(token) for token in row):
        return []
    first = row[0].start if row else 0
    return [
        Heard(said=text.strip(), start=first, near=pairs, loose_pairs=True)
        for pairs in _pairs_of(row)
    ]


def _varies(token: Token) -> bool:
    """Whether a token names several cells or digits, a letter, or a cell that was not named in full."""
    return (
        token.either
        or not token.firm
        or bool(token.spot)
        or len(token.cells) + len(token.digits) != 1
    )


def _pairs_of(row: Sequence[Token]) -> list[tuple[Pair, ...]]:
    """Digits and cells in turn, or one of them with each of the others."""
    letters = "".join(token.letter for token in row)
    cells = [token.cells[0] for token in row if token.letter == "C"]
    digits = [token.digits[0] for token in row if token.letter == "D"]
    if letters in ("CD" * len(cells), "DC" * len(cells)):
        return [(pair,) for pair in zip(cells, digits, strict=True)]
    if len(cells) == 1 or len(digits) == 1:
        return [tuple(dict.fromkeys((cell, digit) for cell in cells for digit in digits))]
    return []
