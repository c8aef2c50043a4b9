"""Rules about regions to be found: cells in one region, sizes as digits, totals."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from itertools import combinations
from typing import ClassVar, Literal

from pydantic import Field

from gridassay.encodings.board import Board, Filled, Part
from gridassay.encodings.constraints import AllOf, AnyOf, Compare, In, Letter, Variable
from gridassay.encodings.grid import Cell
from gridassay.encodings.groups import GroupSize, Joined
from gridassay.encodings.layers.base import Layer, neighbour_pairs
from gridassay.encodings.layers.regions import Regions
from gridassay.encodings.on_graphs import GroupTotal
from gridassay.encodings.rules.base import Cells, Clue, RuleError, Shape
from gridassay.encodings.rules.layered import Marked, OnLayer


class OnRegions(OnLayer):
    """Base of the rules about regions to be found."""

    on_kinds: ClassVar[tuple[type[Layer], ...]] = (Regions,)

    def regions(self, board: Board) -> Regions:
        """Its layer."""
        found = self.own_layer(board)
        assert isinstance(found, Regions)
        return found

    def region_of(self, filled: Filled) -> dict[Cell, int]:
        """The number of each cell's region on a full board, by plain search."""
        layer = self.regions(filled.board)
        return layer.region_of(filled.board.canvas, filled.numbers)

    def shapes(self, board: Board) -> Iterator[Shape]:
        """Only its sentence."""
        yield Shape("grid")


class OneRegion(Marked, OnRegions):
    """The cells lie in one region; with `together = false`, no two of them do.

    Example: `kind = "one-region"`, `layer = "parishes"`, `cells = "r1c1 r3c2"`.
    """

    kind: Literal["one-region"] = "one-region"
    cells: Cells
    joined: bool = Field(
        default=True, alias="together", description="false: no two of them lie in one region"
    )

    fewest: ClassVar[int] = 2
    sentence: ClassVar[str] = "The marked cells lie in one region."

    @property
    def spoken(self) -> str:
        """Its name in steps: ``parishes line``."""
        return f"{self.layer} line"

    def wording(self) -> str:
        """The sentence: one region, or all different ones."""
        if self.joined:
            return f"The cells that are joined by a line lie in one region ({self.layer})."
        return f"No two of the cells that are joined by a line lie in one region ({self.layer})."

    def holds(self, filled: Filled) -> bool:
        """The cells have one region, or all different ones."""
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

    @property
    def spoken(self) -> str:
        """Its name in steps: ``size digits of the parishes``."""
        return f"size digits of the {self.layer}"

    def wording(self) -> str:
        """Both halves."""
        return (
            f"Each digit is the size of its region ({self.layer}); two regions of the same size never "
            "share a side."
        )

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
        """One part per cell and per two neighbours, who are together exactly if their digits agree."""
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


class RegionTotal(OnRegions):
    """The region with the cell has that total; every region, if no cell is named.

    `total` is a number or a letter.

    Example: `kind = "region-total"`, `layer = "parishes"`, `cell = "r1c1"`, `total = 12`.
    """

    kind: Literal["region-total"] = "region-total"
    cell: Cells | None = None
    total: Clue

    needs_digits: ClassVar[bool] = True
    sentence: ClassVar[str] = "Each region has the total given."

    @property
    def spoken(self) -> str:
        """Its name in steps: ``total of the parishes``."""
        return f"total of the {self.layer}"

    def wording(self) -> str:
        """One region by the number in a cell, or all by their number."""
        if self.cell is None:
            return f"The digits in each region ({self.layer}) total {self.total}."
        return f"A number in a cell is the total of the digits in its region ({self.layer})."

    def where(self) -> tuple[Cell, ...]:
        """Its cell, if it has one."""
        return self.cell or ()

    def place(self) -> str:
        """Its layer, its cell and the total."""
        return " ".join([*filter(None, (super().place(),)), str(self.total)])

    def sign(self) -> str:
        """The total written in the cell."""
        return "" if self.cell is None else str(self.total)

    def check(self, board: Board) -> None:
        """One cell at most."""
        super().check(board)
        if self.cell is not None and len(self.cell) != 1:
            raise RuleError("cell must be one cell", key="cell")

    def letters(self, board: Board) -> Mapping[str, tuple[int, int]]:
        """The letter that stands for the total."""
        if not isinstance(self.total, str):
            return {}
        layer, canvas = self.regions(board), board.canvas
        most = max(layer.all_sizes(canvas) or (len(canvas.cells),))
        if layer.houses:
            most = min(most, len(canvas.digits))
        low, high = board.value_domain[0], board.value_domain[-1]
        return {self.total: (min(low, most * low), max(high, most * high))}

    def holds(self, filled: Filled) -> bool:
        """The digits of each region in question are added up."""
        number, cells = self.region_of(filled), filled.board.canvas.cells
        meant = set(number.values()) if self.cell is None else {number[self.cell[0]]}
        wanted = filled.number(self.total)
        return all(
            sum(filled.values([cell for cell in cells if number[cell] == one])) == wanted
            for one in meant
        )

    def parts(self, board: Board) -> Iterator[Part]:
        """One part."""
        canvas, cells = board.canvas, board.canvas.cells
        totals: frozenset[int] | Variable = (
            Letter(self.total) if isinstance(self.total, str) else frozenset({self.total})
        )
        node = None if self.cell is None else canvas.index[self.cell[0]]
        rising = board.value_domain[0] >= 0
        graph = self.regions(board).graph(canvas)
        total = GroupTotal(graph, board.values(cells), totals, node, rising)
        whole = "each region" if self.cell is None else f"region at {self.cell[0]}"
        yield Part(f"{self.layer}: {whole} totals {self.total}", total)

    def shapes(self, board: Board) -> Iterator[Shape]:
        """The number in its cell; only its sentence if all regions are meant."""
        if self.cell is None:
            yield Shape("grid")
        else:
            yield Shape("cell mark", self.cell, str(self.total))
