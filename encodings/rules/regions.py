"""Rules over regions to be found: who is together, sizes as digits, totals, shapes."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from itertools import combinations
from typing import ClassVar, Literal

from pydantic import Field

from gridassay.encodings.board import Board, Filled, Part
from gridassay.encodings.constraints import AllOf, AnyOf, Compare, In
from gridassay.encodings.grid import Cell
from gridassay.encodings.groups import GroupSize, Joined
from gridassay.encodings.layers.base import Layer, neighbour_pairs
from gridassay.encodings.layers.regions import Regions
from gridassay.encodings.rules.base import (
    Cells,
    Shape,
    distinct_cells,
    length_between,
)
from gridassay.encodings.rules.layered import OnLayer


class OnRegions(OnLayer):
    """Base of the rules that speak of regions to be found."""

    on_kinds: ClassVar[tuple[type[Layer], ...]] = (Regions,)

    def regions(self, board: Board) -> Regions:
        """Its layer."""
        found = self.found(board)
        assert isinstance(found, Regions)
        return found

    def region_of(self, filled: Filled) -> dict[Cell, int]:
        """The number of each cell's region on a full board, by plain search."""
        layer = self.regions(filled.board)
        return layer.region_of(filled.board.canvas, filled.numbers)

    def shapes(self, board: Board) -> Iterator[Shape]:
        """Nothing but its sentence."""
        yield Shape("grid")


class OneRegion(OnRegions):
    """The cells lie in one region; with `together = false`, no two of them do.

    Example: `kind = "one-region"`, `layer = "parishes"`, `cells = "r1c1 r3c2"`.
    """

    kind: Literal["one-region"] = "one-region"
    cells: Cells
    joined: bool = Field(
        default=True, alias="together", description="false: no two of them lie in one region"
    )

    sentence: ClassVar[str] = "The marked cells lie in one region."

    def wording(self) -> str:
        """One region, or each another."""
        if self.joined:
            return "The cells that are joined by a line lie in one region."
        return "No two of the cells that are joined by a line lie in one region."

    def where(self) -> tuple[Cell, ...]:
        """Its cells."""
        return self.cells

    def check(self, board: Board) -> None:
        """Two cells or more, none twice."""
        super().check(board)
        length_between(self.cells, 2)
        distinct_cells(self.cells)

    def holds(self, filled: Filled) -> bool:
        """As many regions as is said."""
        number = self.region_of(filled)
        met = len({number[cell] for cell in self.cells})
        return met == (1 if self.joined else len(self.cells))

    def parts(self, board: Board) -> Iterator[Part]:
        """One part for each two cells, or each with the first."""
        graph, index = self.regions(board).graph(board.canvas), board.canvas.index
        first, *rest = self.cells
        pairs = [(first, other) for other in rest] if self.joined else combinations(self.cells, 2)
        for one, other in pairs:
            said = Joined(graph, index[one], index[other], stated=self.joined)
            word = "together" if self.joined else "apart"
            yield Part(f"{self.layer}: {one} and {other} {word}", said)

    def shapes(self, board: Board) -> Iterator[Shape]:
        """A line."""
        yield Shape("line", self.cells)


class RegionDigit(OnRegions):
    """Each cell's digit is the size of its region, and equal-sized regions do not share a side.

    Example: `kind = "region-digit"`, `layer = "parishes"`: a 3 lies in a region of three cells.
    """

    kind: Literal["region-digit"] = "region-digit"

    needs_digits: ClassVar[bool] = True
    sentence: ClassVar[str] = "Each digit is the size of its region."

    def wording(self) -> str:
        """Both halves."""
        return "Each digit is the size of its region; regions of one size do not share a side."

    def holds(self, filled: Filled) -> bool:
        """Sizes are counted; neighbours of two regions differ in size."""
        number = self.region_of(filled)
        sizes = Counter(number.values())
        canvas = filled.board.canvas
        return all(filled[cell] == sizes[number[cell]] for cell in canvas.cells) and not any(
            number[a] != number[b] and sizes[number[a]] == sizes[number[b]]
            for a, b in neighbour_pairs(canvas)
        )

    def parts(self, board: Board) -> Iterator[Part]:
        """One part a cell, one for each two neighbours: they are together exactly where digits agree."""
        layer, canvas = self.regions(board), board.canvas
        graph = layer.graph(canvas)
        for cell in canvas.cells:
            size = GroupSize(graph, canvas.index[cell], cell)
            yield Part(f"{self.layer}: digit of {cell} is the size", size)
        for one, other in neighbour_pairs(canvas):
            together = In(layer.together(one, other), frozenset({1}))
            same = Compare(one, "==", other)
            both = AllOf((AnyOf((together, same.negated())), AnyOf((together.negated(), same))))
            yield Part(f"{self.layer}: {one} {other} together if equal", both)
