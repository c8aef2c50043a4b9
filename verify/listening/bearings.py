"""Digits that captions mention, and the parts of where they go that were said around them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Kind = Literal[
    "house",
    "line",
    "same",
    "spot",
    "near",
    "rule",
    "only",
    "last",
    "side",
    "nth",
    "unknown",
    "not",
    "stop",
]


@dataclass(frozen=True)
class Bearing:
    """Something that was said of where a digit goes, or a break between two such things.

    ``said`` is a house, a place, a relation or a kind of house, by ``kind``; a ``line`` is a row or
    column that may be counted in its box. ``digits`` are those beside which it lies, the last cell
    if there are none; ``denied`` tells that it does not, ``loose`` that it may be a place in a house
    or beside the last cell, ``wide`` that it may be a row or column of the grid. ``strength`` is
    that of a break: 0 for the end of a cue, 1 for a breath, 2 for a word that joins, 3 for one that
    leads on, 4 where something new begins.
    """

    kind: Kind
    said: str = ""
    digits: tuple[int, ...] = ()
    rules: tuple[str, ...] = ()
    denied: bool = False
    loose: bool = False
    wide: bool = False
    strength: int = 0
    start: int = 0
    end: int = 0


@dataclass(frozen=True)
class Listing:
    """Digits with only words that join between them, and the parts around them.

    ``either`` tells that *or* stands between them.
    """

    start: int
    end: int
    digits: tuple[int, ...]
    before: tuple[Bearing, ...]
    after: tuple[Bearing, ...]
    headings: tuple[str, ...]
    either: bool


@dataclass(frozen=True)
class Mention:
    """A digit in the row of words, the parts before it (back to the digit before) and after it.

    ``headings`` are the houses last named before it; ``listing`` are the digits that are only listed
    with it: *one, five and six*; ``recalls`` tells that it may stand on the board: *there's a six*.
    """

    start: int
    end: int
    text: str
    digit: int
    before: tuple[Bearing, ...]
    after: tuple[Bearing, ...]
    headings: tuple[str, ...] = ()
    listing: Listing | None = None
    recalls: bool = False
