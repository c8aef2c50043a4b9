"""The digit of a cell that comes after what is said of it: *r4c1 is half of r4c2, so 2*, *…: 6*.

The cell that such a sentence begins with is what the digit is of; the cells, digits and houses between
them are those that it is compared with.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace

from gridassay.verify.listening.token import Token

_ANSWER = re.compile(
    r"^[wSKU]*(?P<cell>C)(?P<between>[wU]*(?:[EUG]|X[wU]*D)(?:[^CDTNAPRFOQS:]|C(?!w*E+w*D)|D(?=w*[KBEUHSI:]))*?)"
    r"(?P<so>[S:])w*(?P<digit>D)(?=w*(?:$|K(?!w*[DE])))"
)
_TOLD_ALREADY = re.compile(r"[wU]*E?[wU]*D|[wU]*.?$|.*X[wU]*D[wK]*$")
"""Where the cell has its digit, nothing is said of it, or digits are denied last (``ellipsis.py``)."""


def with_answers(tokens: Sequence[Token]) -> list[Token]:
    """A sentence with the cell that it begins with again before the digit that comes to be its."""
    return [one for part in _parts(tokens) for one in _with_answer(part)]


def _parts(tokens: Sequence[Token]) -> Iterator[list[Token]]:
    """The pieces of a sentence, cut before its semicolons."""
    first = 0
    for place, token in enumerate(tokens):
        if token.text == ";":
            yield list(tokens[first:place])
            first = place
    yield list(tokens[first:])


def _with_answer(part: list[Token]) -> list[Token]:
    match = _ANSWER.match("".join(":" if one.text == ":" else one.letter for one in part))
    if match is None or _TOLD_ALREADY.match(match["between"]):
        return part
    cell, digit = part[match.start("cell")], part[match.start("digit")]
    mark = part[match.start("so")]
    if len(cell.cells) > 1 or len(digit.digits) > 1:
        return part
    between = (
        one if one.letter == "w" else replace(one, letter="U", cells=(), digits=(), house="")
        for one in part[match.start("between") : match.end("between")]
    )
    at = digit.start
    return [
        *part[: match.start("between")],
        *between,
        Token("S", "", mark.start, mark.end),
        replace(cell, text="", start=at, end=at),
        Token("E", "", at, at),
        *part[match.start("digit") :],
    ]
