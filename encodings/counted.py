"""The number that a cell counts as in sums and comparisons, where that may differ from its digit.

Beside the digit of each cell stands a variable of the solution: whether it is a doubler, or the
value of a shading whose cells count as something else. Digit and variable together say what the
cell counts as. That is part of the board, like its digits: it has no switch. Switching it off would
not merely remove something that is demanded, which is all that conflicts, clue effects and proofs
of steps allow; it would change what every sum says.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple, NoReturn

from gridassay.encodings.constraints import (
    CellMark,
    CellValue,
    Constraint,
    Doubler,
    Table,
    Variable,
)
from gridassay.encodings.grid import Cell
from gridassay.encodings.variables import Shade


class NoValueError(ArithmeticError):
    """A rule reads a cell without a value, so the rule is false."""


class _NoValue(int):
    """Stands where a cell has no value; nobody can add or compare it.

    It can be kept, as automata keep values in their states until these are read.
    """

    def __hash__(self) -> int:
        return 0x6E6F6E65  # like no number that a rule meets


def _unreadable(*read: object) -> NoReturn:
    raise NoValueError


_BINARY = ("add", "sub", "mul", "floordiv", "truediv", "mod", "divmod", "pow", "and", "or", "xor")
_READERS = ("eq", "ne", "lt", "le", "gt", "ge", "abs", "neg", "pos", "bool", "int", "index")
for _name in (*_BINARY, *(f"r{one}" for one in _BINARY), *_READERS):
    setattr(_NoValue, f"__{_name}__", _unreadable)

NO_VALUE: int = _NoValue()
"""The value of a cell whose formula has no whole number for its digit.

A rule that reads it is false: whatever is done with it raises NoValueError.
"""


class CountsAs(NamedTuple):
    """Cells whose variable has the number ``number`` count as ``values``, one for each digit.

    ``beside`` is the variable of any cell; those of other cells differ in the cell only. A value is
    None if cells with that digit have no value.
    """

    beside: Doubler | Shade
    number: int
    digits: tuple[int, ...]
    values: tuple[int | None, ...]

    def of(self, digit: int) -> int:
        """The number that a cell with the digit counts as, or NO_VALUE."""
        value = self.values[self.digits.index(digit)]
        return NO_VALUE if value is None else value


@dataclass(frozen=True)
class Counting:
    """All that cells can count as, for the digits of a canvas in rising order.

    A *way* of counting is a number: 0 leaves the digit, the others follow ``said`` in order. A
    *mark* is digit and way in one number.
    """

    digits: tuple[int, ...]
    numbers: tuple[int, ...]
    said: tuple[CountsAs, ...]

    def beside(self, cell: Cell) -> Doubler | Shade:
        """The variable that says in which way a cell counts."""
        return self.said[0].beside._replace(cell=cell)

    @cached_property
    def way(self) -> Mapping[int, int]:
        """The way of counting for each number of the variable."""
        ways = {one.number: place for place, one in enumerate(self.said, start=1)}
        return {number: ways.get(number, 0) for number in self.numbers}

    @cached_property
    def _base(self) -> int:
        return self.digits[-1] + 1

    @cached_property
    def _values(self) -> tuple[Mapping[int, int | None], ...]:
        plain: dict[int, int | None] = dict(zip(self.digits, self.digits, strict=True))
        return (plain, *(dict(zip(one.digits, one.values, strict=True)) for one in self.said))

    @cached_property
    def marks(self) -> tuple[int, ...]:
        """The numbers that a mark can be."""
        ways = sorted(set(self.way.values()))
        return tuple(digit + way * self._base for way in ways for digit in self.digits)

    def mark(self, digit: int, number: int) -> int:
        """The mark of a cell, by its digit and the number of the variable beside it."""
        return digit + self.way[number] * self._base

    def digit(self, mark: int) -> int:
        """The digit behind a mark."""
        return mark % self._base

    def _value(self, mark: int) -> int | None:
        way, digit = divmod(mark, self._base)
        return self._values[way][digit]

    def value(self, mark: int) -> int:
        """The number that a cell with a mark counts as, or NO_VALUE."""
        value = self._value(mark)
        return NO_VALUE if value is None else value

    @cached_property
    def value_domain(self) -> tuple[int, ...]:
        """All numbers that a cell can count as, in rising order; 0 if there are none."""
        found = {self._value(mark) for mark in self.marks}
        return tuple(sorted(one for one in found if one is not None)) or (0,)

    @cached_property
    def valued(self) -> frozenset[int]:
        """The marks of cells that have a value."""
        return frozenset(mark for mark in self.marks if self._value(mark) is not None)

    def _stands(self, mark: int) -> int:
        """The number of the variable for a value; the least there is, if the cell has no value."""
        value = self._value(mark)
        return self.value_domain[0] if value is None else value

    def definitions(self, cells: Iterable[Cell]) -> Iterable[Constraint]:
        """The constraints that tie marks and values to digits and to the variables beside them."""
        marks = frozenset(
            (digit, number, self.mark(digit, number))
            for digit in self.digits
            for number in self.numbers
        )
        values = frozenset((mark, self._stands(mark)) for mark in self.marks)
        for cell in cells:
            yield Table((cell, self.beside(cell), CellMark(cell)), marks)
            yield Table((CellMark(cell), CellValue(cell)), values)

    def behind(self, variable: Variable) -> tuple[Variable, ...]:
        """The variables of a solution behind a variable: for a value or mark, digit and way."""
        if isinstance(variable, CellValue | CellMark):
            return variable.cell, self.beside(variable.cell)
        return (variable,)

    def worked_out(self, variable: CellValue | CellMark, values: Mapping[Variable, int]) -> int:
        """The number of a value or mark, from those behind it."""
        mark = self.mark(values[variable.cell], values[self.beside(variable.cell)])
        return mark if isinstance(variable, CellMark) else self._stands(mark)


def doubling(digits: Sequence[int]) -> Counting:
    """Doublers: a cell counts as its digit, or as twice that."""
    twice = tuple(2 * digit for digit in digits)
    return Counting(
        tuple(digits), (0, 1), (CountsAs(Doubler(Cell(1, 1)), 1, tuple(digits), twice),)
    )
