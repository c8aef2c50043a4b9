"""The board that rules speak about: a canvas, the unknowns beyond its digits, and a board filled in.

Three kinds of unknown take part in solutions: *letters* that stand for clue values, *layers* that lie
over the cells (``layers/``), and *doublers*, cells whose digit counts double. If there are
doublers, or if cells of a shading count as something else (``counted.py``), each cell has, beside
its digit, a *value* (what it counts in sums and comparisons) and a *mark* (digit and way of counting
in one number, for rules that read both). Otherwise value and mark are the digit itself, so a rule
never asks which case it is in.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any, ClassVar, NamedTuple, Protocol

from gridassay.encodings.constraints import (
    AllDifferent,
    CellMark,
    CellValue,
    Constraint,
    Count,
    Doubler,
    Letter,
    Permutation,
    Relation,
    Sum,
    Variable,
)
from gridassay.encodings.counted import Counting, doubling
from gridassay.encodings.grid import Canvas, Cell
from gridassay.encodings.variables import Fact, Values


@dataclass(frozen=True)
class Part:
    """A piece of a premise that can be cited alone, with the words that cite it.

    It binds only while each letter of ``letters`` is mentioned by some rule that is on: that two
    letters differ means nothing if no rule says what one of them is.
    """

    label: str
    constraint: Constraint
    letters: tuple[Variable, ...] = ()


class Drawn(NamedTuple):
    """A rule of some kind is drawn on some cells, whatever it says and whether or not it is on."""

    kind: str
    cells: tuple[Cell, ...]


class Laid(Protocol):
    """A layer as boards and puzzles know it; ``layers/base.py`` has the base class."""

    name: str
    kind: str
    called: ClassVar[str]

    @property
    def binds_digits(self) -> bool:
        """Whether it restricts the digits by itself, without a rule that mentions it."""
        ...

    def variables(self, canvas: Canvas) -> Mapping[Variable, tuple[int, ...]]:
        """Its variables with the numbers each can be, in reading order."""
        ...

    def facts(self, canvas: Canvas) -> tuple[Fact, ...]:
        """Its givens."""
        ...

    def parts(self, board: Board) -> Iterator[Part]:
        """The parts that always hold of it, each of which can be cited."""
        ...

    def holds(self, filled: Filled) -> bool:
        """Whether a full board keeps it: its meaning in plain Python."""
        ...

    def solution_text(self, canvas: Canvas, values: Values) -> str:
        """Its part of a solution, as results show it."""
        ...

    def read(self, canvas: Canvas, text: str) -> tuple[Fact, ...]:
        """The value that ``solution_text`` stands for. Raises RuleError saying what is wrong."""
        ...

    def givens_of(self, canvas: Canvas, values: Values) -> str | list[str]:
        """The field ``givens`` of a file for these values, of which only some may be known."""
        ...

    def signs(self, canvas: Canvas, values: Values) -> Mapping[Cell, str]:
        """One character per cell for a terminal; only some values may be known."""
        ...

    def fields(self) -> Mapping[str, Any]:
        """Its fields as a file has them."""
        ...

    def text(self) -> str:
        """The sentence that tells a solver what is to be found."""
        ...


@dataclass(frozen=True)
class Board:
    """A canvas with its unknowns: letters with the whole numbers that each may be, and doublers.

    ``drawn`` is what a person looking at the puzzle sees of its rules, for the few rules whose
    meaning depends on where others are drawn (or are not). ``shaded`` says what cells of a shading
    count as, if that is not their digit.
    """

    canvas: Canvas
    doublers: bool = False
    letters: Mapping[str, tuple[int, ...]] = field(default_factory=dict)
    drawn: tuple[Drawn, ...] = ()
    layers: tuple[Laid, ...] = ()
    shaded: Counting | None = None

    @cached_property
    def counting(self) -> Counting | None:
        """The numbers that cells count as; None if these are their digits."""
        return doubling(self.canvas.digits) if self.doublers else self.shaded

    def layer(self, name: str) -> Laid | None:
        """The layer of that name; None if there is none."""
        return next((layer for layer in self.layers if layer.name == name), None)

    @cached_property
    def layered(self) -> dict[Variable, tuple[int, ...]]:
        """The variables of all layers with the numbers each can be."""
        found: dict[Variable, tuple[int, ...]] = {}
        for layer in self.layers:
            found |= layer.variables(self.canvas)
        return found

    def doubler(self, cell: Cell) -> Doubler:
        """1 if the cell counts double, else 0."""
        return Doubler(cell)

    def value(self, cell: Cell) -> Variable:
        """The variable for what the cell counts in sums and comparisons."""
        return CellValue(cell) if self.counting else cell

    def values(self, cells: Sequence[Cell]) -> tuple[Variable, ...]:
        """The value variables of several cells."""
        return tuple(self.value(cell) for cell in cells)

    def mark(self, cell: Cell) -> Variable:
        """The variable for both the cell's digit and value; read it with ``read``."""
        return CellMark(cell) if self.counting else cell

    @cached_property
    def marks(self) -> tuple[int, ...]:
        """The numbers that a mark can be."""
        return self.counting.marks if self.counting else self.canvas.digits

    def read(self, mark: int) -> tuple[int, int]:
        """The digit and the value behind a mark; NO_VALUE if the cell has no value."""
        if self.counting is None:
            return mark, mark
        return self.counting.digit(mark), self.counting.value(mark)

    @cached_property
    def value_domain(self) -> tuple[int, ...]:
        """The numbers that a cell's value can be."""
        return self.counting.value_domain if self.counting else self.canvas.digits

    @cached_property
    def domains(self) -> dict[Variable, tuple[int, ...]]:
        """Every variable with the numbers it can be, cells first in reading order."""
        cells = self.canvas.digit_cells
        domains: dict[Variable, tuple[int, ...]] = dict.fromkeys(cells, self.canvas.digits)
        if self.doublers:
            domains |= {self.doubler(cell): (0, 1) for cell in cells}
        domains |= {Letter(name): numbers for name, numbers in self.letters.items()}
        domains |= self.layered
        if self.counting:
            domains |= {self.mark(cell): self.marks for cell in cells}
            domains |= {self.value(cell): self.value_domain for cell in cells}
        return domains

    @cached_property
    def shown(self) -> tuple[Variable, ...]:
        """The variables that make a solution: cells, doublers, letters, those of layers."""
        doublers = [self.doubler(cell) for cell in self.canvas.cells] if self.doublers else []
        letters = (Letter(name) for name in self.letters)
        return (*self.canvas.digit_cells, *doublers, *letters, *self.layered)

    @cached_property
    def place(self) -> dict[Variable, int]:
        """The place of each shown variable in a solution."""
        return {variable: number for number, variable in enumerate(self.shown)}

    def definitions(self) -> tuple[Constraint, ...]:
        """The constraints that tie marks and values to digits; always on, part of no premise."""
        return tuple(self.counting.definitions(self.canvas.cells)) if self.counting else ()

    def doubler_parts(self) -> list[Part]:
        """One doubler in each house, and no digit on two doublers of a grid."""
        one = frozenset({1})
        parts = [
            Part(
                f"one doubler in {house.name}",
                Count(tuple(self.doubler(cell) for cell in house.cells), one, one),
            )
            for house in self.canvas.houses
        ]
        counting = doubling(self.canvas.digits)
        for grid in self.canvas.grids:
            marks = tuple(self.mark(cell) for cell in grid.cells)
            for digit in self.canvas.digits:
                once = Count(marks, frozenset({counting.mark(digit, 1)}), frozenset({0, 1}))
                parts.append(Part(f"at most one doubler holds {digit}", once))
        return parts

    def total(
        self,
        cells: Sequence[Cell],
        relation: Relation,
        clue: int | str,
        *,
        distinct: bool = False,
    ) -> tuple[Constraint, ...]:
        """State that the cells' values total ``relation`` the clue, a number or a letter.

        With ``distinct`` the cells also hold different digits; that is one constraint where digits
        are values, and two if they are not.
        """
        variables = self.values(cells)
        if isinstance(clue, str):
            letter = (*variables, Letter(clue))
            total = Sum(letter, relation, 0, (1,) * len(cells) + (-1,))
        elif distinct and not self.counting:
            return (Sum(variables, relation, clue, distinct=True),)
        else:
            total = Sum(variables, relation, clue)
        return (AllDifferent(tuple(cells)), total) if distinct else (total,)


def each_once(canvas: Canvas, cells: Sequence[Cell]) -> Constraint:
    """State that no digit is in two of the cells; that is each once if they are enough."""
    if canvas.is_full(cells):
        return Permutation(tuple(cells), frozenset(canvas.digits))
    return AllDifferent(tuple(cells))


@dataclass(frozen=True)
class Filled:
    """A board with every cell and unknown filled in, as rules read it in plain Python."""

    board: Board
    numbers: Mapping[Variable, int]

    def __getitem__(self, cell: Cell) -> int:
        """The digit in a cell."""
        return self.numbers[cell]

    def digits(self, cells: Sequence[Cell]) -> list[int]:
        """The digits in several cells."""
        return [self.numbers[cell] for cell in cells]

    def value(self, cell: Cell) -> int:
        """The value of the cell in sums and comparisons; NO_VALUE if it has none."""
        counting, digit = self.board.counting, self.numbers[cell]
        if counting is None:
            return digit
        number = self.numbers[counting.beside(cell)]
        return next((one.of(digit) for one in counting.said if one.number == number), digit)

    def values(self, cells: Sequence[Cell]) -> list[int]:
        """The values of several cells."""
        return [self.value(cell) for cell in cells]

    def number(self, clue: int | str) -> int:
        """The number a clue stands for, its letter looked up."""
        return self.numbers[Letter(clue)] if isinstance(clue, str) else clue
