"""Rules about the totals of runs of a loop or path: straight stretches, and visits to boxes."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise
from typing import ClassVar, Literal

from pydantic import Field

from gridassay.encodings.board import Board, Filled, Part
from gridassay.encodings.constraints import (
    AllOf,
    AnyOf,
    In,
    Letter,
)
from gridassay.encodings.grid import Canvas, Cell
from gridassay.encodings.layers.base import neighbour_pairs
from gridassay.encodings.layers.lines import OFF, ON
from gridassay.encodings.layers.loops import on_it
from gridassay.encodings.on_graphs import GroupTotal, Run, SameTotal
from gridassay.encodings.rules.base import Clue, RuleError, Shape
from gridassay.encodings.rules.loops import OnWalk


class StretchTotal(OnWalk):
    """Each straight stretch, from turn to turn, has that total.

    Both turning cells count in both stretches that meet there, and the ends of a path are ends of a
    stretch. With `by = "box"`, each visit to a box has that total instead, from the cell where the line
    enters to the cell where it leaves. `total` is a number, a letter, or `"equal"`: all have the
    same total, whatever it is.

    Example: `kind = "stretch-total"`, `layer = "cruise"`, `total = 12`.
    """

    kind: Literal["stretch-total"] = "stretch-total"
    total: Clue = Field(description='a number, a letter that stands for one, or "equal"')
    by: Literal["turn", "box"] = Field(default="turn", description="what the line is cut by")

    needs_digits: ClassVar[bool] = True
    sentence: ClassVar[str] = "Each straight stretch has the same total."

    @property
    def spoken(self) -> str:
        """Its name in steps: ``total along the cruise``."""
        return f"total along the {self.layer}"

    def wording(self) -> str:
        """The sentence, with the layer, what cuts it and the total."""
        run = "straight stretch of the {}, both ends included,"
        if self.by == "box":
            run = "visit of the {} to a box"
        run = run.format(self.layer)
        if self.total == "equal":
            return f"The digits on each {run} have the same total."
        return f"The digits on each {run} total {self.total}."

    def place(self) -> str:
        """Its layer and total."""
        return f"{self.layer} {self.total}" + (" by box" if self.by == "box" else "")

    def check(self, board: Board) -> None:
        """The grid must have boxes if totals are by box."""
        super().check(board)
        if self.by == "box":
            _boxes(board.canvas)

    def _longest(self, canvas: Canvas) -> int:
        if self.by == "box":
            return max(map(len, _boxes(canvas)))
        return max(canvas.rows, canvas.columns)

    def _reach(self, board: Board, least: int) -> tuple[int, int]:
        """The least and the greatest total of a run of at least this many cells."""
        low, high, most = (
            board.value_domain[0],
            board.value_domain[-1],
            self._longest(board.canvas),
        )
        return min(least * low, most * low), max(least * high, most * high)

    def letters(self, board: Board) -> Mapping[str, tuple[int, int]]:
        """The letter that stands for the total."""
        if not isinstance(self.total, str) or self.total == "equal":
            return {}
        return {self.total: self._reach(board, 2 if self.by == "turn" else 1)}

    def holds(self, filled: Filled) -> bool:
        """The runs are followed as far as they go."""
        runs = [run for run in self._runs(filled) if len(run) > 1 or self.by == "box"]
        if self.total != "equal":
            wanted = filled.number(self.total)
            return all(sum(filled.values(run)) == wanted for run in runs)
        # Runs that meet: at a turn, or where the line goes from box to box.
        met = (
            (one, other)
            for one in runs
            for other in runs
            if one is not other
            and (set(one) & set(other) or (self.by == "box" and self._next(filled, one, other)))
        )
        return all(sum(filled.values(one)) == sum(filled.values(other)) for one, other in met)

    def _next(self, filled: Filled, run: list[Cell], other: list[Cell]) -> bool:
        walk, near = self.walk(filled.board), filled.board.canvas.neighbours
        return any(
            there in other and filled.numbers[walk.link(here, there)] == 1
            for here in run
            for there in near(here)
        )

    def _runs(self, filled: Filled) -> Iterator[list[Cell]]:
        canvas = filled.board.canvas
        if self.by == "box":
            for box in _boxes(canvas):
                yield from self._visits(filled, box)
            return
        for down, right in ((0, 1), (1, 0)):
            for cell in canvas.cells:
                if not self._same_stretch(filled, cell, cell.step(-down, -right)):
                    run = [cell]
                    while self._same_stretch(filled, run[-1], run[-1].step(down, right)):
                        run.append(run[-1].step(down, right))
                    yield run

    def _same_stretch(self, filled: Filled, one: Cell, other: Cell) -> bool:
        there = other in filled.board.canvas.index
        return there and filled.numbers[self.walk(filled.board).link(one, other)] == 1

    def _visits(self, filled: Filled, box: tuple[Cell, ...]) -> Iterator[list[Cell]]:
        near = filled.board.canvas.neighbours
        left = [
            cell for cell in box if any(self._same_stretch(filled, cell, o) for o in near(cell))
        ]
        while left:
            run = [left.pop()]
            for cell in run:
                for other in near(cell):
                    if other in left and self._same_stretch(filled, cell, other):
                        left.remove(other)
                        run.append(other)
            yield run

    def _run(self, board: Board, cells: Sequence[Cell], cell: Cell) -> Run:
        """The cells, among some, that the line connects with a cell."""
        graph = self.walk(board).cell_graph(board.canvas, cells)
        return Run(graph, board.values(cells), list(cells).index(cell))

    def parts(self, board: Board) -> Iterator[Part]:
        """One part per possible stretch or visit; or, for equal totals, per two that may meet."""
        if self.total == "equal":
            yield from self._equal_parts(board)
        elif self.by == "turn":
            yield from self._straight_parts(board)
        else:
            totals = Letter(self.total) if isinstance(self.total, str) else frozenset({self.total})
            for box in _boxes(board.canvas):
                for place, cell in enumerate(box):
                    off = on_it(self.walk(board), board.canvas, cell).negated()
                    run = self._run(board, box, cell)
                    visit = GroupTotal(*run[:2], totals, place, board.value_domain[0] >= 0)
                    yield Part(f"visit of {self.layer} through {cell}", AnyOf((off, visit)))

    def _equal_parts(self, board: Board) -> Iterator[Part]:
        walk, canvas = self.walk(board), board.canvas
        if self.by == "box":
            box_of = {cell: box for box in _boxes(canvas) for cell in box}
            for one, other in neighbour_pairs(canvas):
                if box_of[one] != box_of[other]:
                    runs = [self._run(board, box_of[cell], cell) for cell in (one, other)]
                    either = (In(walk.link(one, other), OFF), SameTotal(runs[0], runs[1]))
                    yield Part(f"visits of {self.layer} at {one} {other}", AnyOf(either))
            return
        for cell in canvas.cells:
            level = [one for one in canvas.neighbours(cell) if one.row == cell.row]
            upright = [one for one in canvas.neighbours(cell) if one.column == cell.column]
            none = (
                AllOf(tuple(In(walk.link(cell, other), OFF) for other in arms))
                for arms in (level, upright)
            )
            runs = [self._run(board, _line(canvas, cell, move), cell) for move in ((0, 1), (1, 0))]
            label = f"stretches of {self.layer} that meet at {cell}"
            yield Part(label, AnyOf((*none, SameTotal(runs[0], runs[1]))))

    def _straight_parts(self, board: Board) -> Iterator[Part]:
        walk = self.walk(board)
        for run, beyond in _straight(board.canvas):
            links = [walk.link(*pair) for pair in pairwise(run)]
            on = [walk.link(one, run[0] if one < run[0] else run[-1]) for one in beyond]
            total = board.total(run, "==", self.total)
            other = [In(link, OFF) for link in links] + [In(link, ON) for link in on]
            label = f"stretch of {self.layer} {run[0]}..{run[-1]}"
            yield Part(label, AnyOf((*other, *total)))

    def shapes(self, board: Board) -> Iterator[Shape]:
        """Only its sentence."""
        yield Shape("grid")


def _line(canvas: Canvas, cell: Cell, move: tuple[int, int]) -> list[Cell]:
    """The cells in a row with one, or in a column, as far as there are cells."""
    down, right = move
    found = [cell]
    while (before := found[0].step(-down, -right)) in canvas.index:
        found.insert(0, before)
    while (after := found[-1].step(down, right)) in canvas.index:
        found.append(after)
    return found


def _straight(canvas: Canvas) -> Iterator[tuple[list[Cell], list[Cell]]]:
    """Runs of cells in a row or column, each with the cells just beyond it."""
    for cell in canvas.cells:
        for move in ((0, 1), (1, 0)):
            run = [cell]
            while (following := run[-1].step(*move)) in canvas.index:
                run.append(following)
                before, after = cell.step(-move[0], -move[1]), following.step(*move)
                yield run[:], [one for one in (before, after) if one in canvas.index]


def _boxes(canvas: Canvas) -> tuple[tuple[Cell, ...], ...]:
    """The boxes that cut the line. Raises RuleError if they are not there, or are of several grids."""
    if len(canvas.grids) > 1:
        raise RuleError("by: box needs one grid, but there are several", key="by")
    if not canvas.grids or not canvas.grids[0].areas:
        raise RuleError("by: box needs boxes, but there are none here", key="by")
    return tuple(area.cells for area in canvas.grids[0].areas)
