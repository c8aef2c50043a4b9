"""Lines with totals along them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import groupby
from typing import TYPE_CHECKING, ClassVar, Literal

from pydantic import Field

from gridassay.encodings.automata import Dfa, explore
from gridassay.encodings.board import Board, Filled, Part
from gridassay.encodings.constraints import (
    AllOf,
    AnyOf,
    Automaton,
    Constraint,
    In,
    Letter,
    Variable,
)
from gridassay.encodings.grid import Canvas, Cell, Grid
from gridassay.encodings.rules.base import Clue, RuleError, spell
from gridassay.encodings.rules.lines import ClosableLine, Line
from gridassay.encodings.rules.totals import comparison, equal_totals

if TYPE_CHECKING:
    from gridassay.encodings.layers.regions import Regions

MOST_MOVES = 60_000
"""The most moves of an automaton of a line and its letter: enough for five cells on 9×9."""


class RegionSum(ClosableLine):
    """The pieces into which boxes or regions cut the line have equal totals.

    Each visit to a box is a separate piece. If several grids share the canvas, ``grid`` names the
    one whose boxes are meant; it may be left out if only one grid holds the whole line. ``layer``
    names regions to be found that cut it instead.

    Example: `kind = "region-sum"`, `cells = "r1c2..r1c4"` in a 9×9 grid makes r1c2 and r1c3, which
    share a box, total the digit in r1c4.
    """

    kind: Literal["region-sum"] = "region-sum"
    grid: str | None = Field(default=None, description="the name of the grid whose boxes cut it")

    layer: str | None = Field(default=None, description="regions to be found that cut it instead")

    noun: ClassVar[str] = "region-sum line"
    sentence: ClassVar[str] = (
        "The borders of boxes or regions divide a region-sum line into pieces with equal totals."
    )

    def wording(self) -> str:
        """The sentence, with the grid that is named and whether the line is closed."""
        areas = "boxes or regions" if self.grid is None else f"boxes or regions of grid {self.grid}"
        if self.layer is not None:
            areas = f"regions ({self.layer})"
        line = "closed region-sum line" if self.closed else "region-sum line"
        return f"The borders of {areas} divide a {line} into pieces with equal totals."

    def of_layers(self) -> tuple[str, ...]:
        """The regions that cut it, if they are a layer."""
        return () if self.layer is None else (self.layer,)

    def _regions(self, board: Board) -> Regions | None:
        if self.layer is None:
            return None
        # Imported here, as below: most lines are cut by boxes.
        from gridassay.encodings.layers.regions import Regions
        from gridassay.encodings.rules.layered import layer_of

        found = layer_of(board, self.layer, (Regions,), self.kind)
        assert isinstance(found, Regions)
        return found

    def check(self, board: Board) -> None:
        """Its grid holds it and has boxes or regions, of which it crosses a border; or its layer."""
        super().check(board)
        if self._regions(board) is not None:
            if self.grid is not None:
                raise RuleError("grid does not go with layer", key="grid")
            return
        grid = self._grid(board.canvas)
        for cell in self.cells:
            if cell not in grid.cells:
                raise RuleError(f"{cell} is not in grid {grid.name}")
        if not grid.areas:
            raise RuleError("this needs boxes or regions, but the grid has none")
        if len(self._pieces(board.canvas)) < 2:
            raise RuleError("the line must cross a border, but it stays in one box or region")

    def _grid(self, canvas: Canvas) -> Grid:
        around = [grid for grid in canvas.grids if set(self.cells) <= set(grid.cells)]
        if self.grid is None and len(around) == 1:
            return around[0]
        return canvas.grid(self.grid)

    def _pieces(self, canvas: Canvas) -> list[list[Cell]]:
        area_of = {cell: area.name for area in self._grid(canvas).areas for cell in area.cells}
        pieces = [list(piece) for _, piece in groupby(self.cells, key=area_of.__getitem__)]
        if self.closed and len(pieces) > 1 and area_of[pieces[-1][-1]] == area_of[pieces[0][0]]:
            pieces[0] = pieces.pop() + pieces[0]
        return pieces

    def holds(self, filled: Filled) -> bool:
        """Every piece has the same total."""
        regions = self._regions(filled.board)
        if regions is None:
            found = self._pieces(filled.board.canvas)
        else:
            from gridassay.encodings.rules.region_pieces import pieces

            found = pieces(filled, regions, self.cells, closed=self.closed)
        # One piece alone is held against nothing, not even read.
        return len(found) == 1 or len({sum(filled.values(piece)) for piece in found}) == 1

    def parts(self, board: Board) -> Iterator[Part]:
        """One part per piece but the shortest, against it; or one for any two that may be pieces."""
        regions = self._regions(board)
        if regions is not None:
            from gridassay.encodings.rules.region_pieces import equal_pieces

            return equal_pieces(board, regions, self.cells, closed=self.closed)
        return equal_totals(board, self.kind, self._pieces(board.canvas))


class Zipper(Line):
    """Cells at equal distance from the middle of the line make pairs with one total.

    If the line has a middle cell, its value is that total.

    Example: `kind = "zipper"`, `cells = "r1c1..r1c5"` with a 9 in r1c3 makes r1c1 and r1c5 total 9,
    and r1c2 and r1c4 likewise.
    """

    kind: Literal["zipper"] = "zipper"

    shortest: ClassVar[int] = 3
    noun: ClassVar[str] = "zipper line"
    sentence: ClassVar[str] = (
        "Any two digits at equal distance from the middle of a zipper line add up to the digit in its "
        "middle cell."
    )

    def wording(self) -> str:
        """Whether there is a middle cell, which holds the total."""
        if len(self.cells) % 2:
            return self.sentence
        return (
            "Pairs of digits at equal distance from the middle of a zipper line without a middle cell "
            "all have the same total."
        )

    @property
    def seen_as(self) -> str:
        """A line with a middle cell or without."""
        return f"{self.kind} {len(self.cells) % 2}"

    def holds(self, filled: Filled) -> bool:
        """All the pairs have the total."""
        values = filled.values(self.cells)
        half = len(values) // 2
        totals = {values[place] + values[-1 - place] for place in range(half)}
        if len(values) % 2:
            totals.add(values[half])
        return len(totals) == 1

    def parts(self, board: Board) -> Iterator[Part]:
        """One part per pair, against the middle: the cell there, or the innermost pair."""
        half = len(self.cells) // 2
        pairs = [(self.cells[place], self.cells[-1 - place]) for place in range(half)]
        middle = self.cells[half : half + 1] if len(self.cells) % 2 else pairs.pop()
        for pair in pairs:
            label = f"zipper {spell(pair)} = {spell(middle)}"
            yield Part(label, comparison(board, pair, "==", middle))


class SumRun(ClosableLine):
    """The line can be cut into runs of neighbours that each have the same total, ``total``.

    A closed line is cut anywhere along the loop.

    Example: `kind = "sum-run"`, `cells = "r1c1..r1c4"`, `total = 10` allows 3 7 8 2 and 1 2 3 4,
    but not 3 4 7 6.
    """

    kind: Literal["sum-run"] = "sum-run"
    total: Clue

    noun: ClassVar[str] = "sum-run line"
    sentence: ClassVar[str] = (
        "A sum-run line can be divided into runs of neighbouring cells whose digits each add up to "
        "the total that is given."
    )

    def wording(self) -> str:
        """The sentence with its total; a closed line is divided anywhere."""
        line = "closed sum-run line" if self.closed else "sum-run line"
        return (
            f"A {line} can be divided into runs of neighbouring cells so that the digits of each run "
            f"add up to {self.total}."
        )

    def letters(self, board: Board) -> Mapping[str, tuple[int, int]]:
        """Its total, if a letter stands for it."""
        if not isinstance(self.total, str):
            return {}
        low, high, most = board.value_domain[0], board.value_domain[-1], len(self.cells)
        return {self.total: (min(low, most * low), max(high, most * high))}

    def holds(self, filled: Filled) -> bool:
        """Some way of cutting it does."""
        values, total = filled.values(self.cells), filled.number(self.total)
        turns = range(len(values)) if self.closed else range(1)
        return any(_divides(values[turn:] + values[:turn], total) for turn in turns)

    def parts(self, board: Board) -> Iterator[Part]:
        """One part: the automaton of the running total, from some first cut if it is closed.

        A letter is read before the cells, as the total that the runs are to make. On long lines
        that would be too large: the letter is then the total of the whole line, or small enough for
        two runs.
        """
        label = f"sum-run {spell(self.cells)}"
        if isinstance(self.total, int):
            yield Part(label, self._cut(board, self.total))
            return
        letter = Letter(self.total)
        totals, numbers = board.domains[letter], board.value_domain
        if numbers[0] < 0:
            cut = (AllOf((In(letter, frozenset({n})), self._cut(board, n))) for n in totals)
            yield Part(label, AnyOf(tuple(cut)))
            return
        if len(self.cells) * len(numbers) * sum(totals) <= MOST_MOVES:
            yield Part(label, self._along(board, _lettered_runs(numbers, totals), letter))
            return
        most = len(self.cells) * board.value_domain[-1] // 2
        several = [
            AllOf((In(letter, frozenset({number})), self._cut(board, number)))
            for number in board.domains[letter]
            if number <= most
        ]
        yield Part(label, AnyOf((*board.total(self.cells, "==", self.total), *several)))

    def _cut(self, board: Board, total: int) -> Constraint:
        numbers = board.value_domain
        if numbers[0] < 0:
            return self._along(board, _runs_with_negatives(numbers, total, len(self.cells)))
        if total > len(self.cells) * numbers[-1]:
            return AnyOf(())
        return self._along(board, _runs(numbers, total))

    def _along(self, board: Board, dfa: Dfa, *first: Variable) -> Constraint:
        """The automaton reads ``first`` and then the line, from some cell if it is closed."""
        variables = board.values(self.cells)
        turns = range(len(variables)) if self.closed else range(1)
        options = [Automaton((*first, *variables[turn:], *variables[:turn]), dfa) for turn in turns]
        return options[0] if len(options) == 1 else AnyOf(tuple(options))


def _divides(values: Sequence[int], total: int) -> bool:
    """Whether the values, in order, can be divided into runs that each have the total."""
    if not values:
        return True
    return any(
        sum(values[:cut]) == total and _divides(values[cut:], total)
        for cut in range(1, len(values) + 1)
    )


def _runs(numbers: Sequence[int], total: int) -> Dfa:
    """Reads values, its state the total of the run so far; a full run is followed by the next.

    A 0 after a full run may belong to it or to the next, with the same result.
    """

    def step(reached: int, number: int) -> int | None:
        after = number if reached == total and number else reached + number
        return after if after <= total else None

    return explore(0, numbers, step, lambda reached: reached == total, limit=max(total, 0) + 1)


def _runs_with_negatives(numbers: Sequence[int], total: int, length: int) -> Dfa:
    """Reads the values of a line that may be below 0, where a run may go on after it has the total.

    A state is the number of cuts that could be made, each as early as possible, and the total since
    the last of them, as if all were made. The line can be divided if its end is a cut: the next one,
    or one of those again.
    """
    farthest = length * max(map(abs, numbers))

    def step(state: tuple[int, int], number: int) -> tuple[int, int] | None:
        cuts, reached = state
        if reached + number == total:
            return (cuts + 1, 0) if cuts < length else None
        return (cuts, reached + number) if abs(reached + number) <= farthest else None

    def divides(state: tuple[int, int]) -> bool:
        cuts, reached = state
        return any(reached == -again * total for again in range(cuts))

    return explore((0, 0), numbers, step, divides, limit=(length + 1) * (2 * farthest + 1))


def _lettered_runs(numbers: Sequence[int], totals: Sequence[int]) -> Dfa:
    """Reads a total and then the values of a line, as ``_runs`` does for one that is known."""

    def step(state: tuple[int, int] | None, number: int) -> tuple[int, int] | None:
        if state is None:
            return number, 0
        total, reached = state
        after = number if reached == total and number else reached + number
        return (total, after) if after <= total else None

    return explore(
        None,
        {*numbers, *totals},
        step,
        lambda state: state is not None and state[0] == state[1],
        limit=sum(totals) + len(totals) + 1,
    )
