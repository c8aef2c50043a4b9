"""A sequence that the setter writes: a pattern that the digits along a line match."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from typing import ClassVar, Literal

from pydantic import Field

from gridassay.encodings.automata import Dfa
from gridassay.encodings.board import Board, Filled, Part
from gridassay.encodings.constraints import Automaton
from gridassay.encodings.grid import symbol
from gridassay.encodings.pattern_reader import PatternError
from gridassay.encodings.pattern_words import in_words
from gridassay.encodings.patterns import matches, pattern
from gridassay.encodings.rules.base import RuleError, spell
from gridassay.encodings.rules.lines import Line
from gridassay.encodings.wording import direction


class Sequence(Line):
    """The digits along the line match the whole `pattern`.

    A digit is one symbol (`A` for 10, and so on); `.` is any digit, `[135]` one of several, `[2-6]`
    one of a range, `[^12]` any other; `|` separates choices, brackets group, and `*`, `+`, `?`, `{3}`
    and `{2,4}` repeat what comes before them. Spaces are ignored. This is about digits, not values.

    Example: `kind = "sequence"`, `cells = "r1c1..r1c9"`, `pattern = ".* 12 .*"` puts a 2 right of
    the 1 in row 1.
    """

    kind: Literal["sequence"] = "sequence"
    pattern: str = Field(description="a pattern, such as '.* 12 .*'")

    sentence: ClassVar[str] = "The digits along a line match its pattern."
    shortest: ClassVar[int] = 1

    def wording(self) -> str:
        """The pattern in words, and the end from which the line is read."""
        said = in_words(self.pattern)
        if len(self.cells) == 1:
            return f"In a marked cell, the digits {said}."
        return f"Read {direction(self.cells)}, the digits along a marked line {said}."

    @property
    def seen_as(self) -> str:
        """A line."""
        return f"{len(self.cells) > 1} line"

    def check(self, board: Board) -> None:
        """The cells make a line, and the pattern can be read with the digits of the canvas."""
        super().check(board)
        try:
            _automaton(self.pattern, board.canvas.digits)
        except PatternError as error:
            raise RuleError(f"pattern: {error}", key="pattern") from None

    def holds(self, filled: Filled) -> bool:
        """The digits match."""
        symbols = _symbols(filled.board.canvas.digits)
        return matches(self.pattern, symbols, filled.digits(self.cells))

    def parts(self, board: Board) -> Iterator[Part]:
        """One part: the automaton of the pattern reads the cells."""
        automaton = _automaton(self.pattern, board.canvas.digits)
        yield Part(f"sequence {spell(self.cells)}", Automaton(self.cells, automaton))


def _symbols(digits: tuple[int, ...]) -> dict[str, int]:
    return {symbol(digit): digit for digit in digits}


@lru_cache(maxsize=64)
def _automaton(text: str, digits: tuple[int, ...]) -> Dfa:
    return pattern(text, _symbols(digits))
