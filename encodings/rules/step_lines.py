"""Lines that say how far apart their values are."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import combinations, pairwise
from typing import ClassVar, Literal

from pydantic import Field

from gridassay.encodings.board import Board, Filled, Part
from gridassay.encodings.constraints import AllOf, AnyOf, Compare, Letter, Table
from gridassay.encodings.grid import Cell
from gridassay.encodings.rules.base import ClueFrom1, along, spell
from gridassay.encodings.rules.lines import ClosableLine, Line


def apart(board: Board, pair: Sequence[Cell], least: int | str) -> Table:
    """States that two values differ by at least a number, which may be a letter."""
    numbers = board.value_domain
    if isinstance(least, int):
        rows = frozenset((a, b) for a in numbers for b in numbers if abs(a - b) >= least)
        return Table(board.values(pair), rows)
    lettered = frozenset(
        (a, b, number)
        for a in numbers
        for b in numbers
        for number in board.letters[least]
        if abs(a - b) >= number
    )
    return Table((*board.values(pair), Letter(least)), lettered)


class DifferenceLine(ClosableLine):
    """Base of the lines on which certain pairs of values differ by ``difference`` or more."""

    difference: ClueFrom1

    def pairs(self) -> Iterator[tuple[Cell, Cell]]:
        """The pairs of cells that it is about."""
        raise NotImplementedError

    def parts(self, board: Board) -> Iterator[Part]:
        """One part per pair."""
        for pair in self.pairs():
            yield Part(f"{self.kind} {spell(pair)}", apart(board, pair, self.difference))

    def letters(self, board: Board) -> Mapping[str, tuple[int, int]]:
        """Its difference, if a letter stands for it."""
        widest = board.value_domain[-1] - board.value_domain[0]
        return {self.difference: (1, max(1, widest))} if isinstance(self.difference, str) else {}


class Whisper(DifferenceLine):
    """Neighbours along the line differ by ``difference`` or more.

    Example: `kind = "whisper"`, `cells = "r1c1..r1c3"` in a 9×9 grid keeps 5 off the line, and a 4
    in r1c1 puts 9 into r1c2.
    """

    kind: Literal["whisper"] = "whisper"
    difference: ClueFrom1 = 5

    sentence: ClassVar[str] = "Neighbouring digits along a whisper differ by at least 5."

    def wording(self) -> str:
        """The sentence with its difference; it says "all the way round" if the line is closed."""
        return f"Neighbouring digits {self.along('whisper')} differ by at least {self.difference}."

    def holds(self, filled: Filled) -> bool:
        """Each step along the line is wide enough."""
        values = filled.values(self.cells)
        steps = zip(values, values[1:] + values[: self.closed], strict=False)
        return all(abs(a - b) >= filled.number(self.difference) for a, b in steps)

    def pairs(self) -> Iterator[tuple[Cell, Cell]]:
        """Neighbours."""
        return along(self.cells, closed=self.closed)


class Spread(DifferenceLine):
    """Any two cells of the line, neighbours or not, differ by ``difference`` or more.

    Example: `kind = "spread"`, `cells = "r1c1..r1c5"` in a 9×9 grid leaves only the odd digits.
    """

    kind: Literal["spread"] = "spread"
    difference: ClueFrom1 = 2

    noun: ClassVar[str] = "spread line"
    sentence: ClassVar[str] = (
        "Any two digits on a spread line, neighbours or not, differ by at least 2."
    )

    def wording(self) -> str:
        """The sentence with its difference."""
        return self.sentence.replace("at least 2", f"at least {self.difference}")

    def holds(self, filled: Filled) -> bool:
        """Sorted, each value is far enough above the one before."""
        values = sorted(filled.values(self.cells))
        return all(b - a >= filled.number(self.difference) for a, b in pairwise(values))

    def pairs(self) -> Iterator[tuple[Cell, Cell]]:
        """Any two of its cells."""
        return combinations(self.cells, 2)


class EqualDifference(ClosableLine):
    """All neighbours along the line differ by the same number, `least` or more.

    The solver has to find the number, and each step may go up or down. With `least = 0` all digits
    along the line may be the same.

    Example: `kind = "equal-difference"`, `cells = "r1c1..r1c3"` with 1 and 4 in its first two cells
    puts 7 into r1c3: the other digit three away, 1, is in its row already.
    """

    kind: Literal["equal-difference"] = "equal-difference"
    least: int = Field(default=1, ge=0, description="the smallest difference allowed")

    noun: ClassVar[str] = "equal-difference line"
    sentence: ClassVar[str] = (
        "Neighbouring digits along an equal-difference line all differ by the same number, at least 1."
    )

    def wording(self) -> str:
        """The sentence, with the least difference, all the way round if it is closed."""
        least = f"at least {self.least}" if self.least else "which may be 0"
        line = self.along("equal-difference line")
        return f"Neighbouring digits {line} all differ by the same number, {least}."

    def holds(self, filled: Filled) -> bool:
        """There is one difference, and it is large enough."""
        values = filled.values(self.cells)
        around = [*values, values[0]] if self.closed else values
        differences = {abs(a - b) for a, b in pairwise(around)}
        return len(differences) == 1 and min(differences) >= self.least

    def parts(self, board: Board) -> Iterator[Part]:
        """One part: for some difference all neighbours have it.

        An automaton of last value and difference took 2 to 4 times as long (lines of 3 to 5 cells
        on random 9×9 boards).
        """
        numbers = board.value_domain
        pairs = [board.values(pair) for pair in along(self.cells, closed=self.closed)]
        options = []
        for difference in range(self.least, numbers[-1] - numbers[0] + 1):
            rows = frozenset((a, b) for a in numbers for b in numbers if abs(a - b) == difference)
            options.append(AllOf(tuple(Table(pair, rows) for pair in pairs)))
        yield Part(f"equal-difference {spell(self.cells)}", AnyOf(tuple(options)))


class Progression(Line):
    """The values rise, or fall, by the same step all along the line.

    Example: `kind = "progression"`, `cells = "r1c1..r1c4"` with a 2 in r1c1 and an 8 in r1c4 puts
    4 and 6 between them.
    """

    kind: Literal["progression"] = "progression"

    sentence: ClassVar[str] = (
        "Digits along a progression rise, or fall, by the same step from each cell to the next."
    )

    def holds(self, filled: Filled) -> bool:
        """One step, up or down, takes every value to the next."""
        values = filled.values(self.cells)
        step = values[1] - values[0]
        return step != 0 and all(b - a == step for a, b in pairwise(values))

    def parts(self, board: Board) -> Iterator[Part]:
        """One part: for some step all neighbours have it."""
        numbers = board.value_domain
        pairs = list(pairwise(board.values(self.cells)))
        widest = (numbers[-1] - numbers[0]) // len(pairs)
        steps = [step for step in range(-widest, widest + 1) if step]
        options = (AllOf(tuple(Compare(b, "==", a, step) for a, b in pairs)) for step in steps)
        yield Part(f"progression {spell(self.cells)}", AnyOf(tuple(options)))
