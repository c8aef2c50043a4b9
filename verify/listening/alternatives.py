"""The digits left in a cell, or the values of a letter: *r1c3 is two or four* denies all other digits."""

from __future__ import annotations

import re
from collections.abc import Sequence

from gridassay.verify.listening.clauses import Span
from gridassay.verify.listening.token import Token


def far_apart(row: Sequence[Token], span: Span) -> bool:
    """Whether a digit is too far from its cell: *r4c7 (5 or 6)* says what is left, *r4c7 (5)* nothing."""
    inside = row[span.first : span.end]
    far = re.fullmatch("C[EI]*[BQH][EBIQH]*D", "".join(one.letter for one in inside))
    listed = len(inside[-1].digits) > 1 and inside[1].text in ("(", "[")
    return bool(far) and not (inside[-1].either or listed)


def corrects(inside: Sequence[Token]) -> bool:
    """Whether one digit is said, and another denied: *r4c4 is 6, not 5*."""
    told = re.fullmatch("CE+DXD", "".join(token.letter for token in inside))
    first = next((token for token in inside if token.letter == "D"), None)
    return bool(told) and first is not None and len(first.digits) == 1


def alternatives(
    inside: Sequence[Token], digits: Sequence[int], following: str, *, alone: bool, mixed: bool
) -> tuple[int, ...]:
    """The digits that *r1c3 is two or four*, *r1c3 and r2c2 are two and four*, *2 or 4 in r1c3* deny.

    ``following`` is the letter of what comes next; ``alone`` tells that nothing leads to it,
    ``mixed`` that several cells have the digits in some order.
    """
    letters = "".join(token.letter for token in inside)
    if not re.fullmatch("CJ?[EGIV]*D|C[EBIQH]+D|D[EGIJ]*C", letters):
        return ()
    cells = next(token for token in inside if token.letter == "C")
    said = next(token for token in inside if token.letter == "D")
    fills = 1 < len(said.digits) == len(cells.cells) and (
        mixed or re.fullmatch("CE+D", letters) or (letters == "CD" and alone and _figures(said))
    )
    only = any("only" in token.text.casefold() for token in inside)
    one = len(cells.cells) == 1 and following != "C" and (letters[0] == "C" or alone)
    listed: object = one and (letters != "CD" or _figures(said))
    plenty = following != "C" and 1 < len(cells.cells) < len(said.digits)
    listed = listed or (plenty and alone and re.fullmatch("CE*D", letters) and _figures(said))
    if inside[1].text == ":" and len(cells.cells) > 1:
        return ()
    if cells.either or len(said.digits) < 2 or not (said.either or fills or only or listed):
        return ()
    return tuple(digit for digit in digits if digit not in said.digits)


def _figures(said: Token) -> bool:
    """Whether digits are figures side by side: *4 7*, not *4, 7*."""
    return said.text.replace(" ", "").isdigit() and said.end - said.start == len(said.text)
