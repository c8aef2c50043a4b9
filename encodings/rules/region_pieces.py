"""Lines that regions to be found cut into pieces with the same total."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from gridassay.encodings.board import Board, Filled, Part
from gridassay.encodings.constraints import AnyOf, Constraint, In
from gridassay.encodings.grid import Cell
from gridassay.encodings.groups import Joined
from gridassay.encodings.layers.base import are_neighbours
from gridassay.encodings.layers.regions import Regions
from gridassay.encodings.rules.base import spell
from gridassay.encodings.rules.totals import comparison

Cells = Sequence[Cell]


def pieces(filled: Filled, layer: Regions, cells: Cells, *, closed: bool) -> list[list[Cell]]:
    """The pieces on a full board, in order; of a closed line the last may go on into the first."""
    canvas, values = filled.board.canvas, filled.numbers
    number = layer.region_of(canvas, values)

    def same(one: Cell, other: Cell) -> bool:
        if are_neighbours(one, other):
            return values[layer.together(one, other)] == 1
        return number[one] == number[other]

    found = [[cells[0]]]
    for before, cell in pairwise(cells):
        if same(before, cell):
            found[-1].append(cell)
        else:
            found.append([cell])
    if closed and len(found) > 1 and same(cells[-1], cells[0]):
        found[0] = found.pop() + found[0]
    return found


def equal_pieces(board: Board, layer: Regions, cells: Cells, *, closed: bool) -> Iterator[Part]:
    """One part for any two pieces that may follow each other: if they do, their totals are equal."""
    canvas = board.canvas
    graph, size = layer.graph(canvas), len(cells)

    def same(place: int) -> Constraint:
        """A cell of the line and the next one lie in one region."""
        one, other = cells[place % size], cells[(place + 1) % size]
        if are_neighbours(one, other):
            return In(layer.together(one, other), frozenset({1}))
        return Joined(graph, canvas.index[one], canvas.index[other])

    for start in range(size):
        for first in range(1, size):
            for second in range(1, size - first + 1):
                end = start + first + second
                if (not closed and end > size) or (
                    closed and first + second == size and start + first >= size
                ):
                    continue
                cuts = {start - 1, start + first - 1, end - 1}
                inside = set(range(start, end - 1)) - cuts
                if not closed:
                    cuts -= {-1, size - 1}
                unless = [same(place) for place in sorted(cuts)]
                unless += [same(place).negated() for place in sorted(inside)]
                one = [cells[place % size] for place in range(start, start + first)]
                other = [cells[place % size] for place in range(start + first, end)]
                label = f"region-sum {spell(one)} = {spell(other)}"
                yield Part(label, AnyOf((*unless, comparison(board, one, "==", other))))
