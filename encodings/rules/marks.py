"""Marks between two cells, and digits written at a crossing.

Differences, ratios, sums and comparisons use values, which differ from digits only if there are
doublers. The sets of pairs that a mark allows are built here once, for the mark itself and for the
rule that all such marks are drawn (``completeness.py``).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from typing import ClassVar, Literal

from gridassay.encodings.board import Board, Filled, Part
from gridassay.encodings.constraints import Compare, Count, Letter, Table
from gridassay.encodings.grid import Cell
from gridassay.encodings.rules.base import (
    Cells,
    Clue,
    DrawnAt,
    Numbers,
    Rule,
    Shape,
    distinct_cells,
    length_between,
    listing,
    spell,
)
from gridassay.encodings.wording import article, in_letters

Pairs = frozenset[tuple[int, ...]]


def with_sum(values: Sequence[int], number: int) -> Pairs:
    """The pairs of values that total the number."""
    return frozenset((a, number - a) for a in values if number - a in values)


def with_difference(values: Sequence[int], number: int) -> Pairs:
    """The pairs of values whose absolute difference is the number."""
    steps = (number, -number) if number >= 0 else ()
    return frozenset((a, a + step) for a in values for step in steps if a + step in values)


def with_ratio(values: Sequence[int], number: int) -> Pairs:
    """The pairs of values of which the one farther from 0 is the number times the other."""
    ordered = [
        (a, a * number) for a in values if abs(a) <= abs(a * number) and a * number in values
    ]
    return frozenset(ordered) | frozenset((b, a) for a, b in ordered)


class PairMark(Rule):
    """Base of the marks between two cells."""

    drawn_at: ClassVar[DrawnAt] = "edge"

    cells: Cells

    def where(self) -> tuple[Cell, ...]:
        """Its two cells."""
        return self.cells

    def doubts(self) -> Iterator[str]:
        """Its cells do not share a side."""
        first, second = self.cells
        if abs(first.row - second.row) + abs(first.column - second.column) != 1:
            yield f"stands between {first} and {second}, which do not share a side"

    def check(self, board: Board) -> None:
        """There are two cells."""
        super().check(board)
        length_between(self.cells, 2, 2)
        distinct_cells(self.cells)


class NumberMark(PairMark):
    """Base of the marks that require a number, given or implied, of two values."""

    def clue(self) -> int | str:
        """The number it asks for, or the letter that stands for it."""
        raise NotImplementedError

    @staticmethod
    def pairs(values: Sequence[int], number: int) -> Pairs:
        """The pairs of values that give a number."""
        raise NotImplementedError

    def parts(self, board: Board) -> Iterator[Part]:
        """One part: a table of the pairs, with the letter's value if there is a letter."""
        name, clue = f"{self.kind} {spell(self.cells)}", self.clue()
        variables = board.values(self.cells)
        if isinstance(clue, int):
            yield Part(name, Table(variables, self.pairs(board.value_domain, clue)))
            return
        rows = frozenset(
            (*pair, number)
            for number in board.letters[clue]
            for pair in self.pairs(board.value_domain, number)
        )
        yield Part(name, Table((*variables, Letter(clue)), rows))


class ConsecutivePair(NumberMark):
    """The two cells differ by 1. Drawn as a white dot.

    Example: `kind = "consecutive-pair"`, `cells = "r1c1 r1c2"`: next to a 5 there is a 4 or a 6.
    """

    kind: Literal["consecutive-pair"] = "consecutive-pair"

    noun: ClassVar[str] = "white dot"
    sentence: ClassVar[str] = "Two cells with a white dot between them hold consecutive digits."

    def clue(self) -> int:
        """A difference of 1."""
        return 1

    pairs = staticmethod(with_difference)

    def holds(self, filled: Filled) -> bool:
        """They differ by 1."""
        low, high = sorted(filled.values(self.cells))
        return high - low == 1

    def shapes(self, board: Board) -> Iterator[Shape]:
        """A white dot."""
        yield Shape("edge mark", self.cells, figure="open dot")


class DoublePair(NumberMark):
    """One of the two cells is twice the other. Drawn as a black dot.

    Example: `kind = "double-pair"`, `cells = "r1c1 r1c2"`: next to a 4 there is a 2 or an 8.
    """

    kind: Literal["double-pair"] = "double-pair"

    noun: ClassVar[str] = "black dot"
    sentence: ClassVar[str] = (
        "Where two cells have a black dot between them, one digit is twice the other."
    )

    def clue(self) -> int:
        """A ratio of 2."""
        return 2

    pairs = staticmethod(with_ratio)

    def holds(self, filled: Filled) -> bool:
        """One is twice the other."""
        a, b = filled.values(self.cells)
        return b in (2 * a, a / 2)

    def shapes(self, board: Board) -> Iterator[Shape]:
        """A black dot."""
        yield Shape("edge mark", self.cells, figure="full dot")


class PairSum(NumberMark):
    """The two cells total `sum`, a number or a letter. A total of 10 is drawn X, one of 5 V.

    Example: `kind = "pair-sum"`, `cells = "r1c1 r1c2"`, `sum = 10`: next to a 3 there is a 7.
    """

    kind: Literal["pair-sum"] = "pair-sum"
    sum: Clue

    sentence: ClassVar[str] = (
        "Digits in two cells with a number between them add up to that number."
    )

    def wording(self) -> str:
        """Its sentence, with X and V by their names."""
        symbol = _SUMS.get(self.sum)
        if symbol is None:
            return self.sentence
        return f"Digits in two cells with {article(symbol)} {symbol} between them add up to {self.sum}."

    @property
    def seen_as(self) -> str:
        """X, V, or a number."""
        return f"{self.kind} {_SUMS.get(self.sum, '')}"

    def clue(self) -> int | str:
        """Its sum."""
        return self.sum

    pairs = staticmethod(with_sum)

    def letters(self, board: Board) -> Mapping[str, tuple[int, int]]:
        """Its sum, if a letter stands for it."""
        least, most = board.value_domain[0], board.value_domain[-1]
        return {self.sum: (2 * least, 2 * most)} if isinstance(self.sum, str) else {}

    def holds(self, filled: Filled) -> bool:
        """They add up to the total."""
        return sum(filled.values(self.cells)) == filled.number(self.sum)

    def shapes(self, board: Board) -> Iterator[Shape]:
        """X, V or the number."""
        yield Shape("edge mark", self.cells, self.sign())

    def sign(self) -> str:
        """X, V or its number."""
        return _SUMS.get(self.sum, str(self.sum))


_SUMS: dict[int | str, str] = {5: "V", 10: "X"}


class PairDifference(NumberMark):
    """The two cells differ by `value`, a number or a letter. Drawn in a white dot.

    Example: `kind = "pair-difference"`, `cells = "r1c1 r1c2"`, `value = 3`: next to a 2 there is a 5.
    """

    kind: Literal["pair-difference"] = "pair-difference"
    value: Clue

    sentence: ClassVar[str] = (
        "Digits in two cells with a number in a white dot between them differ by that number."
    )

    def clue(self) -> int | str:
        """Its difference."""
        return self.value

    pairs = staticmethod(with_difference)

    def letters(self, board: Board) -> Mapping[str, tuple[int, int]]:
        """Its difference, if a letter stands for it."""
        widest = board.value_domain[-1] - board.value_domain[0]
        return {self.value: (0, widest)} if isinstance(self.value, str) else {}

    def holds(self, filled: Filled) -> bool:
        """Their absolute difference is the number."""
        a, b = filled.values(self.cells)
        return abs(a - b) == filled.number(self.value)

    def shapes(self, board: Board) -> Iterator[Shape]:
        """The number in a white dot."""
        yield Shape("edge mark", self.cells, self.sign(), figure="open dot")

    def sign(self) -> str:
        """Its number."""
        return str(self.value)


class PairRatio(NumberMark):
    """The larger of the two cells is `value` times the smaller. Drawn in a black dot.

    `value` is a number or a letter. Two zeros satisfy any ratio. If cells count as less than 0, the
    larger is the one farther from 0.

    Example: `kind = "pair-ratio"`, `cells = "r1c1 r1c2"`, `value = 3`: next to a 2 there is a 6.
    """

    kind: Literal["pair-ratio"] = "pair-ratio"
    value: Clue

    sentence: ClassVar[str] = (
        "Where two cells have a number in a black dot between them, one digit is that many times "
        "the other."
    )

    def clue(self) -> int | str:
        """Its ratio."""
        return self.value

    pairs = staticmethod(with_ratio)

    def letters(self, board: Board) -> Mapping[str, tuple[int, int]]:
        """Its ratio, if a letter stands for it."""
        low, most = board.value_domain[0], max(1, *map(abs, board.value_domain))
        return {self.value: (1 if low >= 0 else -most, most)} if isinstance(self.value, str) else {}

    def holds(self, filled: Filled) -> bool:
        """The larger, apart from its sign, is the number times the other."""
        number, (a, b) = filled.number(self.value), filled.values(self.cells)
        return (abs(a) <= abs(b) and b == a * number) or (abs(b) <= abs(a) and a == b * number)

    def shapes(self, board: Board) -> Iterator[Shape]:
        """The number in a black dot."""
        yield Shape("edge mark", self.cells, self.sign(), figure="full dot")

    def sign(self) -> str:
        """Its number."""
        return str(self.value)


class Greater(PairMark):
    """The first cell is greater than the second.

    Example: `kind = "greater"`, `cells = "r1c1 r1c2"`: before a 7 there is an 8 or a 9.
    """

    kind: Literal["greater"] = "greater"

    noun: ClassVar[str] = "greater sign"
    sentence: ClassVar[str] = "A sign between two cells opens towards the greater digit."

    def holds(self, filled: Filled) -> bool:
        """The first has the greater value."""
        first, second = filled.values(self.cells)
        return first > second

    def parts(self, board: Board) -> Iterator[Part]:
        """One part."""
        first, second = board.values(self.cells)
        yield Part(f"greater {spell(self.cells)}", Compare(second, "<=", first, -1))

    def shapes(self, board: Board) -> Iterator[Shape]:
        """A sign that opens towards the first cell."""
        first, second = self.cells
        if first.column == second.column:
            sign = "∨" if first.row < second.row else "∧"
        else:
            sign = ">" if first.column < second.column else "<"
        yield Shape("edge mark", self.cells, sign)


class Contains(Rule):
    """Each digit listed is in one of the cells; if it is listed twice, it is in two of them.

    Usually these are the four cells around a crossing, but they can be any cells.

    Example: `kind = "contains"`, `cells = "r1c1 r1c2 r2c1 r2c2"`, `digits = [1, 1, 4]`: two of the
    cells are 1 and another is 4.
    """

    kind: Literal["contains"] = "contains"
    cells: Cells
    digits: Numbers

    drawn_at: ClassVar[DrawnAt] = "corner"
    noun: ClassVar[str] = "crossing"
    sentence: ClassVar[str] = (
        "Digits written at a crossing all stand in the four cells around it, each at least as often "
        "as it is written."
    )

    def wording(self) -> str:
        """Words for the crossing, or for the cells and digits if there is none."""
        rows, columns = {cell.row for cell in self.cells}, {cell.column for cell in self.cells}
        around = len(self.cells) == 4 and len(rows) == len(columns) == 2
        if around and max(rows) - min(rows) == max(columns) - min(columns) == 1:
            return self.sentence
        times = sorted(Counter(self.digits).items())
        wanted = [
            f"{article(str(digit))} {digit}"
            if number == 1
            else f"at least {in_letters(number)} {digit}s"
            for digit, number in times
        ]
        verb = "is" if len(wanted) == 1 and len(self.digits) == 1 else "are"
        cells = listing([str(cell) for cell in self.cells], "and")
        return f"Among the digits in {cells} {verb} {listing(wanted, 'and')}."

    @property
    def seen_as(self) -> str:
        """A crossing, or the cells that its sentence names."""
        return self.wording()

    def where(self) -> tuple[Cell, ...]:
        """The cells around it."""
        return self.cells

    def check(self, board: Board) -> None:
        """None of the cells is listed twice."""
        super().check(board)
        length_between(self.cells, 1)
        distinct_cells(self.cells)

    def holds(self, filled: Filled) -> bool:
        """Each digit can be crossed out of the cells in turn."""
        left = filled.digits(self.cells)
        for digit in self.digits:
            if digit not in left:
                return False
            left.remove(digit)
        return True

    def parts(self, board: Board) -> Iterator[Part]:
        """One part per digit. With as many digits as cells, each appears only as often as listed."""
        full = len(self.digits) == len(self.cells)
        for digit, times in sorted(Counter(self.digits).items()):
            name, one = f"contains {digit} {spell(self.cells)}", frozenset({digit})
            enough = frozenset({times} if full else range(times, len(self.cells) + 1))
            yield Part(name, Count(self.cells, one, enough))

    def shapes(self, board: Board) -> Iterator[Shape]:
        """The digits where the cells meet."""
        yield Shape("corner mark", self.cells, self.sign())

    def sign(self) -> str:
        """Its digits."""
        return " ".join(map(str, sorted(self.digits)))
