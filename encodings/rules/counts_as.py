"""Cells of a shading that count as something other than their digit."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from functools import lru_cache
from typing import ClassVar, Literal

from pydantic import Field

from gridassay.encodings.board import Board, Filled, Part
from gridassay.encodings.counted import CountsAs
from gridassay.encodings.expressions import Number
from gridassay.encodings.formula_words import number_in_words
from gridassay.encodings.formulas import FormulaError, parse_number
from gridassay.encodings.grid import Cell
from gridassay.encodings.rules.base import RuleError
from gridassay.encodings.rules.layered import OnShading

CELL = "d"
"""The digit of the cell in a formula."""

LARGEST = 1000
"""The largest number, without its sign, that a cell may count as."""


class CountsAsRule(OnShading):
    """In sums and comparisons, cells of the value count as the formula says of their digit.

    The formula is a number, and `d` in it is the digit of the cell: `"2*d"`, `"-d"`, `"0"`, `"d+1"`.
    Numbers may be negative. Where the formula gives no whole number (`6 // (d - 1)` for the digit 1),
    the cell has no value, and a rule that adds or compares it is false. Whatever is about digits
    and not about what they count as (houses, different digits, palindromes, sets of digits) does not
    change.

    This is part of the board, not a clue: it cannot be wasted, a conflict names it beside the clues,
    and every step may use it. There is one for each value of a layer at most, on one layer only, not
    together with `[doublers]`, and not inside another rule. With `optional = true` cells count as
    their digits.

    Example: `kind = "counts-as"`, `layer = "water"`, `value = "deep"`, `formula = "-d"`: in a cage, a
    deep 4 takes 4 away from the sum.
    """

    kind: Literal["counts-as"] = "counts-as"
    formula: str = Field(description="what a cell counts as, d being its digit: '2*d', '-d', '0'")

    needs_digits: ClassVar[bool] = True
    defines: ClassVar[bool] = True
    sentence: ClassVar[str] = "Cells of the value count as something other than their digit."

    @property
    def spoken(self) -> str:
        """Its name: ``value of deep cells``."""
        return f"value of {self.value} cells"

    def wording(self) -> str:
        """The sentence, with the value and the formula."""
        try:
            said = number_in_words(_parse(self.formula), "d", "its digit")
        except FormulaError:
            said = self.formula
        return f"In sums and comparisons each {self.cells_called(one=True)} counts as {said}."

    def check(self, board: Board) -> None:
        """The layer has the value, and the formula gives no digit too large a number."""
        super().check(board)
        if board.doublers:
            raise RuleError("doublers already say what cells count as", key="kind")
        try:
            _values(self.formula, board.canvas.digits)
        except FormulaError as error:
            raise RuleError(f"formula: {error}", key="formula") from None

    def counts_as(self, board: Board) -> CountsAs | None:
        """The numbers that its cells count as; None if it cannot stand on the board."""
        try:
            self.check(board)
        except RuleError:
            return None
        beside, digits = self.shading(board).at(Cell(1, 1)), board.canvas.digits
        return CountsAs(beside, self.number(board), digits, _values(self.formula, digits))

    def holds(self, filled: Filled) -> bool:
        """Always true: it says what others mean."""
        return True

    def parts(self, board: Board) -> Iterator[Part]:
        """Nothing: the board has it (``Board.definitions``)."""
        yield from ()


@lru_cache(maxsize=64)
def _parse(text: str) -> Number:
    number = parse_number(text, CELL)
    for name in sorted(number.letters - {CELL}):
        raise FormulaError(f"{name} is not known here, only d, the digit of the cell")
    return number


@lru_cache(maxsize=64)
def _values(text: str, digits: tuple[int, ...]) -> tuple[int | None, ...]:
    """The number that each digit counts as, None if it has no value or one that is not whole.

    Raises FormulaError if one is too large.
    """
    evaluate = _parse(text).evaluator({CELL: 0})
    found: list[int | None] = []
    for digit in digits:
        try:
            value = Fraction(evaluate((digit,)))
        except ArithmeticError:
            found.append(None)
            continue
        if abs(value) > LARGEST:
            raise FormulaError(f"it is {value} for the digit {digit}, but {LARGEST} is the most")
        found.append(int(value) if value.denominator == 1 else None)
    return tuple(found)
