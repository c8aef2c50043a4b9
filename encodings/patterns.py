"""Patterns: the language in which a setter says what a line of digits may look like.

One symbol is one digit: `1` to `9`, then `A` to `Z` in either case, `0` if it is a digit. `.` is
any digit, `[135]` one of several, `[2-6]` one of a range, `[^12]` any other. `|` separates choices,
brackets group, and after a digit, class or group `*` means any number of times, `+` at least once,
`?` at most once, `{3}` three times, `{3,}` at least and `{3,5}` from three to five times. Spaces
are ignored. The whole line must match: `12.*` is a line that starts with 1 and 2.

A pattern has no look-around, references or escapes, so it is a regular expression in the strict
sense, and becomes a deterministic automaton: the automaton of its positions (Glushkov, "The
abstract theory of automata", 1961), made deterministic by sets of positions (Rabin and Scott,
"Finite automata and their decision problems", 1959) and then minimal. Counted repeats are written
out, so the size of the pattern written out is limited, and so is the number of states.

>>> digits = {str(d): d for d in range(1, 10)}
>>> rise_or_fall = pattern("1.*9 | 9.*1", digits)
>>> rise_or_fall.accepts((1, 5, 9)), rise_or_fall.accepts((1, 9, 2))
(True, False)
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from .automata import Dfa, TooManyStatesError, explore
from .notation import NotationError, guard, quoted

LONGEST_TEXT = 1000
"""Characters a pattern may have, spaces not counted."""
DEEPEST = 50
"""Brackets that may stand inside one another."""
LARGEST_SIZE = 1000
"""Digits, classes and empty places of a pattern with its counted repeats written out."""
STATE_LIMIT = 1000
"""Default for `pattern`, before states that behave alike are merged."""


class PatternError(NotationError):
    """A pattern cannot be read, or needs too large an automaton."""


def pattern(text: str, symbols: Mapping[str, int], limit: int = STATE_LIMIT) -> Dfa:
    """The minimal automaton of the lines that match the whole of `text`.

    `symbols` gives the digit of each symbol (`{"1": 1, …, "A": 10}`, letters in upper case); the
    automaton reads digits. Raises PatternError for any text that is not a pattern and when more
    than `limit` states are needed.
    """
    tree = read(text, symbols)
    positions = _Positions()
    whole = tree.placed(positions)
    before = positions.add(frozenset())  # the position of a line before its first digit
    positions.follow[before] = whole.first
    ends = whole.last | (1 << before if whole.empty else 0)
    reading = {
        digit: sum(1 << place for place, digits in enumerate(positions.digits) if digit in digits)
        for digit in symbols.values()
    }
    following: dict[int, int] = {}

    def step(state: int, digit: int) -> int | None:
        # A state is a set of positions, as bits, from which the line may go on; most digits lead
        # to few different sets, so each is followed once.
        if state not in following:
            following[state] = positions.after(state)
        return following[state] & reading[digit] or None

    try:
        automaton = explore(
            1 << before, reading, step, lambda state: bool(state & ends), limit=limit
        )
    except TooManyStatesError:
        raise PatternError(
            f"this pattern needs more than {limit:,} states: make it shorter or less open"
        ) from None
    return automaton.minimal(reading)


def read(text: str, symbols: Mapping[str, int]) -> PatternNode:
    """The parts of a pattern as they are written. Raises PatternError if it is not one."""
    guard(text, LONGEST_TEXT, PatternError)
    return _PatternParser(text, symbols).pattern()


def matches(text: str, symbols: Mapping[str, int], line: Sequence[int]) -> bool:
    """Whether a line matches the whole of `text`, by following the pattern as it is written.

    The plain reading of a pattern: no automaton is built. Each part is followed once from each place
    of the line, so that no pattern makes it slow. Raises PatternError as `pattern` does.
    """
    tree = read(text, symbols)
    return len(line) in _Walk(line).onward(tree, {0})


class _Walk:
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


class _Fragment(NamedTuple):
    """A placed part of a pattern: sets of positions as bits, and whether it matches nothing too."""

    first: int
    last: int
    empty: bool


_EMPTY = _Fragment(0, 0, True)


class _Positions:
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

    def joined(self, left: _Fragment, right: _Fragment) -> _Fragment:
        """The one fragment, then the other."""
        self.link(left.last, right.first)
        return _Fragment(
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
    def placed(self, positions: _Positions) -> _Fragment:
        """Add this part's positions, linked among themselves."""

    @abstractmethod
    def reach(self, walk: _Walk, start: int) -> set[int]:
        """The places of a line at which this part may end when it starts at one."""


@dataclass(frozen=True)
class OneOf(PatternNode):
    """One digit out of several."""

    digits: frozenset[int]

    @property
    def size(self) -> int:
        """How many digits and places it has when written out."""
        return 1

    def placed(self, positions: _Positions) -> _Fragment:
        """Its positions, linked."""
        place = 1 << positions.add(self.digits)
        return _Fragment(place, place, False)

    def reach(self, walk: _Walk, start: int) -> set[int]:
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

    def placed(self, positions: _Positions) -> _Fragment:
        """Its positions, linked."""
        whole = _EMPTY
        for part in self.parts:
            whole = positions.joined(whole, part.placed(positions))
        return whole

    def reach(self, walk: _Walk, start: int) -> set[int]:
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

    def placed(self, positions: _Positions) -> _Fragment:
        """Its positions, linked."""
        whole = _Fragment(0, 0, False)
        for part in self.parts:
            added = part.placed(positions)
            whole = _Fragment(
                whole.first | added.first, whole.last | added.last, whole.empty or added.empty
            )
        return whole

    def reach(self, walk: _Walk, start: int) -> set[int]:
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

    def placed(self, positions: _Positions) -> _Fragment:
        """Its positions, linked."""
        if self.most is None:
            tail = self.part.placed(positions)
            positions.link(tail.last, tail.first)
            tail = tail._replace(empty=tail.empty or self.least == 0)
            certain = self.least - 1
        else:
            # x{2,4} is x x (x (x)?)?: built from the right, every copy is linked to one other.
            tail = _EMPTY
            for _ in range(self.most - self.least):
                tail = positions.joined(self.part.placed(positions), tail)._replace(empty=True)
            certain = self.least
        for _ in range(certain):
            tail = positions.joined(self.part.placed(positions), tail)
        return tail

    def reach(self, walk: _Walk, start: int) -> set[int]:
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


class _PatternParser:
    """Reads one text from left to right by recursive descent; each method takes what it names."""

    def __init__(self, text: str, symbols: Mapping[str, int]) -> None:
        self._symbols = symbols
        self._marks = [
            (character.upper(), column)
            for column, character in enumerate(text, start=1)
            if not character.isspace()
        ]
        self._marks.append(("", len(text) + 1))
        self._at = 0
        self._depth = 0

    def pattern(self) -> PatternNode:
        tree = self._choice()
        if self._next:
            raise self._error("this ')' closes nothing")
        self._check_size(tree, 1)
        return tree

    @property
    def _next(self) -> str:
        return self._marks[self._at][0]

    @property
    def _column(self) -> int:
        return self._marks[self._at][1]

    def _take(self) -> str:
        self._at += 1
        return self._marks[self._at - 1][0]

    def _error(self, message: str) -> PatternError:
        return PatternError(message, self._column)

    def _expect(self, mark: str) -> None:
        if self._next != mark:
            found = quoted(self._next) if self._next else "the end"
            raise self._error(f"{mark!r} is missing before {found}")
        self._take()

    def _check_size(self, tree: PatternNode, column: int) -> None:
        if tree.size > LARGEST_SIZE:
            raise PatternError(
                f"with its repeats written out this is more than {LARGEST_SIZE:,} digits long",
                column,
            )

    def _choice(self) -> PatternNode:
        parts = [self._in_order()]
        while self._next == "|":
            self._take()
            parts.append(self._in_order())
        return parts[0] if len(parts) == 1 else Choice(tuple(parts))

    def _in_order(self) -> PatternNode:
        parts = []
        while self._next and self._next not in "|)":
            parts.append(self._repeat())
        return parts[0] if len(parts) == 1 else InOrder(tuple(parts))

    def _repeat(self) -> PatternNode:
        column = self._column
        part = self._single()
        if not self._next or self._next not in "*+?{":
            return part
        least, most = self._times()
        if self._next and self._next in "*+?{":
            raise self._error("a repeat of a repeat: put brackets round the first")
        tree = Repeat(part, least, most)
        self._check_size(tree, column)
        return tree

    def _times(self) -> tuple[int, int | None]:
        mark = self._take()
        if mark != "{":
            return {"*": (0, None), "+": (1, None), "?": (0, 1)}[mark]
        least = self._number()
        most: int | None = least
        if self._next == ",":
            self._take()
            most = None if self._next == "}" else self._number()
        if most is not None and most < least:
            raise self._error(f"from {least} to {most} times is never")
        self._expect("}")
        return least, most

    def _number(self) -> int:
        column, figures = self._column, ""
        while self._next and self._next in "0123456789":
            figures += self._take()
        if not figures:
            raise self._error("a number of times is missing: {3}, {3,} or {3,5}")
        if len(figures) > len(str(LARGEST_SIZE)):
            raise PatternError(f"at most {LARGEST_SIZE:,} times", column)
        return int(figures)

    def _single(self) -> PatternNode:
        mark = self._next
        if mark == "(":
            return self._group()
        if mark == "[":
            return OneOf(self._class())
        if mark == ".":
            self._take()
            return OneOf(frozenset(self._symbols.values()))
        if mark in "*+?{":
            raise self._error(f"{mark!r} has nothing before it to repeat")
        if mark in "^$":
            raise self._error("a pattern always takes the whole line: leave out '^' and '$'")
        return OneOf(frozenset({self._digit()}))

    def _group(self) -> PatternNode:
        self._depth += 1
        if self._depth > DEEPEST:
            raise self._error(f"more than {DEEPEST} brackets inside one another")
        self._take()
        if self._next == "?":
            raise self._error("'(?' has no meaning here: a pattern cannot look ahead or back")
        inside = self._choice()
        self._expect(")")
        self._depth -= 1
        return inside

    def _class(self) -> frozenset[int]:
        column = self._column
        self._take()
        others = self._next == "^"
        if others:
            self._take()
        listed: set[int] = set()
        while self._next and self._next != "]":
            low = high = self._digit()
            if self._next == "-":
                self._take()
                high = self._digit()
                if high < low:
                    raise self._error("the range before this runs backwards")
            listed.update(digit for digit in self._symbols.values() if low <= digit <= high)
        self._expect("]")
        digits = frozenset(self._symbols.values()) - listed if others else frozenset(listed)
        if not digits:
            raise PatternError("this class holds no digit", column)
        return digits

    def _digit(self) -> int:
        mark = self._next
        if mark not in self._symbols:
            if not mark:
                raise self._error("a digit is missing before the end")
            digits = "".join(sorted(self._symbols, key=self._symbols.__getitem__))
            what = "is not a digit here" if mark.isalnum() else "has no meaning here"
            raise self._error(f"{quoted(mark)} {what}: the digits are {digits}")
        return self._symbols[self._take()]
