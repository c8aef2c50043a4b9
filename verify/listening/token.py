"""A word or phrase of a talk, with the letter of its kind (``vocabulary.py``) and its meaning."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from gridassay.encodings.grid import Cell

LETTER = "letter"
"""The ``spot`` that marks the token of a letter, and those of its values."""
PLACED = "placed"
"""The ``spot`` of a box that was told by where it lies."""
ON_SIDE = "on a side"
"""The ``spot`` of a box of which only a side was told: *the right-hand box*."""

_STOPS = frozenset(".;!")


@dataclass(frozen=True)
class Token:
    """A word or phrase: the letter of its kind, its meaning, and its place.

    ``cells``, ``digits``, ``house``, ``technique``, ``rules`` and ``spot`` are set by kind; ``either``
    marks alternatives, ``firm`` that a technique was called by its name, or a cell named without doubt;
    ``others`` are the cells that may have been meant by a place (``place_words.py``).
    """

    letter: str
    text: str
    start: int
    end: int
    cells: tuple[Cell, ...] = ()
    digits: tuple[int, ...] = ()
    house: str = ""
    technique: str = ""
    either: bool = False
    rules: tuple[str, ...] = ()
    spot: str = ""
    firm: bool = True
    others: tuple[Cell, ...] = ()


def letters_of(row: Iterable[Token]) -> str:
    """The letters of some tokens, in which patterns are looked for."""
    return "".join(token.letter for token in row)


def letters_to_a_stop(tokens: Sequence[Token]) -> str:
    """The letters of some tokens up to the end of the sentence."""
    return "".join("." if one.text in _STOPS else one.letter for one in tokens).partition(".")[0]
