"""Names that already mean something, so that no rule, letter or layer of a puzzle may have them.

Results, steps and certificates identify premises by their names, and a written step is read word by word:
a rule called ``row 1`` would stand for the house, a letter called ``r1c1`` for the cell.
"""

from __future__ import annotations

import re
from functools import cache

from gridassay.encodings.technique_words import TECHNIQUE_WORDS, plainly

WORDS = frozenset(
    {
        *("because", "not", "suppose", "either", "if", "nothing", "digit", "digits", "letter"),
        *("letters", "layer", "layers", "doubler", "doublers", "story", "reason"),
    }
)
"""What steps files give a meaning to, and the premises that no rule of the file stands for."""

KINDS: set[str] = set()
"""The kinds of rules, which the package of rules enters as it finds them."""

_MARKS = re.compile(r"[:;#]")
_HOUSE = re.compile(r"((row|column|box) \d+|region \w)( of \w+)?")
_CELL = r"r\d+c\d+"
_CELLS = re.compile(rf"{_CELL}((\.\.|[ ,|–-]+){_CELL})*(\|\w+|\s?=\s?\w+)?")
_OF_A_SORT = re.compile(rf"(digits?|letter|layer|doubler)( (\d+|\w|{_CELL}))+")


def trouble_with(name: str) -> str:
    """Why nothing in a puzzle may have this name, in words that follow the name; empty if it may."""
    mark = _MARKS.search(name)
    if mark:
        return f"holds a {mark[0]!r}, which steps files give a meaning to"
    plain = " ".join(name.casefold().split())
    if plain in WORDS:
        return "is a word of steps files"
    if _OF_A_SORT.fullmatch(plain):
        return "is how steps files write a digit or an unknown"
    if _HOUSE.fullmatch(plain):
        return "is the name of a house"
    if _CELLS.fullmatch(plain):
        return "is how cells are written"
    kind, _, rest = plain.partition(" ")
    if kind in KINDS and (not rest or _CELLS.fullmatch(rest)):
        return "is the default name of a rule of that kind"
    if plainly(name) in _techniques():
        return "is the name of a technique"
    return ""


def free(name: str) -> str:
    """The name, if it is free. Raises ValueError if it is not."""
    trouble = trouble_with(name)
    if trouble:
        raise ValueError(f"{name!r} {trouble}: choose another name")
    return name


@cache
def _techniques() -> frozenset[str]:
    return frozenset(
        plainly(word) for name, words in TECHNIQUE_WORDS.items() for word in (name, *words)
    )
