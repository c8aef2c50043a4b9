"""A claim as it was heard, before it is checked against a board."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, NamedTuple

from gridassay.encodings.grid import Cell
from gridassay.verify.listening.bearings import Mention

Doubt = Literal["", "perhaps", "surely"]
"""Whether the claim before is taken back; perhaps, if the next claim may stand in its place."""

Pointer = Literal["", "here", "this", "goes on"]
"""How a cell was pointed at with nothing but the hand; *goes on* where only the digit was said."""


Pair = tuple[Cell, int]
"""A cell, or a letter, and a value of it."""


class OnlyIn(NamedTuple):
    """A house, or a kind of house, in which a digit is said to have no other place.

    ``digit`` is None if it was not said; ``led`` tells that these words go with the claim before them;
    ``within`` is the other house in which all its places are said to be, if a strike follows from that.
    """

    house: str
    digit: int | None
    start: int
    end: int
    led: bool
    within: str = ""


@dataclass(frozen=True)
class OnLine:
    """A line as it was described: its size, where it lies, digits on it, and where on it.

    ``beside`` tells that it lies next to the line spoken of before; ``at`` are places on it, ``by`` is a
    digit on it that the cell stands next to.
    """

    sizes: tuple[str, ...] = ()
    houses: tuple[str, ...] = ()
    spots: tuple[str, ...] = ()
    holds: tuple[int, ...] = ()
    beside: bool = False
    at: tuple[str, ...] = ()
    by: int | None = None


@dataclass(frozen=True)
class Heard:
    """A claim as it was heard. If it has neither ``places`` nor ``removes``, its conclusion is left open.

    ``sure`` tells that every word between what is concluded was known, and every cell named;
    ``loose`` that the technique was not named, but described in words that fit others too;
    ``denies`` that the digits cannot be where ``houses``, ``rules``, ``spots`` and ``beside`` point;
    ``left`` that it says which digits are left; ``rest`` that the cells are those of a house that are
    left; ``implied`` that its house was not said, but filled in; ``placed`` that its box was told by
    where it lies, and then a side; ``here`` that a hand pointed at it; ``points`` that
    *the four from r2c1* may only point at a digit. ``near`` and ``far`` are what the same words may say
    instead, with the cell on the other side of the digit or one farther off; ``doubtful`` that they hold
    more than was heard (``other_readings.py``); ``gleaned`` that cells and digits are all that
    was understood: one of ``near``, or ``removes`` (``gleaning.py``); ``instead`` are such claims of its
    words, for one that turns out to be unclear. ``missed`` has the digits of each sentence just before
    it that was not understood, ``supposed`` is the candidate from which a story led to it; ``only`` are
    words that may show it (``only_places.py``); ``parts`` are the strikes that it joins
    (``same_step.py``); ``start`` is where it begins; ``mention`` are the words around its digit
    (``bearings.py``).
    """

    said: str
    start: int
    places: tuple[Pair, ...] = ()
    removes: tuple[Pair, ...] = ()
    technique: str = ""
    cells: tuple[Cell, ...] = ()
    digits: tuple[int, ...] = ()
    houses: tuple[str, ...] = ()
    rules: tuple[str, ...] = ()
    spots: tuple[str, ...] = ()
    beside: tuple[str, ...] = ()
    loose: bool = False
    denies: bool = False
    sure: bool = True
    rest: bool = False
    left: bool = False
    implied: bool = False
    placed: bool = False
    here: Pointer = ""
    points: bool = False
    near: tuple[Pair, ...] = ()
    far: tuple[Pair, ...] = ()
    doubtful: bool = False
    gleaned: bool = False
    instead: tuple[Heard, ...] = ()
    on_line: OnLine | None = None
    missed: tuple[tuple[int, ...], ...] = ()
    line: int = 0
    time: str | None = None
    until: str | None = None
    supposed: Pair | None = None
    only: tuple[OnlyIn, ...] = ()
    parts: tuple[Heard, ...] = ()
    mention: Mention | None = None

    @property
    def concludes(self) -> bool:
        """Whether it says which digits are placed or struck."""
        return bool(self.places or self.removes)
