"""Words that sentences on rules are put together from."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from itertools import pairwise

from gridassay.encodings.grid import Cell


def quantity(number: int, noun: str) -> str:
    """A number with its noun: ``1 row``, ``2 rows``."""
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s"


LOWEST_AND_HIGHEST = "the lowest and the highest possible digit"
"""Words of sentences that are made before the digits of the canvas are known."""
ORDINALS = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth")
_NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")


def in_letters(number: int) -> str:
    """A small number as a word."""
    return _NUMBERS[number] if number < len(_NUMBERS) else str(number)


def article(word: str) -> str:
    """The article before a word, a letter by itself or a number: ``a``, ``an``."""
    first = word.split()[0]
    if len(first) == 1 and first.isupper():
        return "an" if first in "AEFHILMNORSX" else "a"
    return "an" if first[0] in "aeiouAEIOU8" or first in ("11", "18") else "a"


_HEAD = re.compile(r"(.*?)((?: (?:of|inside|outside|along|that) .*)?)")
"""The thing that there may be several of, and what else is said of it."""


def plural(noun: str) -> str:
    """Several of a thing: ``sandwiches``, ``choices of digits``; what is several already stays."""
    head, rest = _HEAD.fullmatch(noun).groups()  # type: ignore[union-attr]
    ending = "" if head.endswith("s") else "es" if head.endswith(("ch", "sh", "x")) else "s"
    return f"{head}{ending}{rest}"


def mid_sentence(sentence: str) -> str:
    """A sentence without its full stop and first capital, to stand inside another.

    What begins with a letter that stands for something (``X``) keeps it.
    """
    first = sentence.split()[0]
    small = sentence if first != "A" and first.isupper() else sentence[0].lower() + sentence[1:]
    return small.removesuffix(".")


def reach(cells: Sequence[Cell]) -> str:
    """Cells as a sentence names them: ``r1c1 to r1c9`` for four or more in one straight run."""
    steps = {(b.row - a.row, b.column - a.column) for a, b in pairwise(cells)}
    if len(cells) < 4 or len(steps) > 1 or any(abs(one) > 1 for step in steps for one in step):
        return " ".join(map(str, cells))
    return f"{cells[0]} to {cells[-1]}"


def in_pieces(cells: Sequence[Cell], what: str = "is") -> Iterator[str]:
    """Words for an area that is not connected by sides; empty if it is."""
    left = set(cells)
    pieces: list[list[Cell]] = []
    while left:
        piece = [min(left)]
        left.discard(piece[0])
        for cell in piece:
            near = [
                other for other in left if abs(cell[0] - other[0]) + abs(cell[1] - other[1]) == 1
            ]
            piece += near
            left.difference_update(near)
        pieces.append(sorted(piece))
    if len(pieces) > 1:
        parted = "; ".join(" ".join(map(str, piece)) for piece in pieces)
        yield f"{what} in {in_letters(len(pieces))} pieces: {parted}"


def direction(cells: Sequence[Cell]) -> str:
    """The way a line is read, as a person says it: ``from left to right``, ``from r4c2 on``."""
    rights = {b.column - a.column for a, b in pairwise(cells)}
    downs = {b.row - a.row for a, b in pairwise(cells)}
    if min(rights) > 0:
        return "from left to right"
    if max(rights) < 0:
        return "from right to left"
    if min(downs) > 0:
        return "from top to bottom"
    if max(downs) < 0:
        return "from bottom to top"
    return f"from its end in {cells[0]}"
