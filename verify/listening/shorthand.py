"""The order in which notes write a cell and its digit: *r2c4 7, r5c5 1* or *7 r2c4, 1 r5c5*.

Commas in shorthand part whole claims, but between two cells or two digits they list. Once the order of
some notes is known, a comma before a cell with its digit in that order is known to part.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import Literal

from gridassay.verify.listening.token import Token

Order = Literal["", "CD", "DC"]
"""The letters of a cell and its digit (``vocabulary.py``) as some notes have them; empty if they vary."""

_CLEAR = re.compile("(CD|DC)(?:I*[HT])*")
_ENOUGH, _FOUR_FIFTHS = 5, 0.8
"""The fewest claims of only a cell and its digit that show the order, and its share of them."""
_MARKS = frozenset(",/|·•–—")


def order_of(rows: Iterable[Sequence[Token]]) -> Order:
    """The order of some sentences, from those of their pieces that are clear."""
    counts: dict[Order, int] = {"CD": 0, "DC": 0}
    for row in rows:
        letters = "".join(token.letter for token in row if token.letter != "w")
        for piece in re.split("[KSB]", letters):
            match = _CLEAR.fullmatch(piece)
            if match:
                counts["CD" if match[1] == "CD" else "DC"] += 1
    often = max(counts, key=lambda one: counts[one])
    clear = counts[often] >= max(_ENOUGH, _FOUR_FIFTHS * sum(counts.values()))
    return often if clear else ""


def with_breaks(tokens: Sequence[Token], order: Order) -> list[Token]:
    """A sentence with a break wherever a cell and its digit come next in the order of the notes."""
    row: list[Token] = []
    for place, token in enumerate(tokens):
        before = row[-1].letter if row else ""
        mark = token.text in _MARKS and not _lists(row, order)
        mark = mark or (token.text == ":" and before == "C" and order == "DC")
        if mark and _whole(tokens[place + 1 :], order):
            row.append(replace(token, letter="S"))
            continue
        if before == order[-1] != token.letter and _whole(tokens[place:], order):
            row.append(Token("S", "", token.start, token.start))
        row.append(token)
    return row


def _whole(tokens: Sequence[Token], order: Order) -> bool:
    """Whether some words begin with a cell and its digit in this order, and nothing else of the cell."""
    letters = "".join("K" if token.text in _MARKS else token.letter for token in tokens)
    return bool(re.match(f"{order}(?:$|[KSHTIB])", letters.replace("w", "")))


def _lists(row: Sequence[Token], order: Order) -> bool:
    """Whether a comma may go on with a list: *1, 5 r2c3*, where the digit comes first."""
    letters = "".join(token.letter for token in row if token.letter != "w")
    return bool(re.search(f"(?:^|[KSB])X?{order[0]}$", letters))
