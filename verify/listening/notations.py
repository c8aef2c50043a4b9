"""The ways in which notes name cells other than by *r4c7*: *47*, *(4,7)*, *D7*, or *d7* for column first.

A writer says so at the head (*rows A-I*, *I write 47 = row 4 col 7*), or it is told by how often such
names stand before a digit, and which of row and column comes first by what is then true: no one is
wrong most of the time.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import Literal, NamedTuple

from gridassay.encodings.grid import Canvas, Cell

Kind = Literal["figures", "letters", "pairs"]

_FIGURES = r"(?<![\d.:/])[1-9][1-9](?![\d.:]?\d)"
_LETTERS = {True: r"\b[A-I][1-9]\b", False: r"\b[a-i][1-9]\b"}
"""Of letters, upper case or lower."""
_PAIRS = r"\(\s*[1-9]\s*[,;]\s*[1-9]\s*\)"
_PAIRED = re.compile(
    r"\(\s*(?P<first>r(?:ow)?|c(?:ol(?:umn)?)?)\s*[,;]\s*(?:r(?:ow)?|c(?:ol(?:umn)?)?)\s*\)",
    re.IGNORECASE,
)
_RC = re.compile(r"\br\s?\d+\s?c\s?\d+|\bc\d+r\d+\b|\brow\s+\w+,?\s+col", re.IGNORECASE)
_HOLDS = (
    r"\s*(?:=|==|:=|->|→|-->|\bis\b|\bmust be\b|\bhas to be\b)\s*(?P<digit>[1-9])"
    r"(?![\dx/+]|,\d\b|\s\d\b(?!\s*=))"
)
_DECLARED = re.compile(
    r"(?P<name>\b[A-Ia-i1-9][1-9]\b)\s*(?:=|is|means|for|stands for|:)\s*\(?"
    r"(?:(?P<row>r(?:ow)?)\s*(?P<first>[A-Ia-i1-9]),?\s*(?:and\s+)?c(?:ol(?:umn)?)?\s*(?P<second>[A-Ia-i1-9])\b"
    r"|c(?:ol(?:umn)?)?\s*(?P<first2>[A-Ia-i1-9]),?\s*(?:and\s+)?r(?:ow)?\s*(?P<second2>[A-Ia-i1-9])\b)",
    re.IGNORECASE,
)
_LETTERED = re.compile(
    r"\b(?P<axis>rows?|col(?:umn)?s?)\s*(?:are|is|go|run|=|:|from)?\s*(?:lettered\s*)?(?:from\s+)?"
    r"A\s*(?:-|–|to|\.\.+|thru|through|down to)\s*I\b|\bA\s*(?:-|–|to|\.\.+)\s*I\s*(?:for|are|is|=)?\s*"
    r"(?:the\s+)?(?P<axis2>rows?|col(?:umn)?s?)\b|\b(?P<axis3>rows?|col(?:umn)?s?)\s+(?:are\s+)?(?:letters|lettered)\b"
    r"|\bletters\s+(?:are|for|=)\s+(?:the\s+)?(?P<axis4>rows?|col(?:umn)?s?)\b",
    re.IGNORECASE,
)
_NO_CELL = re.compile(r"\s*(?:cage|pair|triple|triplet|quad|sum|total)s?\b", re.IGNORECASE)
_AFTER_NUMBER = re.compile(
    r"(?:[+×=<≤≥]|(?<!-)>|\b(?:cage|sum|total|makes?|adds? up to|of)|\b[1-9])\s*$", re.IGNORECASE
)
_TOLD = re.compile(r"\s*(?:=|<>|≠|!=|->|→|-->|\bis\b|\bnot\b)")
_EXPLAINING = 2
"""So many cells may be named as usual by one who explains another way."""
_FEWEST, _SHARE, _TRUE, _TWICE = 5, 0.8, 0.6, 2
"""So many names stand before a digit, and are so large a share of the cells; so many of them are true."""


class Named(NamedTuple):
    """A cell that was named: the words, and its row and column."""

    match: re.Match[str]
    place: tuple[int, int]


@dataclass(frozen=True)
class Notation:
    """A way to name cells; ``column_first`` tells which of the two signs is the column."""

    kind: Kind
    column_first: bool
    upper: bool = True

    @property
    def _regex(self) -> re.Pattern[str]:
        patterns = {"figures": _FIGURES, "pairs": _PAIRS, "letters": _LETTERS[self.upper]}
        return re.compile(patterns[self.kind])

    def cell(self, text: str, place: int) -> Named | None:
        """The cell that is named at a place of a text."""
        match = self._regex.match(text, place)
        if match is None:
            return None
        if self.kind == "figures":
            told = _TOLD.match(text, match.end())
            led = _AFTER_NUMBER.search(text[:place])
            if not told and (_NO_CELL.match(text, match.end()) or led):
                return None
        return Named(match, self._place(match.group()))

    def line(self, kind: str, letter: str) -> str:
        """The number of a row or column that is named by its letter; empty if it is not."""
        lettered = "column" if self.column_first else "row"
        named = self.kind == "letters" and kind == lettered and letter.casefold() in "abcdefghi"
        return str(_number(letter)) if named else ""

    def _place(self, name: str) -> tuple[int, int]:
        one, other = map(_number, re.findall(r"\w", name))
        return (other, one) if self.column_first else (one, other)

    def claims(self, texts: Sequence[str]) -> list[tuple[Cell, int]]:
        """The cells with the digit right after them."""
        regex = re.compile(f"(?P<name>{self._regex.pattern}){_HOLDS}")
        return [
            (Cell(*self._place(match["name"])), int(match["digit"]))
            for text in texts
            for match in regex.finditer(text)
        ]


def notation_of(
    texts: Iterable[str], canvas: Canvas, holds: Callable[[Cell, int], bool]
) -> Notation | None:
    """The notation of some notes, None for *r4c7*; ``holds`` tells what is true of a cell."""
    if len(canvas.digits) != 9 or (canvas.rows, canvas.columns) != (9, 9):
        return None
    said = list(texts)
    usual = sum(len(_RC.findall(text)) for text in said)
    declared = _from_the_head(said) if usual <= _EXPLAINING else None
    if declared is not None:
        return declared
    for kind, upper in (("pairs", True), ("figures", True), ("letters", True), ("letters", False)):
        both = [Notation(kind, first, upper) for first in (False, True)]  # type: ignore[arg-type]
        found = [one.claims(said) for one in both]
        if len(found[0]) < _FEWEST or len(found[0]) < _SHARE * (usual + len(found[0])):
            continue
        if kind == "letters" and not any(_beyond_houses(text, both[0]) for text in said):
            continue
        true = [sum(holds(cell, digit) for cell, digit in claims) for claims in found]
        best = max((0, 1), key=lambda one: true[one])
        if true[best] >= max(_TRUE * len(found[0]), _TWICE * true[1 - best]):
            return both[best]
    return None


def _from_the_head(texts: Sequence[str]) -> Notation | None:
    for text in texts:
        match = _DECLARED.search(text)
        if match:
            kind: Kind = "figures" if match["name"][0].isdigit() else "letters"
            name = [_number(sign) for sign in match["name"]]
            said = [_number(match[one] or match[f"{one}2"]) for one in ("first", "second")]
            if sorted(name) != sorted(said):
                continue
            return Notation(kind, (match["row"] is None) == (name == said), _in_upper_case(match))
        paired = _PAIRED.search(text)
        if paired:
            return Notation("pairs", paired["first"].casefold().startswith("c"))
        lettered = _LETTERED.search(text)
        if lettered:
            axis = next(filter(None, lettered.group("axis", "axis2", "axis3", "axis4")))
            upper = len(re.findall(_LETTERS[True], " ".join(texts)))
            lower = len(re.findall(_LETTERS[False], " ".join(texts)))
            return Notation("letters", axis.casefold().startswith("c"), upper >= lower)
    return None


def _in_upper_case(match: re.Match[str]) -> bool:
    """Whether a name that was explained is in upper case, or in figures."""
    return match["name"][0].isdigit() or match["name"][0].isupper()


def _beyond_houses(text: str, notation: Notation) -> bool:
    """Whether a name has a letter that no row, column or box has: *b4* and *c4* may be houses."""
    return any(
        match.group()[0].casefold() not in "bc"
        for match in re.finditer(_LETTERS[notation.upper], text)
    )


def _number(sign: str) -> int:
    return int(sign) if sign.isdigit() else "abcdefghi".index(sign.casefold()) + 1
