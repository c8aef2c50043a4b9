"""Regions to be found: every cell belongs to one orthogonally connected region."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Mapping
from typing import Annotated, ClassVar, Literal

from pydantic import BeforeValidator, Field

from gridassay.encodings.board import Board, Filled, Part
from gridassay.encodings.errors import RuleError
from gridassay.encodings.graphs import Graph, Way
from gridassay.encodings.grid import Canvas, Cell
from gridassay.encodings.groups import GroupSizes, Joined, Separated
from gridassay.encodings.layers.base import Layer, are_neighbours, neighbour_pairs, read_cell
from gridassay.encodings.layers.lines import Texts
from gridassay.encodings.notation import listing
from gridassay.encodings.on_graphs import DifferWithin
from gridassay.encodings.variables import Fact, Together, Values, Variable

_NAMES = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ"


def _sizes(given: object) -> object:
    if given == "free":
        return given
    if type(given) is int and given >= 1:
        return given
    if isinstance(given, list | tuple) and given and all(type(n) is int and n >= 1 for n in given):
        return tuple(given)
    raise ValueError('this must be a size of 1 or more, an array of sizes, or "free"')


class Regions(Layer):
    """Every cell belongs to one region, connected by sides.

    `sizes` is the size of all, an array of them, or `"free"`. `houses = true`: each region holds no
    digit twice (each digit once if it is as large). `givens` lists cells in one region,
    `r1c1=r1c2`, and in two, `r1c1|r2c1`.
    """

    kind: Literal["regions"] = "regions"
    sizes: Annotated[int | tuple[int, ...] | Literal["free"], BeforeValidator(_sizes)] = Field(
        description='of all regions, an array of them, or "free"'
    )
    houses: bool = Field(default=False, description="each region holds no digit twice")
    givens: Texts = Field(default=(), description='"r1c1=r1c2" (one region) or "r1c1|r2c1" (two)')

    called: ClassVar[str] = "a layer of regions"

    @property
    def binds_digits(self) -> bool:
        """Regions that hold no digit twice do."""
        return self.houses

    def together(self, one: Cell, other: Cell) -> Together:
        """The variable of two neighbours."""
        first, second = sorted((one, other))
        return Together(self.name, first, second)

    def all_sizes(self, canvas: Canvas) -> tuple[int, ...] | None:
        """The sizes of all regions; None if they are free."""
        if isinstance(self.sizes, int):
            return (self.sizes,) * (len(canvas.cells) // self.sizes)
        return None if self.sizes == "free" else tuple(self.sizes)

    def check(self, canvas: Canvas) -> None:
        """Sizes divide or add up; houses need digits."""
        cells = len(canvas.cells)
        if isinstance(self.sizes, int) and cells % self.sizes:
            raise RuleError(
                f"{cells} cells do not divide into regions of {self.sizes}", key="sizes"
            )
        if isinstance(self.sizes, tuple) and sum(self.sizes) != cells:
            raise RuleError(f"sizes add up to {sum(self.sizes)}, not to {cells} cells", key="sizes")
        if self.houses and not canvas.digits:
            raise RuleError("houses = true needs digits, but there are none here", key="houses")

    def variables(self, canvas: Canvas) -> Mapping[Variable, tuple[int, ...]]:
        """One variable per pair of neighbours."""
        return {self.together(*pair): (0, 1) for pair in neighbour_pairs(canvas)}

    def graph(self, canvas: Canvas) -> Graph:
        """Cells that are always in; ways that are open between two of one region."""
        index = canvas.index
        ways = (Way(index[a], index[b], self.together(a, b)) for a, b in neighbour_pairs(canvas))
        return Graph((None,) * len(canvas.cells), tuple(ways))

    def _read_given(self, canvas: Canvas, text: str) -> tuple[Cell, Cell, bool]:
        sign = "=" if "=" in text else "|"
        first, found, second = text.partition(sign)
        if not found:
            raise RuleError(
                f"{text!r} is not two cells such as r1c1=r1c2 or r1c1|r2c1", key="givens"
            )
        one, other = read_cell(first, canvas, text), read_cell(second, canvas, text)
        if one == other:
            raise RuleError(f"{text!r}: {one} is listed twice", key="givens")
        return one, other, sign == "="

    def facts(self, canvas: Canvas) -> tuple[Fact, ...]:
        """The givens about neighbours; other givens are parts of the layer."""
        facts = []
        for text in self.givens:
            one, other, same = self._read_given(canvas, text)
            variable = self.together(one, other)
            if variable in self.variables(canvas):
                facts.append(Fact(variable, int(same)))
        return tuple(facts)

    def far(self, canvas: Canvas) -> Iterator[tuple[str, Cell, Cell, bool]]:
        """The givens about cells that are not neighbours."""
        own = self.variables(canvas)
        for text in self.givens:
            one, other, same = self._read_given(canvas, text)
            if self.together(one, other) not in own:
                yield text, one, other, same

    def givens_of(self, canvas: Canvas, values: Values) -> list[str]:
        """The pairs of neighbours for which it is known, and the givens about other cells."""
        known = [
            f"{one.first}{'=' if values[one] else '|'}{one.second}"
            for one in self.variables(canvas)
            if one in values and isinstance(one, Together)
        ]
        return known + [text for text, *_ in self.far(canvas)]

    def parts(self, board: Board) -> Iterator[Part]:
        """Regions, their sizes, no digit twice in each."""
        canvas, graph = board.canvas, self.graph(board.canvas)
        yield Part(f"{self.name}: regions", Separated(graph))
        sizes = self.all_sizes(canvas)
        if sizes is not None:
            yield Part(f"{self.name}: sizes", GroupSizes(graph, sizes))
        if self.houses:
            for digit in canvas.digits:
                within = DifferWithin(graph, tuple(canvas.cells), digit)
                yield Part(
                    f"{self.name}: no digit twice in a region: {canvas.symbols[digit]}", within
                )
        for text, one, other, same in self.far(canvas):
            said = Joined(graph, canvas.index[one], canvas.index[other], stated=same)
            yield Part(f"{self.name} {text}", said)

    def regions(self, canvas: Canvas, values: Values) -> list[list[Cell]]:
        """The regions, in the order of their first cells."""
        left, found = dict.fromkeys(canvas.cells), []
        while left:
            first = next(iter(left))
            del left[first]
            region = [first]
            for cell in region:
                for other in canvas.neighbours(cell):
                    if other in left and values.get(self.together(cell, other)) == 1:
                        del left[other]
                        region.append(other)
            found.append(region)
        return found

    def region_of(self, canvas: Canvas, values: Values) -> dict[Cell, int]:
        """The number of each cell's region, from 0."""
        regions = enumerate(self.regions(canvas, values))
        return {cell: number for number, region in regions for cell in region}

    def holds(self, filled: Filled) -> bool:
        """Neighbours of one region are together, sizes are those listed, digits differ."""
        canvas, values = filled.board.canvas, filled.numbers
        regions, number = self.regions(canvas, values), self.region_of(canvas, values)
        for one, other in neighbour_pairs(canvas):
            if (number[one] == number[other]) is not (values[self.together(one, other)] == 1):
                return False
        sizes = self.all_sizes(canvas)
        if sizes is not None and Counter(sizes) != Counter(map(len, regions)):
            return False
        if self.houses and any(len(set(filled.digits(region))) < len(region) for region in regions):
            return False
        return all(
            (number[one] == number[other]) is same for _, one, other, same in self.far(canvas)
        )

    def _letters(self, canvas: Canvas, values: Values) -> dict[Cell, str]:
        number = self.region_of(canvas, values)
        several = max(number.values()) >= len(_NAMES)
        return {cell: str(n + 1) if several else _NAMES[n] for cell, n in number.items()}

    def solution_text(self, canvas: Canvas, values: Values) -> str:
        """One letter per cell in reading order, in the order of the regions' first cells; numbers
        with spaces if there are more regions than letters.
        """
        letters = self._letters(canvas, values)
        symbols = [
            letters.get(Cell(row, column), "_")
            for row in range(1, canvas.rows + 1)
            for column in range(1, canvas.columns + 1)
        ]
        return (" " if max(map(len, symbols)) > 1 or "1" in symbols else "").join(symbols)

    def read(self, canvas: Canvas, text: str) -> tuple[Fact, ...]:
        """The neighbours with the same letter."""
        symbols = text.split() if " " in text else list(text)
        if len(symbols) != canvas.rows * canvas.columns:
            raise RuleError(
                f"{len(symbols)} symbols, but {canvas.rows} rows of {canvas.columns} are needed"
            )
        found = {
            Cell(place // canvas.columns + 1, place % canvas.columns + 1): symbol
            for place, symbol in enumerate(symbols)
        }
        return tuple(
            Fact(self.together(a, b), int(found[a] == found[b]))
            for a, b in neighbour_pairs(canvas)
            if "." not in (found[a], found[b])
        )

    def signs(self, canvas: Canvas, values: Values) -> Mapping[Cell, str]:
        """A letter for each cell's region, or, if not all is known, for cells known to be together."""
        if all(one in values for one in self.variables(canvas)):
            return self._letters(canvas, values)
        known = dict.fromkeys(canvas.cells, "·")
        regions = [region for region in self.regions(canvas, values) if len(region) > 1]
        for number, region in enumerate(regions):
            known |= dict.fromkeys(region, _NAMES[number % len(_NAMES)])
        return known

    def text(self) -> str:
        """The sentence that tells a solver what to find."""
        if isinstance(self.sizes, int):
            sizes = f" of {self.sizes} cells"
        else:
            listed = [] if self.sizes == "free" else [str(size) for size in self.sizes]
            sizes = f" of {listing(listed, 'and')} cells" if listed else ""
        digits = " No digit stands twice in a region." if self.houses else ""
        sizes = f"connected regions{sizes} ({self.name})"
        return f"Divide the grid into {sizes}.{digits}{self._givens_text()}"

    def _givens_text(self) -> str:
        """The sentences that explain the marks of its givens, and the givens that no mark can show."""
        bars = far = ""
        for text in self.givens:
            places = [Cell(int(r), int(c)) for r, c in re.findall(r"[rR](\d+)[cC](\d+)", text)]
            if len(places) == 2 and not are_neighbours(*places):
                one, other = sorted(places)
                far += (
                    f" {one} and {other} lie in {'one region' if '=' in text else 'two regions'}."
                )
            elif "=" in text:
                bars = " A short bar joins cells of one region."
        return f"{bars}{far}"
