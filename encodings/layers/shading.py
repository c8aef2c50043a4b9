"""Shadings: a value in every cell."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Annotated, ClassVar, Literal

from pydantic import BeforeValidator, Field

from gridassay.encodings.board import Board, Filled, Part
from gridassay.encodings.errors import RuleError
from gridassay.encodings.graphs import Graph, Node, Way
from gridassay.encodings.grid import Canvas, Cell
from gridassay.encodings.layers.base import Layer, neighbour_pairs, read_drawing
from gridassay.encodings.notation import listing
from gridassay.encodings.variables import Fact, Shade, Values, Variable


def _labels(given: object) -> object:
    if not isinstance(given, list | tuple) or not 2 <= len(given) <= 9:
        raise ValueError("these must be two to nine words, or whole numbers from 0 to 9")
    words = all(isinstance(one, str) and one[:1].isalpha() for one in given)
    numbers = all(type(one) is int and 0 <= one <= 9 for one in given)
    if not words and not numbers:
        raise ValueError("values are all words, or all whole numbers 0 to 9")
    first = [str(one)[0] for one in given]
    for place, letter in enumerate(first):
        if letter in first[:place]:
            one = given[first.index(letter)]
            if numbers or one == given[place]:
                raise ValueError(f"{given[place]} is listed twice")
            raise ValueError(f"{one} and {given[place]} begin with the same letter")
    return tuple(given)


class Shading(Layer):
    """Every cell has one of the layer's values.

    ``values`` are two to nine words whose first letters differ, or whole numbers from 0 to 9, which
    are labels. ``givens`` draws the values that are given by first letters or digits, ``.`` if the
    value is open.
    """

    kind: Literal["shading"] = "shading"
    values: Annotated[tuple[str, ...] | tuple[int, ...], BeforeValidator(_labels)] = Field(
        description="two to nine words whose first letters differ, or whole numbers 0 to 9"
    )
    givens: str = Field(default="", description="first letters or digits; '.' if it is open")

    called: ClassVar[str] = "a shading"

    @property
    def words(self) -> tuple[str, ...]:
        """The names of its values; none if they are numbers."""
        return tuple(one for one in self.values if isinstance(one, str))

    @property
    def numbers(self) -> tuple[int, ...]:
        """The numbers that stand for its values: themselves, or the places of its words."""
        if self.words:
            return tuple(range(len(self.words)))
        return tuple(sorted(one for one in self.values if isinstance(one, int)))

    def number(self, value: str | int) -> int:
        """The number that stands for a value. Raises RuleError if it has no such value."""
        known: tuple[str | int, ...] = self.values
        if value not in known or isinstance(value, bool):
            had = listing([str(one) for one in known], "or")
            raise RuleError(f"{self.name} has no value {value!r}, only {had}")
        return known.index(value) if self.words else int(value)

    def symbols(self) -> dict[str, int]:
        """The number behind each first letter or digit."""
        return {str(value)[0]: self.number(value) for value in self.values}

    def at(self, cell: Cell) -> Shade:
        """The variable of a cell."""
        return Shade(self.name, cell, self.words)

    def variables(self, canvas: Canvas) -> Mapping[Variable, tuple[int, ...]]:
        """One per cell."""
        return dict.fromkeys(map(self.at, canvas.cells), self.numbers)

    def facts(self, canvas: Canvas) -> tuple[Fact, ...]:
        """The values that are given."""
        if not self.givens.strip():
            return ()
        found = read_drawing(self.givens, canvas, "givens")
        return tuple(self._facts({c: s for c, s in found.items() if s not in "._"}))

    def _facts(self, symbols: Mapping[Cell, str]) -> Iterator[Fact]:
        known = self.symbols()
        for cell, symbol in symbols.items():
            if symbol not in known:
                raise RuleError(
                    f"{cell}: {symbol!r} is not a value of {self.name} ({' '.join(known)})",
                    key="givens",
                )
            yield Fact(self.at(cell), known[symbol])

    def parts(self, board: Board) -> Iterator[Part]:
        """Nothing beyond one value per cell, which variables have by themselves."""
        yield from ()

    def holds(self, filled: Filled) -> bool:
        """Always true."""
        return True

    def solution_text(self, canvas: Canvas, values: Values) -> str:
        """First letters or digits over the bounding rectangle, ``_`` for a hole."""
        letters = {number: symbol for symbol, number in self.symbols().items()}
        return "".join(
            letters[values[self.at(cell)]] if cell in canvas.index else "_"
            for row in range(1, canvas.rows + 1)
            for cell in (Cell(row, column) for column in range(1, canvas.columns + 1))
        )

    def givens_of(self, canvas: Canvas, values: Values) -> str:
        """Its values drawn, ``.`` if they are open."""
        signs = {cell: sign.replace("·", ".") for cell, sign in self.signs(canvas, values).items()}
        rows = (
            "".join(signs.get(Cell(row, column), "_") for column in range(1, canvas.columns + 1))
            for row in range(1, canvas.rows + 1)
        )
        return "\n".join(rows)

    def signs(self, canvas: Canvas, values: Values) -> Mapping[Cell, str]:
        """First letters or digits."""
        letters = {number: symbol for symbol, number in self.symbols().items()}
        known = {cell: values.get(self.at(cell)) for cell in canvas.cells}
        return {c: "·" if number is None else letters[number] for c, number in known.items()}

    def read(self, canvas: Canvas, text: str) -> tuple[Fact, ...]:
        """A value for every cell, or ``.`` if it is open."""
        found = read_drawing(text, canvas, self.name)
        return tuple(self._facts({c: s for c, s in found.items() if s != "."}))

    def text(self) -> str:
        """The sentence that tells a solver what to find."""
        return f"Shade each cell {listing([str(one) for one in self.values], 'or')} ({self.name})."

    def graph(self, canvas: Canvas, number: int) -> Graph:
        """Its cells, which are in if they have one value; ways between neighbours."""
        inside = frozenset({number})
        nodes = tuple(Node(self.at(cell), inside) for cell in canvas.cells)
        index = canvas.index
        return Graph(nodes, tuple(Way(index[a], index[b]) for a, b in neighbour_pairs(canvas)))
