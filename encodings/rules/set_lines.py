"""Lines that say which digits go together: mirrored, consecutive, or one of each class.

All of them are about digits, not values: doublers have no effect here.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from itertools import combinations
from typing import ClassVar, Literal

from gridassay.encodings.board import Board, Filled, Part
from gridassay.encodings.constraints import AllDifferent, AllOf, AnyOf, Compare, In, Letter, Table
from gridassay.encodings.rules.base import ClueFrom2, RuleError, spell
from gridassay.encodings.rules.lines import ClosableLine, Line, windows


class Palindrome(Line):
    """The digits read the same from both ends.

    Example: `kind = "palindrome"`, `cells = "r1c1..r1c4"` in a bare row allows 3 1 1 3, and nothing
    if the row is a house.
    """

    kind: Literal["palindrome"] = "palindrome"

    sentence: ClassVar[str] = "Digits along a palindrome read the same from both ends."

    def holds(self, filled: Filled) -> bool:
        """The digits read the same in both directions."""
        digits = filled.digits(self.cells)
        return digits == digits[::-1]

    def parts(self, board: Board) -> Iterator[Part]:
        """One part per pair of cells at equal distance from the ends."""
        half = len(self.cells) // 2
        for pair in zip(self.cells[:half], reversed(self.cells), strict=False):
            yield Part(f"palindrome {spell(pair)}", Compare(pair[0], "==", pair[1]))


class Renban(ClosableLine):
    """The digits all differ and are consecutive numbers, in any order.

    Example: `kind = "renban"`, `cells = "r1c1 r1c2 r1c3"` with a 1 in r1c2 puts 2 and 3 into the
    other two.
    """

    kind: Literal["renban"] = "renban"

    sentence: ClassVar[str] = (
        "Digits along a renban are consecutive and do not repeat, in any order."
    )

    def holds(self, filled: Filled) -> bool:
        """They are the whole numbers from the least on, each once."""
        digits = sorted(filled.digits(self.cells))
        return digits == list(range(digits[0], digits[0] + len(digits)))

    def parts(self, board: Board) -> Iterator[Part]:
        """One part: the digits differ, and one run of consecutive digits is placed whole.

        Measured on random 9×9 boards with houses and renbans of 3 to 7 cells: without "each digit
        of the run is in some cell" verdicts took 1.3, 0.8, 1.5, 4.7 and 3.4 times as long; pairs of
        cells less than a length apart 0.9, 0.9, 1.4, 1.9 and 2.3 times; both together 1.0, 0.9,
        0.7, 1.4 and 0.4 times, but two to three times the time to build; a table of all orders 2.3,
        6.3 and 5.1 times, and from 6 cells on it is too long to write.
        """
        digits, length = frozenset(board.canvas.digits), len(self.cells)
        runs = (frozenset(range(low, low + length)) for low in sorted(digits))
        placed = AnyOf(tuple(self._holds_run(run) for run in runs if run <= digits))
        yield Part(f"renban {spell(self.cells)}", AllOf((AllDifferent(self.cells), placed)))

    def _holds_run(self, run: frozenset[int]) -> AllOf:
        """Every cell holds a digit of the run, and every digit of the run is in some cell."""
        inside = (In(cell, run) for cell in self.cells)
        each = (
            AnyOf(tuple(In(cell, frozenset({digit})) for cell in self.cells))
            for digit in sorted(run)
        )
        return AllOf((*inside, *each))


class ClassLine(ClosableLine):
    """Base of the lines on which neighbours within a window hold digits of different classes.

    The classes are numbered from 0, and a window has as many cells as there are classes.
    """

    def windows_differ(self, filled: Filled, count: int, class_of: Callable[[int], int]) -> bool:
        """Whether in no window two digits are of one class."""
        return all(
            len({class_of(filled[cell]) for cell in window}) == len(window)
            for window in windows(self.cells, count, closed=self.closed)
        )

    def window_parts(
        self, board: Board, count: int, class_of: Callable[[int], int]
    ) -> Iterator[Part]:
        """One part per pair that shares a window, and one per full window: each class is in it.

        The second kind follows from the first; it carries a class along the line.
        """
        digits = board.canvas.digits
        number = {digit: class_of(digit) for digit in digits}
        unlike = frozenset((a, b) for a in digits for b in digits if number[a] != number[b])
        spans = list(windows(self.cells, count, closed=self.closed))
        pairs = {frozenset(pair): pair for span in spans for pair in combinations(span, 2)}
        for pair in pairs.values():
            yield Part(f"{self.kind} {spell(pair)}", Table(pair, unlike))
        for span in spans:
            if len(span) == count > 2:
                each = []
                for wanted in range(count):
                    group = frozenset(digit for digit in digits if number[digit] == wanted)
                    each.append(AnyOf(tuple(In(cell, group) for cell in span)))
                yield Part(f"{self.kind} {spell(span)}", AllOf(tuple(each)))


class Modular(ClassLine):
    """Any ``modulus`` neighbours along the line leave different remainders on division by it.

    On a line with fewer cells, all remainders differ.

    Example: `kind = "modular"`, `cells = "r1c1..r1c4"` with 1 and 5 in its first cells leaves 3, 6
    and 9 for the third and 1, 4 and 7 for the fourth.
    """

    kind: Literal["modular"] = "modular"
    modulus: ClueFrom2 = 3

    noun: ClassVar[str] = "modular line"
    sentence: ClassVar[str] = (
        "Any 3 neighbouring digits along a modular line leave different remainders on division by 3."
    )

    def wording(self) -> str:
        """The sentence with its modulus; on a shorter line, all remainders differ."""
        some = f"any {self.modulus} neighbouring digits {self.along('modular line')}"
        if isinstance(self.modulus, str):
            some += ", or all if there are fewer,"
        elif len(self.cells) < self.modulus:
            some = "all digits on a short modular line"
        return (
            f"{some[0].upper()}{some[1:]} leave different remainders on division by {self.modulus}."
        )

    def letters(self, board: Board) -> Mapping[str, tuple[int, int]]:
        """Its modulus, if a letter stands for it: up to one that tells all digits apart."""
        most = max(2, board.canvas.digits[-1] + 1)
        return {self.modulus: (2, most)} if isinstance(self.modulus, str) else {}

    def holds(self, filled: Filled) -> bool:
        """No window has the same remainder twice."""
        modulus = filled.number(self.modulus)
        return self.windows_differ(filled, modulus, lambda digit: digit % modulus)

    def parts(self, board: Board) -> Iterator[Part]:
        """One part per pair and per full window; only one part, by cases, if the modulus is a letter."""
        if isinstance(self.modulus, int):
            modulus = self.modulus
            yield from self.window_parts(board, modulus, lambda digit: digit % modulus)
            return
        cases = []
        for number in board.letters[self.modulus]:
            parts = self.window_parts(board, number, lambda digit, by=number: digit % by)  # type: ignore[misc]
            chosen = In(Letter(self.modulus), frozenset({number}))
            cases.append(AllOf((chosen, *(part.constraint for part in parts))))
        yield Part(f"{self.kind} {spell(self.cells)}", AnyOf(tuple(cases)))


class Entropic(ClassLine):
    """Any three neighbours along the line are a low, a middle and a high digit, in any order.

    Low, middle and high are the thirds of the digits: 1 2 3, 4 5 6 and 7 8 9 in a 9×9 grid. On a
    line of two cells the two come from different thirds.

    Example: `kind = "entropic"`, `cells = "r1c1..r1c4"` with 2 and 9 in its first cells leaves 4, 5
    and 6 for the third and 1, 2 and 3 for the fourth.
    """

    kind: Literal["entropic"] = "entropic"

    noun: ClassVar[str] = "entropic line"
    sentence: ClassVar[str] = (
        "Any three neighbouring digits along an entropic line come from different thirds of the "
        "digits: low, middle and high."
    )

    def wording(self) -> str:
        """The sentence, all the way round if it is closed; two cells can only differ."""
        if len(self.cells) == 2:
            return (
                "The two digits on an entropic line of two cells come from different thirds of the "
                "digits: low, middle and high."
            )
        return self.sentence.replace("along an entropic line", self.along("entropic line"))

    def check(self, board: Board) -> None:
        """The digits divide into thirds."""
        super().check(board)
        if len(board.canvas.digits) % 3:
            raise RuleError(f"{len(board.canvas.digits)} digits cannot be divided into thirds")

    def holds(self, filled: Filled) -> bool:
        """In no window are two of one third."""
        return self.windows_differ(filled, 3, _third(filled.board))

    def parts(self, board: Board) -> Iterator[Part]:
        """One part per pair and per full window."""
        return self.window_parts(board, 3, _third(board))


def _third(board: Board) -> Callable[[int], int]:
    """0 for low, 1 for middle, 2 for high."""
    digits = board.canvas.digits
    return lambda digit: 3 * digits.index(digit) // len(digits)


class ParityLine(ClassLine):
    """Odd and even digits alternate along the line.

    Example: `kind = "parity-line"`, `cells = "r1c1..r1c5"` with an even digit in r1c3 makes r1c1
    and r1c5 even too, and the two between them odd.
    """

    kind: Literal["parity-line"] = "parity-line"

    noun: ClassVar[str] = "parity line"
    sentence: ClassVar[str] = "Odd and even digits alternate along a parity line."

    def wording(self) -> str:
        """The sentence, all the way round if it is closed."""
        return f"Odd and even digits alternate {self.along('parity line')}."

    def holds(self, filled: Filled) -> bool:
        """No two neighbours are both odd or both even."""
        return self.windows_differ(filled, 2, lambda digit: digit % 2)

    def parts(self, board: Board) -> Iterator[Part]:
        """One part per pair of neighbours."""
        return self.window_parts(board, 2, lambda digit: digit % 2)
