"""The parts of a pattern, and what each means, twice.

Placed among the positions of its automaton, and followed along a line of digits: the first makes the
clauses, the second is the plain reading (``patterns.py``), and neither uses the other.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple


class LineMatcher:
    """A line that a pattern is followed along, with what is known of its parts so far."""

    def __init__(self, line: Sequence[int]) -> None:
        self.line = line
        self._ends: dict[tuple[int, int], set[int]] = {}

    def onward(self, part: PatternNode, starts: set[int]) -> set[int]:
        """The places at which the part may end when it starts at one of these."""
        ends: set[int] = set()
        for start in starts:
            key = id(part), start
            if key not in self._ends:
                self._ends[key] = part.reach(self, start)
            ends |= self._ends[key]
        return ends


class Fragment(NamedTuple):
    """A placed part of a pattern: sets of positions as bits, and whether it matches nothing too."""

    first: int
    last: int
    empty: bool


_EMPTY = Fragment(0, 0, True)


class Positions:
    """The places of a written-out pattern at which a digit is read."""

    def __init__(self) -> None:
        self.digits: list[frozenset[int]] = []
        """What may be read at each position."""
        self.follow: list[int] = []
        """The positions that may be read next, as bits."""

    def add(self, digits: frozenset[int]) -> int:
        """A new position, by its number."""
        self.digits.append(digits)
        self.follow.append(0)
        return len(self.digits) - 1

    def after(self, places: int) -> int:
        """All positions that may be read next after any of these."""
        found = 0
        while places:
            lowest = places & -places
            found |= self.follow[lowest.bit_length() - 1]
            places ^= lowest
        return found

    def link(self, places: int, following: int) -> None:
        """Let any of `following` be read next after any of `places`."""
        while places:
            lowest = places & -places
            self.follow[lowest.bit_length() - 1] |= following
            places ^= lowest

    def joined(self, left: Fragment, right: Fragment) -> Fragment:
        """The one fragment, then the other."""
        self.link(left.last, right.first)
        return Fragment(
            left.first | (right.first if left.empty else 0),
            right.last | (left.last if right.empty else 0),
            left.empty and right.empty,
        )


class PatternNode(ABC):
    """A part of a pattern as read."""

    @property
    @abstractmethod
    def size(self) -> int:
        """Digits, classes and empty places when repeats are written out; at least 1."""

    @abstractmethod
    def fragment(self, positions: Positions) -> Fragment:
        """Add this part's positions, linked among themselves."""

    @abstractmethod
    def reach(self, walk: LineMatcher, start: int) -> set[int]:
        """The places of a line at which this part may end when it starts at one."""


@dataclass(frozen=True)
class OneOf(PatternNode):
    """One digit out of several."""

    digits: frozenset[int]

    @property
    def size(self) -> int:
        """How many digits and places it has when written out."""
        return 1

    def fragment(self, positions: Positions) -> Fragment:
        """Its positions, linked."""
        place = 1 << positions.add(self.digits)
        return Fragment(place, place, False)

    def reach(self, walk: LineMatcher, start: int) -> set[int]:
        """Whether it may end here."""
        fits = start < len(walk.line) and walk.line[start] in self.digits
        return {start + 1} if fits else set()


@dataclass(frozen=True)
class InOrder(PatternNode):
    """Parts one after another; none match the empty line."""

    parts: tuple[PatternNode, ...]

    @property
    def size(self) -> int:
        """How many digits and places it has when written out."""
        return max(1, sum(part.size for part in self.parts))

    def fragment(self, positions: Positions) -> Fragment:
        """Its positions, linked."""
        whole = _EMPTY
        for part in self.parts:
            whole = positions.joined(whole, part.fragment(positions))
        return whole

    def reach(self, walk: LineMatcher, start: int) -> set[int]:
        """Whether it may end here."""
        ends = {start}
        for part in self.parts:
            ends = walk.onward(part, ends)
        return ends


@dataclass(frozen=True)
class Choice(PatternNode):
    """Any one of its parts."""

    parts: tuple[PatternNode, ...]

    @property
    def size(self) -> int:
        """How many digits and places it has when written out."""
        return sum(part.size for part in self.parts)

    def fragment(self, positions: Positions) -> Fragment:
        """Its positions, linked."""
        whole = Fragment(0, 0, False)
        for part in self.parts:
            added = part.fragment(positions)
            whole = Fragment(
                whole.first | added.first, whole.last | added.last, whole.empty or added.empty
            )
        return whole

    def reach(self, walk: LineMatcher, start: int) -> set[int]:
        """Whether it may end here."""
        return set[int]().union(*(walk.onward(part, {start}) for part in self.parts))


@dataclass(frozen=True)
class Repeat(PatternNode):
    """A part from ``least`` to ``most`` times."""

    part: PatternNode
    least: int
    most: int | None
    """None for any number."""

    @property
    def size(self) -> int:
        """How many digits and places it has when written out."""
        return self.part.size * max(1, self.least, self.most or 0)

    def fragment(self, positions: Positions) -> Fragment:
        """Its positions, linked."""
        if self.most is None:
            tail = self.part.fragment(positions)
            positions.link(tail.last, tail.first)
            tail = tail._replace(empty=tail.empty or self.least == 0)
            certain = self.least - 1
        else:
            # x{2,4} is x x (x (x)?)?: built from the right, every copy is linked to one other.
            tail = _EMPTY
            for _ in range(self.most - self.least):
                tail = positions.joined(self.part.fragment(positions), tail)._replace(empty=True)
            certain = self.least
        for _ in range(certain):
            tail = positions.joined(self.part.fragment(positions), tail)
        return tail

    def reach(self, walk: LineMatcher, start: int) -> set[int]:
        """Whether it may end here."""
        ends = {start}
        for _ in range(self.least):
            ends = walk.onward(self.part, ends)
        # A place reached sooner has more repeats left: only new places need to be followed.
        new, left = ends, len(walk.line) if self.most is None else self.most - self.least
        while new and left:
            new, left = walk.onward(self.part, new) - ends, left - 1
            ends = ends | new
        return ends
