"""Reads the text of a pattern into its parts, with errors that name the column."""

from __future__ import annotations

from collections.abc import Mapping

from .notation import NotationError, guard, quote
from .pattern_parts import Choice, InOrder, OneOf, PatternNode, Repeat

LONGEST_TEXT = 1000
"""Characters a pattern may have, spaces not counted."""
DEEPEST = 50
"""Brackets that may stand inside one another."""
LARGEST_SIZE = 1000
"""Digits, classes and empty places of a pattern with its counted repeats written out."""


class PatternError(NotationError):
    """A pattern cannot be read, or needs too large an automaton."""


def read(text: str, symbols: Mapping[str, int]) -> PatternNode:
    """The parts of a pattern as they are written. Raises PatternError if it is not one."""
    guard(text, LONGEST_TEXT, PatternError)
    return _PatternParser(text, symbols).pattern()


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
            raise self._error("this ')' has no matching '('")
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
            found = quote(self._next) if self._next else "the end"
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
            raise self._error(f"from {least} to {most} times is impossible")
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
            raise self._error(f"{quote(mark)} {what}: the digits are {digits}")
        return self._symbols[self._take()]
