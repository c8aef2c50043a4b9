"""Shared by rules on layers: the layer they name, and counts that are numbers, letters or digits."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import Annotated, ClassVar

from pydantic import Field, PlainSerializer, PlainValidator, WithJsonSchema

from gridassay.encodings.board import Board, Filled
from gridassay.encodings.constraints import AllOf, AnyOf, Constraint, In, Letter, Variable
from gridassay.encodings.grid import Canvas, Cell
from gridassay.encodings.layers.base import Layer
from gridassay.encodings.layers.shading import Shading
from gridassay.encodings.rules.base import (
    Rule,
    RuleError,
    Shape,
    distinct_cells,
    length_between,
    listing,
    spell,
)
from gridassay.encodings.variables import Shade
from gridassay.encodings.wording import reach

_DIGIT_OF = re.compile(r"digit of [rR](\d{1,3})[cC](\d{1,3})")


def _read_amount(given: object) -> object:
    if isinstance(given, Cell):
        return given
    if isinstance(given, list | tuple):
        if len(given) != 2 or not all(type(one) is int for one in given):
            raise ValueError("a range is two whole numbers, [least, most]")
        if given[0] > given[1]:
            raise ValueError(f"least is above most in [{given[0]}, {given[1]}]")
        return tuple(given)
    if type(given) is int:
        return given
    if isinstance(given, str):
        if match := _DIGIT_OF.fullmatch(given.strip()):
            return Cell(int(match[1]), int(match[2]))
        if not re.fullmatch(r"[A-Za-z][A-Za-z0-9_]*", given) or given == "digit":
            raise ValueError(f"{given!r} is not a number, a letter or 'digit of r1c1'")
        return given
    raise ValueError("this must be a number, a letter, [least, most] or 'digit of r1c1'")


Amount = Annotated[
    int | str | tuple[int, int],
    PlainValidator(_read_amount),
    PlainSerializer(lambda given: f"digit of {given}" if isinstance(given, Cell) else given),
    WithJsonSchema(
        {
            "anyOf": [
                {"type": "integer"},
                {"type": "string"},
                {"type": "array", "items": {"type": "integer"}, "minItems": 2, "maxItems": 2},
            ],
            "description": "a number, a letter, [least, most], or 'digit of r1c1'",
        }
    ),
]
"""How many: a number, a letter that stands for one, a range, or the digit of a cell (held as a Cell)."""


def amount_words(amount: int | str | tuple[int, int]) -> str:
    """An amount as it is written next to a rule: ``3``, ``A``, ``2 to 4``, ``the digit of r1c1``."""
    if isinstance(amount, Cell):
        return f"the digit of {amount}"
    if isinstance(amount, tuple):
        return f"{amount[0]} to {amount[1]}"
    return str(amount)


def amount_sign(amount: int | str | tuple[int, int]) -> str:
    """An amount as it is drawn in little room: ``3``, ``2 to 4``, ``=r1c1``."""
    return f"={amount}" if isinstance(amount, Cell) else amount_words(amount)


def amount_check(board: Board, amount: int | str | tuple[int, int]) -> None:
    """Raise RuleError if the amount is the digit of a cell that has none."""
    if isinstance(amount, Cell):
        if not board.canvas.digits:
            raise RuleError("there are no digits on this canvas", key="count")
        if amount not in board.canvas.index:
            raise RuleError(f"{amount} is not on the canvas", key="count")


def amount_letters(amount: int | str | tuple[int, int], most: int) -> Mapping[str, tuple[int, int]]:
    """The letter in an amount, with the numbers it could be."""
    return {amount: (0, most)} if isinstance(amount, str) else {}


def amount_is(filled: Filled, amount: int | str | tuple[int, int], number: int) -> bool:
    """Whether a number is the amount on a full board."""
    if isinstance(amount, Cell):
        return filled[amount] == number
    if isinstance(amount, tuple):
        return amount[0] <= number <= amount[1]
    return filled.number(amount) == number


def amount_stated(
    board: Board,
    amount: int | str | tuple[int, int],
    most: int,
    being: Callable[[frozenset[int]], Constraint],
) -> Constraint:
    """State that a number from 0 to ``most`` is the amount; ``being`` says that it is one of some."""
    if isinstance(amount, int):
        return being(frozenset({amount}))
    if isinstance(amount, tuple) and not isinstance(amount, Cell):
        return being(frozenset(range(amount[0], amount[1] + 1)))
    variable: Variable = amount if isinstance(amount, Cell) else Letter(amount)
    options = []
    for number in board.domains[variable]:
        alone = frozenset({number})
        if 0 <= number <= most:
            options.append(AllOf((In(variable, alone), being(alone))))
    return AnyOf(tuple(options))


class OnLayer(Rule):
    """Base of the rules about a layer, which they name."""

    layer: str = Field(description="the layer it speaks of")

    needs_digits: ClassVar[bool] = False
    on_kinds: ClassVar[tuple[type[Layer], ...]]
    """The kinds of layer that it may speak of."""

    def of_layers(self) -> tuple[str, ...]:
        """The layer that it names."""
        return (self.layer,)

    def own_layer(self, board: Board) -> Layer:
        """Its layer. Raises RuleError if there is no layer of that name, or if it is of another kind."""
        return layer_of(board, self.layer, self.on_kinds, self.kind)

    def place(self) -> str:
        """Its layer and its place."""
        return " ".join(filter(None, (self.layer, super().place())))

    def site(self) -> str:
        """Its cells, a long straight run by its ends; its name says the layer."""
        cells = self.where()
        run = reach(cells)
        return f"from {run}" if run != spell(cells) else run

    def check(self, board: Board) -> None:
        """Raise RuleError unless there is such a layer and the cells are on the canvas."""
        self.own_layer(board)
        super().check(board)


def layer_of(
    board: Board, name: str, kinds: tuple[type[Layer], ...], rule: str, key: str = "layer"
) -> Layer:
    """A layer by name. Raises RuleError if there is none, or if the rule is not for its kind."""
    found = board.layer(name)
    if found is None:
        there = listing([layer.name for layer in board.layers], "and")
        beside = f"there is only {there}" if there else "the puzzle has none"
        raise RuleError(f"there is no layer {name!r}: {beside}", key=key)
    if not isinstance(found, kinds):
        wanted = listing([kind.called for kind in kinds], "or")
        raise RuleError(f"{rule} needs {wanted}, but {name} is {found.called}", key=key)
    return found


class Marked:
    """For rules on a layer that list cells, none twice: their place, and their check."""

    cells: tuple[Cell, ...]
    fewest: ClassVar[int] = 1

    def where(self) -> tuple[Cell, ...]:
        """Its cells."""
        return self.cells

    def check(self, board: Board) -> None:
        """There are enough cells, none twice."""
        super().check(board)  # type: ignore[misc]
        length_between(self.cells, self.fewest)
        distinct_cells(self.cells)


class AtOneCell:
    """For rules on a layer about one cell."""

    cell: tuple[Cell, ...]

    def where(self) -> tuple[Cell, ...]:
        """Its cell."""
        return self.cell

    def check(self, board: Board) -> None:
        """One cell."""
        super().check(board)  # type: ignore[misc]
        if len(self.cell) != 1:
            raise RuleError("cell must be one cell", key="cell")


class WithCount:
    """For rules on a layer with a ``count``: its range, and its constraint."""

    count: int | str | tuple[int, int]

    def most(self, board: Board) -> int:
        """The greatest number that can be counted."""
        raise NotImplementedError

    def check(self, board: Board) -> None:
        """If the count is the digit of a cell, that cell has one."""
        super().check(board)  # type: ignore[misc]
        amount_check(board, self.count)

    def letters(self, board: Board) -> Mapping[str, tuple[int, int]]:
        """The letter that stands for the number."""
        return amount_letters(self.count, self.most(board))

    def after_sign(self) -> str:
        """The end of a sentence that explains a number drawn as the digit of a cell; else nothing."""
        return (
            "; = and a cell stand for the digit of that cell"
            if isinstance(self.count, Cell)
            else ""
        )

    def count_constraint(
        self, board: Board, being: Callable[[frozenset[int]], Constraint]
    ) -> Constraint:
        """The number is the one meant; ``being`` says that the number is one of several."""
        return amount_stated(board, self.count, self.most(board), being)


class OnShading(OnLayer):
    """Base of the rules about one value of a shading."""

    value: str | int = Field(description="one of the layer's values")

    on_kinds: ClassVar[tuple[type[Layer], ...]] = (Shading,)

    def cells_called(self, one: bool = False) -> str:
        """Words for cells of its value: ``deep cells``, ``cells shaded 2``; for ``one`` of them."""
        cells = "cell" if one else "cells"
        return (
            f"{cells} shaded {self.value}"
            if isinstance(self.value, int)
            else f"{self.value} {cells}"
        )

    def shading(self, board: Board) -> Shading:
        """Its layer."""
        found = self.own_layer(board)
        assert isinstance(found, Shading)
        return found

    def number(self, board: Board) -> int:
        """The number that stands for its value. Raises RuleError if there is no such value."""
        try:
            return self.shading(board).number(self.value)
        except RuleError as error:
            raise RuleError(str(error), key="value") from None

    def check(self, board: Board) -> None:
        """The layer also has the value."""
        super().check(board)
        self.number(board)

    def place(self) -> str:
        """Its layer, its value and its place."""
        rest = Rule.place(self)
        return " ".join(filter(None, (self.layer, str(self.value), rest)))

    def at(self, board: Board, cells: Iterable[Cell]) -> tuple[Shade, ...]:
        """The variables of some cells."""
        return tuple(map(self.shading(board).at, cells))

    def has(self, board: Board, cell: Cell, inside: bool = True) -> In:
        """A cell has the value, or does not have it."""
        return In(self.shading(board).at(cell), frozenset({self.number(board)}), inside)

    def cells_with(self, filled: Filled) -> set[Cell]:
        """The cells that have the value on a full board."""
        board = filled.board
        number, shading = self.number(board), self.shading(board)
        return {c for c in board.canvas.cells if filled.numbers[shading.at(c)] == number}

    def groups_of(self, filled: Filled) -> list[set[Cell]]:
        """Its groups on a full board, by plain search."""
        return groups_among(filled.board.canvas, self.cells_with(filled))

    def shapes(self, board: Board) -> Iterator[Shape]:
        """Only its sentence."""
        yield Shape("grid")


def groups_among(canvas: Canvas, cells: set[Cell]) -> list[set[Cell]]:
    """The orthogonally connected groups of cells."""
    left, groups = set(cells), []
    while left:
        group = {left.pop()}
        waiting = list(group)
        while waiting:
            for other in canvas.neighbours(waiting.pop()):
                if other in left:
                    left.remove(other)
                    group.add(other)
                    waiting.append(other)
        groups.append(group)
    return groups
