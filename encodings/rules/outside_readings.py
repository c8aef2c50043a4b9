"""Clues outside the grid that are read cell by cell: sandwich, x-sum, seen count and their kin.

Each is stated as an automaton over its row or column (``along_cells.py``): digits say how far a clue
reaches, values are totalled and compared.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import ClassVar, Literal

from gridassay.encodings.board import Board, Filled, Part
from gridassay.encodings.constraints import AllOf, AnyOf, Compare, Constraint, In, Letter
from gridassay.encodings.grid import Cell
from gridassay.encodings.rules.along_cells import Reach, most_of, read_along
from gridassay.encodings.rules.base import Clue, RuleError, Shape
from gridassay.encodings.rules.outside import Beside, FromSide, total_letters
from gridassay.encodings.wording import LOWEST_AND_HIGHEST

Pair = tuple[int | None, int]
Numbers = tuple[int, ...]


NOTHING = -1
"""In place of a digit: no digit is awaited."""


class Sandwich(Beside):
    """The cells strictly between the lowest and the highest digit of the grid total ``sum``.

    Each of the two is in the row or column exactly once; if one is missing or
    there twice (which houses forbid), the rule is broken. The two are found by their digits; the
    cells between them count their values. The sum may be a letter.

    Example: `kind = "sandwich"`, `line = "r1"`, `sum = 35` in a 9×9 grid puts 1 and 9 at the two
    ends of row 1.
    """

    kind: Literal["sandwich"] = "sandwich"
    sum: Clue

    sentence: ClassVar[str] = (
        "A sandwich number outside the grid is the total of the digits between "
        f"{LOWEST_AND_HIGHEST} in its row or column."
    )

    def check(self, board: Board) -> None:
        """There is such a row or column, and a lowest and a highest digit."""
        super().check(board)
        if len(board.canvas.digits) < 2:
            raise RuleError("the only digit is both the lowest and the highest")

    def letters(self, board: Board) -> Mapping[str, tuple[int, int]]:
        """Its sum, if a letter stands for it."""
        return _sum_letters(self.sum, len(self.reading(board)), board)

    def holds(self, filled: Filled) -> bool:
        """The values between the lowest and the highest digit of the canvas add up to the total."""
        cells = self.reading(filled.board)
        digits = filled.digits(cells)
        low, high = filled.board.canvas.digits[0], filled.board.canvas.digits[-1]
        if digits.count(low) != 1 or digits.count(high) != 1:
            return False
        start, end = sorted((digits.index(low), digits.index(high)))
        return sum(filled.values(cells[start + 1 : end])) == filled.number(self.sum)

    def parts(self, board: Board) -> Iterator[Part]:
        """One part, read along the line: the total since the first of the two, once one is met."""
        cells, most = self.reading(board), most_of(self.sum, board)
        # Values below 0 may take off again what is too much.
        most += max(0, -board.value_domain[0]) * len(cells)
        ends = (board.canvas.digits[0], board.canvas.digits[-1])

        # The outermost digit that is still to be met: None before the first.
        def step(
            state: tuple[int | None, int], digit: int, value: int
        ) -> tuple[int | None, int] | None:
            wanted, total = state
            if digit in ends:
                if wanted is None:
                    return (sum(ends) - digit, total)
                return (NOTHING, total) if wanted == digit else None
            if wanted in (None, NOTHING):
                return state
            after = total + value
            return (wanted, after) if after <= most else None

        def result(state: tuple[int | None, int]) -> int | None:
            return state[1] if state[0] == NOTHING else None

        start: tuple[int | None, int] = (None, 0)
        yield Part(
            self.part_name(board),
            read_along(self.kind, board, cells, self.sum, start, step, result),
        )

    def shapes(self, board: Board) -> Iterator[Shape]:
        """The sum outside."""
        yield self.shape(self.reading(board), self.sign())

    def sign(self) -> str:
        """Its sum."""
        return str(self.sum)


class XSum(FromSide):
    """The first cells from one side total ``sum``, as many of them as the first digit says.

    The first cell is one of those that are added. Its digit says how many they are; their values
    are added. A first digit greater than the number of cells breaks the rule; a 0 adds no
    cell. The sum may be a letter.

    Example: `kind = "x-sum"`, `line = "r1"`, `side = "left"`, `sum = 3` in a 9×9 grid starts row 1
    with 2 and 1.
    """

    kind: Literal["x-sum"] = "x-sum"
    sum: Clue

    sentence: ClassVar[str] = (
        "An X-sum outside the grid is the total of the first X digits of its row or column, counted "
        "from there, where X is the first of them."
    )

    def letters(self, board: Board) -> Mapping[str, tuple[int, int]]:
        """Its sum, if a letter stands for it."""
        return _sum_letters(self.sum, len(self.reading(board)), board)

    def holds(self, filled: Filled) -> bool:
        """The first values, as many as the first digit says, add up to the total."""
        cells = self.reading(filled.board)
        first = filled[cells[0]]
        covered = filled.values(cells[:first])
        return first <= len(cells) and sum(covered) == filled.number(self.sum)

    def parts(self, board: Board) -> Iterator[Part]:
        """One part."""
        cells, reach = self.reading(board), Reach(self.sum, board)

        # How many cells are still to be added (None before the first) and the total so far.
        def step(state: Pair, digit: int, value: int) -> Pair | None:
            left, total = state
            if left is None:
                left = digit
            if left > 0:
                left, total = left - 1, total + value
            return (left, total) if reach.can_be_made(total, left) else None

        start: Pair = (None, 0)
        yield Part(
            self.part_name(board),
            read_along(self.kind, board, cells, self.sum, start, step, _finished_total),
        )

    def shapes(self, board: Board) -> Iterator[Shape]:
        """The sum outside."""
        yield self.shape(self.reading(board), self.sign())

    def sign(self) -> str:
        """Its sum."""
        return str(self.sum)


def _finished_total(state: Pair) -> int | None:
    return state[1] if state[0] == 0 else None


class SeenCount(FromSide):
    """Exactly ``seen`` cells, from one side, are higher than all before them.

    The first cell always counts. Heights are values: a digit that counts double is twice as
    high. The number may be a letter.

    Example: `kind = "seen-count"`, `line = "r1"`, `side = "left"`, `seen = 9` in a 9×9 grid puts 1
    to 9 into row 1 in order.
    """

    kind: Literal["seen-count"] = "seen-count"
    seen: Clue

    sentence: ClassVar[str] = (
        "A number outside the grid tells how many digits of its row or column are seen from there, "
        "where a digit hides all lower and equal ones behind it."
    )

    def letters(self, board: Board) -> Mapping[str, tuple[int, int]]:
        """The number seen, if a letter stands for it."""
        return {self.seen: (1, len(self.reading(board)))} if isinstance(self.seen, str) else {}

    def holds(self, filled: Filled) -> bool:
        """That number of values are greater than all before them."""
        heights = filled.values(self.reading(filled.board))
        seen = sum(
            all(before < height for before in heights[:place])
            for place, height in enumerate(heights)
        )
        return seen == filled.number(self.seen)

    def parts(self, board: Board) -> Iterator[Part]:
        """One part."""
        most = most_of(self.seen, board)

        # The highest value so far (None before the first) and how many were seen.
        def step(state: Pair, digit: int, value: int) -> Pair | None:
            highest, seen = state
            if highest is not None and value <= highest:
                return state
            return (value, seen + 1) if seen < most else None

        start: Pair = (None, 0)
        yield Part(
            self.part_name(board),
            read_along(
                self.kind,
                board,
                self.reading(board),
                self.seen,
                start,
                step,
                lambda state: state[1],
            ),
        )

    def shapes(self, board: Board) -> Iterator[Shape]:
        """The number outside."""
        yield self.shape(self.reading(board), self.sign())

    def sign(self) -> str:
        """How many are seen."""
        return str(self.seen)


class NumberedRoom(FromSide):
    """The first digit from one side says in which cell, counted from there, ``digit`` is.

    The first cell is number 1. A first digit that is not a cell's number breaks the rule. This is about
    digits, not values. The digit may be a letter.

    Example: `kind = "numbered-room"`, `line = "r1"`, `side = "left"`, `digit = 7` in a 9×9 grid with
    a 3 in r1c1 puts a 7 into r1c3.
    """

    kind: Literal["numbered-room"] = "numbered-room"
    digit: Clue

    sentence: ClassVar[str] = (
        "A digit outside the grid stands in the Xth cell of its row or column, counted from there, "
        "where X is the digit in the first cell."
    )

    def letters(self, board: Board) -> Mapping[str, tuple[int, int]]:
        """The digit, if a letter stands for it."""
        digits = board.canvas.digits
        return {self.digit: (digits[0], digits[-1])} if isinstance(self.digit, str) else {}

    def holds(self, filled: Filled) -> bool:
        """The cell that the first digit counts to holds the digit."""
        digits = filled.digits(self.reading(filled.board))
        number = digits[0]
        return 1 <= number <= len(digits) and digits[number - 1] == filled.number(self.digit)

    def parts(self, board: Board) -> Iterator[Part]:
        """One part: for each first digit, the digit of the cell that it leads to.

        An automaton that counts down to the room took 3 to 5 times as long.
        """
        cells = self.reading(board)
        told: list[Constraint] = []
        for number in board.canvas.digits:
            no = In(cells[0], frozenset({number}), inside=False)
            found = self._room_holds(cells[number - 1]) if 1 <= number <= len(cells) else None
            told.append(no if found is None else AnyOf((no, found)))
        yield Part(self.part_name(board), AllOf(tuple(told)))

    def _room_holds(self, room: Cell) -> Constraint:
        """The room holds the digit."""
        if isinstance(self.digit, str):
            return Compare(room, "==", Letter(self.digit))
        return In(room, frozenset({self.digit}))

    def shapes(self, board: Board) -> Iterator[Shape]:
        """The digit outside."""
        yield self.shape(self.reading(board), self.sign())

    def sign(self) -> str:
        """Its digit."""
        return str(self.digit)


class Battlefield(Beside):
    """The first and the last digit of the line each cover that many cells from
    their end.

    ``sum`` is the total of the cells covered twice or, if there is none, of those covered by
    neither (0 if there are none of these either). A digit greater than the number of cells covers
    all of them. The digit says how far it reaches; values are added. The sum may
    be a letter.

    Example: `kind = "battlefield"`, `line = "r1"`, `sum = 0` in a 9×9 grid with a 4 in r1c1 puts a 5
    into r1c9.
    """

    kind: Literal["battlefield"] = "battlefield"
    sum: Clue

    sentence: ClassVar[str] = (
        "The first and the last digit of a row or column each cover that many cells from their "
        "end; a number outside the grid is the total of the digits in the cells covered twice or, "
        "if there are none, in those not covered."
    )

    def check(self, board: Board) -> None:
        """There is such a row or column, and it has two ends."""
        super().check(board)
        if len(self.reading(board)) < 2:
            raise RuleError(f"line: {self.line} has only one cell", key="line")

    def letters(self, board: Board) -> Mapping[str, tuple[int, int]]:
        """Its sum, if a letter stands for it."""
        return _sum_letters(self.sum, len(self.reading(board)), board)

    def holds(self, filled: Filled) -> bool:
        """The values covered twice, or else by neither, add up to the total."""
        cells = self.reading(filled.board)
        size, first, last = len(cells), filled[cells[0]], filled[cells[-1]]
        covered = [(place < first) + (place >= size - last) for place in range(size)]
        counted = 2 if 2 in covered else 0
        values = filled.values(cells)
        total = sum(v for v, times in zip(values, covered, strict=True) if times == counted)
        return total == filled.number(self.sum)

    def parts(self, board: Board) -> Iterator[Part]:
        """One part. The last cell is read first: it and the first say which cells to add.

        A separate total for each possible run of cells took four times as long to write.
        """
        cells = self.reading(board)
        order = cells[-1:] + cells[:-1]
        size, reach = len(cells), Reach(self.sum, board)

        # How many cells to skip, how many to add after that, and the total. Before the first cell
        # is read the state is the last cell's digit and value.
        def step(state: Numbers, digit: int, value: int) -> Numbers | None:
            if not state:
                return digit, value
            if len(state) == 2:
                last, last_value = state
                low, high = sorted((min(digit, size), max(size - last, 0)))
                total = last_value if low < high == size else 0
                state = low, max(0, min(high, size - 1) - low), total
            skip, add, total = state
            if skip:
                skip -= 1
            elif add:
                add, total = add - 1, total + value
            return (skip, add, total) if reach.can_be_made(total, add) else None

        start: Numbers = ()
        yield Part(
            self.part_name(board),
            read_along(self.kind, board, order, self.sum, start, step, lambda state: state[-1]),
        )

    def shapes(self, board: Board) -> Iterator[Shape]:
        """The sum outside."""
        yield self.shape(self.reading(board), self.sign())

    def sign(self) -> str:
        """Its sum."""
        return str(self.sum)


def _sum_letters(clue: int | str, size: int, board: Board) -> dict[str, tuple[int, int]]:
    """The letter of a total that can be empty."""
    spans = total_letters(clue, size, board)
    return {name: (min(0, low), max(0, high)) for name, (low, high) in spans.items()}
