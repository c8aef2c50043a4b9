"""Cells and digits that stand side by side in words which may well say something else.

*A five and r4c2* lists two things, *from the 3 to r4c2* tells where a line runs, *with the 3 in r4c2
gone* is a reason. Such a claim is heard, but cannot be called wrong.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from gridassay.verify.listening.clauses import Span, unknown_words
from gridassay.verify.listening.token import Token, letters_of

_RUNS = re.compile("D(?:IH)?I+C")
_BARE = re.compile("[CDHIQ]+")
"""A cell and a digit without a verb; in captions also without *in*."""


def is_loose(
    text: str,
    said: Sequence[Token],
    row: Sequence[Token],
    span: Span,
    small: Mapping[str, frozenset[str]],
    *,
    spoken: bool,
) -> bool:
    """Whether a conclusion in the row of a text may say something else; ``said`` are all its tokens."""
    inside = row[span.first : span.end]
    letters = letters_of(inside)
    before = row[span.first - 1] if span.first else None
    if inside[0].letter == "X" and _plain(inside[0]) in small["times"]:
        return before is None or before.letter != "C"  # *x3 r4c2* may be a dot
    if (
        any(one.letter == "D" and "&" in text[one.start : one.end] for one in inside)
        and len(inside[-1].cells) < 2
    ):
        return True  # *5&9 at r4c2* may be a clue
    if before is not None and before.letter == "F" and _plain(before) in small["runs from"]:
        return bool(_RUNS.fullmatch(letters))
    lead = [one for one in said if one.end <= inside[0].start][-2:]
    if "R" in letters and any(_plain(one).partition(" ")[0] in small["with"] for one in lead):
        return True
    if not _BARE.fullmatch(letters):
        return False
    if any(
        one.letter == "K" and one.text.isalpha() and inside[0].end <= one.start < inside[-1].start
        for one in said
    ):
        return True
    return spoken and "I" not in letters and bool(unknown_words(_clause(said, inside)))


def _clause(said: Sequence[Token], inside: Sequence[Token]) -> list[Token]:
    """The tokens of a sentence from the break before a conclusion to the break after it."""
    first, last = inside[0].start, inside[-1].end
    breaks = [one for one in said if one.letter in "SB"]
    begin = max((one.end for one in breaks if one.end <= first), default=0)
    end = min((one.start for one in breaks if one.start >= last), default=said[-1].end)
    return [one for one in said if begin <= one.start < end]


def _plain(token: Token) -> str:
    return " ".join(token.text.casefold().split())
