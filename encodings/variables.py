"""The variables of a solution: each has whole numbers for values and knows how it is written.

A cell's value is its digit; an *unknown* is a letter of the puzzle, or a value behind a digit. The
other variables belong to layers: the value of a shading at a cell; a link of a loop or path between
two cells; an edge of a border loop, on one side of a cell; whether two neighbours lie in one
region. The numbers of a shading stand for words if it has words, and the rest are 1 for yes and
0 for no.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Literal, NamedTuple

from gridassay.encodings.grid import Cell


class Letter(NamedTuple):
    """A letter of the puzzle, which stands for a whole number that the solver finds."""

    name: str

    def __str__(self) -> str:
        return self.name


class Doubler(NamedTuple):
    """Whether a cell counts double: 1 if it does, else 0.

    ``what`` is always the same; it keeps the variables of one cell from being equal to each other.
    """

    cell: Cell
    what: Literal["doubler"] = "doubler"

    def __str__(self) -> str:
        return f"doubler {self.cell}"


class CellValue(NamedTuple):
    """The value of a cell in sums and comparisons, if it is not the cell's digit."""

    cell: Cell
    what: Literal["value"] = "value"

    def __str__(self) -> str:
        return f"value {self.cell}"


class CellMark(NamedTuple):
    """A cell's digit and whether it is a doubler in one number (``Board.read``)."""

    cell: Cell
    what: Literal["mark"] = "mark"

    def __str__(self) -> str:
        return f"mark {self.cell}"


class Shade(NamedTuple):
    """The value of a shading at a cell; ``words`` are its values' names if they are not numbers."""

    layer: str
    cell: Cell
    words: tuple[str, ...] = ()

    def __str__(self) -> str:
        return f"{self.layer} {self.cell}"


class Link(NamedTuple):
    """Whether a loop or path runs between two neighbouring cells, the earlier one first."""

    layer: str
    first: Cell
    second: Cell

    @property
    def place(self) -> str:
        """The two cells, as a file has them."""
        return f"{self.first}-{self.second}"

    def __str__(self) -> str:
        return f"{self.layer} {self.place}"


Side = Literal["top", "left", "right", "bottom"]


class Edge(NamedTuple):
    """Whether a border loop runs along a line of the grid, named by the cell or cells beside it.

    ``beyond`` is the cell on the other side, right or below, or the side of ``cell`` if there is
    none.
    """

    layer: str
    cell: Cell
    beyond: Cell | Side

    @property
    def place(self) -> str:
        """The line between two cells, or beside one, as a file has it."""
        return f"{self.cell}|{self.beyond}"

    def __str__(self) -> str:
        return f"{self.layer} {self.place}"


class Together(NamedTuple):
    """Whether two neighbouring cells lie in one region of a layer, the earlier one first."""

    layer: str
    first: Cell
    second: Cell
    regions: Literal[True] = True

    @property
    def place(self) -> str:
        """The two cells, as a file has them."""
        return f"{self.first}-{self.second}"

    def __str__(self) -> str:
        return f"{self.layer} {self.place}"


Layered = Shade | Link | Edge | Together
"""The variables of layers."""

Unknown = Letter | Doubler | CellValue | CellMark | Layered
"""A variable that is not a cell's digit."""

Variable = Cell | Unknown
Values = Mapping[Variable, int]


def word(variable: Variable, value: int) -> str | int:
    """A value as it is listed by itself: a layer's in words, any other as its number."""
    if isinstance(variable, Shade):
        return variable.words[value] if variable.words else value
    if isinstance(variable, Link | Edge):
        return "on" if value else "off"
    if isinstance(variable, Together):
        return "together" if value else "apart"
    return value


def value_text(variable: Variable, value: int) -> str:
    """That a variable has a value: ``r1c1=5``, ``water r1c1=deep``, ``cruise not r1c1-r1c2``."""
    if isinstance(variable, Link | Edge):
        return f"{variable.layer} {'' if value else 'not '}{variable.place}"
    if isinstance(variable, Together):
        sign = "=" if value else "|"
        return f"{variable.layer} {variable.first}{sign}{variable.second}"
    return f"{variable}={word(variable, value)}"


def image_of(
    variable: Variable,
    image: Mapping[Cell, Cell],
    direction: Callable[[int, int], tuple[int, int]] | None = None,
) -> Variable | None:
    """The variable that replaces another when the cells move to their images.

    None for a line at the rim while it is not known where a direction (rows down, columns right)
    points afterwards, and for a variable without a place.
    """
    if isinstance(variable, Cell):
        return image[variable]
    if isinstance(variable, Shade | Doubler):
        return variable._replace(cell=image[variable.cell])
    if isinstance(variable, Link | Together):
        first, second = sorted((image[variable.first], image[variable.second]))
        return variable._replace(first=first, second=second)
    if isinstance(variable, Edge) and isinstance(variable.beyond, Cell):
        cell, beyond = sorted((image[variable.cell], image[variable.beyond]))
        return Edge(variable.layer, cell, beyond)
    if isinstance(variable, Edge) and direction is not None:
        out = direction(*_OUT[variable.beyond])
        side = next(side for side, way in _OUT.items() if way == out)
        return Edge(variable.layer, image[variable.cell], side)
    return None


_OUT: dict[Cell | Side, tuple[int, int]] = {
    "top": (-1, 0),
    "left": (0, -1),
    "right": (0, 1),
    "bottom": (1, 0),
}


class Fact(NamedTuple):
    """A variable has a value: a given, or anything assumed for one question."""

    variable: Variable
    value: int

    def __str__(self) -> str:
        return value_text(self.variable, self.value)


def denial_text(variable: Variable, value: int) -> str:
    """A variable does not have a value: ``r1c1≠5``, ``water r1c1≠deep``."""
    if isinstance(variable, Link | Edge | Together):
        return value_text(variable, 1 - value)
    return f"{variable}≠{word(variable, value)}"
