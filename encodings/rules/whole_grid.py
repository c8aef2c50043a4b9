"""Rules of the whole grid: regions beside the houses, and digits kept apart at a distance."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations
from math import isqrt
from typing import ClassVar, Literal

from pydantic import Field

from gridassay.encodings.board import Board, Filled, Part, each_once
from gridassay.encodings.constraints import AllOf, Compare, Count, Table
from gridassay.encodings.grid import Canvas, Cell
from gridassay.encodings.rules.base import Numbers, RuleError, Shape, listing, spell
from gridassay.encodings.rules.extent import WholeGrid, extent
from gridassay.encodings.rules.marks import with_difference


class Diagonals(WholeGrid):
    """No digit appears twice on a main diagonal; each appears once if the diagonal is long enough.

    `which` is `both`, `falling` (from the top left corner) or `rising` (from the bottom left).

    Example: `kind = "diagonals"`, `which = "falling"`: a 4 in r1c1 keeps 4 out of r2c2 to r9c9.
    """

    kind: Literal["diagonals"] = "diagonals"
    which: Literal["both", "falling", "rising"] = "both"

    sentence: ClassVar[str] = "No digit repeats on either marked diagonal."

    def wording(self) -> str:
        """Its sentence names the diagonal if there is only one."""
        if self.which == "both":
            return self.about(self.sentence)
        corners = {
            "falling": "from the top left to the bottom right corner",
            "rising": "from the bottom left to the top right corner",
        }
        return self.about(f"No digit repeats on the marked diagonal {corners[self.which]}.")

    def check(self, board: Board) -> None:
        """Raises RuleError if the grid is not square."""
        super().check(board)
        _, rows, columns, _ = extent(board.canvas, self.grid)
        if rows != columns:
            raise RuleError(f"diagonals need a square, but there are {rows} rows of {columns}")

    def holds(self, filled: Filled) -> bool:
        """The digits on a diagonal differ: row and column agree, or add up to one more than the side."""
        corner, side, _, cells = extent(filled.board.canvas, self.grid)
        falling, rising = [], []
        for cell in cells:
            row, column = cell.row - corner.row, cell.column - corner.column
            if row == column and self.which != "rising":
                falling.append(filled[cell])
            if row + column == side - 1 and self.which != "falling":
                rising.append(filled[cell])
        return len(set(falling)) == len(falling) and len(set(rising)) == len(rising)

    def parts(self, board: Board) -> Iterator[Part]:
        """One part per diagonal."""
        for name, cells in self._diagonals(board.canvas):
            yield Part(self.named(f"the {name} diagonal"), each_once(board.canvas, cells))

    def shapes(self, board: Board) -> Iterator[Shape]:
        """A line through each diagonal."""
        for _, cells in self._diagonals(board.canvas):
            yield Shape("line", cells)

    def _diagonals(self, canvas: Canvas) -> Iterator[tuple[str, tuple[Cell, ...]]]:
        ground = extent(canvas, self.grid)
        span, known = range(1, ground.rows + 1), set(ground.cells)
        lines = {
            "falling": [ground.cell(place, place) for place in span],
            "rising": [ground.cell(ground.rows + 1 - place, place) for place in span],
        }
        for name, cells in lines.items():
            if self.which in (name, "both"):
                yield name, tuple(cell for cell in cells if cell in known)


class Windows(WholeGrid):
    """The windows, extra boxes that lie across the boxes, hold no digit twice.

    Needs square boxes. With boxes of b×b there are (b−1)² windows of b×b with one row and column
    between them, one from the edge: four in a 9×9 grid, whose first is r2c2 to r4c4.

    Example: `kind = "windows"`: in a 4×4 grid r2c2, r2c3, r3c2 and r3c3 hold 1 to 4.
    """

    kind: Literal["windows"] = "windows"

    sentence: ClassVar[str] = "No digit repeats in any of the shaded windows."

    def check(self, board: Board) -> None:
        """The boxes are square."""
        super().check(board)
        box = board.canvas.grid(self.grid).box
        if box is None or box[0] != box[1]:
            raise RuleError("windows need square boxes")

    def holds(self, filled: Filled) -> bool:
        """Each run of rows that holds a window, cut by such a run of columns, has no repeats."""
        grid = filled.board.canvas.grid(self.grid)
        side = isqrt(grid.size)
        runs: dict[tuple[int, int], list[int]] = {}
        for cell in grid.cells:
            down, place_down = divmod(cell.row - grid.at.row, side + 1)
            right, place_right = divmod(cell.column - grid.at.column, side + 1)
            if place_down and place_right:
                runs.setdefault((down, right), []).append(filled[cell])
        return all(len(set(digits)) == len(digits) for digits in runs.values())

    def parts(self, board: Board) -> Iterator[Part]:
        """One part per window, numbered in reading order."""
        for number, cells in enumerate(self._windows(board.canvas), start=1):
            yield Part(self.named(f"window {number}"), each_once(board.canvas, cells))

    def shapes(self, board: Board) -> Iterator[Shape]:
        """A shade over each window."""
        for cells in self._windows(board.canvas):
            yield Shape("cell mark", cells, figure="shade")

    def _windows(self, canvas: Canvas) -> Iterator[tuple[Cell, ...]]:
        grid = canvas.grid(self.grid)
        side = isqrt(grid.size)
        offsets = range(1, grid.size - side + 1, side + 1)
        for top in offsets:
            for left in offsets:
                corner = grid.at.step(top, left)
                span = range(side)
                yield tuple(corner.step(down, right) for down in span for right in span)


class BoxPlaces(WholeGrid):
    """Cells in the same place of every box all differ.

    Example: `kind = "box-places"`: in a 9×9 grid r1c1, r1c4, r1c7, r4c1, … r7c7, the top left
    cells of the boxes, hold 1 to 9.
    """

    kind: Literal["box-places"] = "box-places"

    sentence: ClassVar[str] = "Cells in the same place of different boxes hold different digits."

    def check(self, board: Board) -> None:
        """There are boxes, all of one shape."""
        super().check(board)
        if board.canvas.grid(self.grid).box is None:
            raise RuleError("box-places needs boxes, all of one shape")

    def holds(self, filled: Filled) -> bool:
        """Rows and columns that agree modulo the box's make a set without repeats."""
        grid = filled.board.canvas.grid(self.grid)
        high, wide = grid.box or (1, 1)
        seen = set()
        for cell in grid.cells:
            place = (cell.row - grid.at.row) % high, (cell.column - grid.at.column) % wide
            seen.add((place, filled[cell]))
        return len(seen) == len(grid.cells)

    def parts(self, board: Board) -> Iterator[Part]:
        """One part per place, numbered in reading order in the box."""
        boxes = [box.cells for box in board.canvas.grid(self.grid).areas]
        for number, cells in enumerate(zip(*boxes, strict=True), start=1):
            yield Part(self.named(f"place {number} of boxes"), each_once(board.canvas, cells))


class EqualsApart(WholeGrid):
    """Base of the rules that keep equal digits from being one move apart."""

    wrap: bool = Field(default=False, description="moves go on at the opposite side")

    moves: ClassVar[tuple[tuple[int, int], ...]]

    def wording(self) -> str:
        """Its sentence, and whether moves go on at the opposite side."""
        if not self.wrap:
            return super().wording()
        return self.about(
            f"{self.sentence.removesuffix('.')}, also where the move leaves the grid on one side "
            "and comes in again on the opposite one."
        )

    def check(self, board: Board) -> None:
        """There is room to wrap."""
        super().check(board)
        _, rows, columns, _ = extent(board.canvas, self.grid)
        if self.wrap and min(rows, columns) < 2:
            raise RuleError("wrap needs at least 2 rows and columns", key="wrap")

    def holds(self, filled: Filled) -> bool:
        """No two cells with the same digit are that far apart, also across the edge if it wraps."""
        _, rows, columns, cells = extent(filled.board.canvas, self.grid)
        holders: dict[int, list[Cell]] = {}
        for cell in cells:
            holders.setdefault(filled[cell], []).append(cell)
        for equals in holders.values():
            for a, b in combinations(equals, 2):
                down, right = abs(a.row - b.row), abs(a.column - b.column)
                downs = {down, rows - down} if self.wrap else {down}
                rights = {right, columns - right} if self.wrap else {right}
                if any(self.is_move(d, r) for d in downs for r in rights):
                    return False
        return True

    @staticmethod
    def is_move(rows: int, columns: int) -> bool:
        """Whether the piece moves that many rows and columns away."""
        raise NotImplementedError

    def parts(self, board: Board) -> Iterator[Part]:
        """One part per pair of cells."""
        for a, b in extent(board.canvas, self.grid).apart(self.moves, wrap=self.wrap):
            yield Part(f"{self.kind} {a}–{b}", Compare(a, "!=", b))


class AntiKnight(EqualsApart):
    """No two equal digits are a knight's move apart (two cells one way, one the other).

    With `wrap = true` a move that leaves the grid continues on the opposite side.

    Example: `kind = "anti-knight"`: a 5 in r3c3 keeps 5 out of r1c2, r1c4, r2c5, r4c5 and so on.
    """

    kind: Literal["anti-knight"] = "anti-knight"

    noun: ClassVar[str] = "anti-knight rule"
    move: ClassVar[str] = "a knight's move"
    sentence: ClassVar[str] = "Cells a knight's move apart, as in chess, hold different digits."
    moves: ClassVar[tuple[tuple[int, int], ...]] = ((1, -2), (1, 2), (2, -1), (2, 1))

    @staticmethod
    def is_move(rows: int, columns: int) -> bool:
        """Two one way and one the other."""
        return {rows, columns} == {1, 2}


class AntiKing(EqualsApart):
    """No two equal digits are a king's move apart: they do not touch, not even at a corner.

    With `wrap = true` a move that leaves the grid continues on the opposite side.

    Example: `kind = "anti-king"`: a 5 in r3c3 keeps 5 out of the eight cells around it.
    """

    kind: Literal["anti-king"] = "anti-king"

    noun: ClassVar[str] = "anti-king rule"
    move: ClassVar[str] = "a king's move"
    sentence: ClassVar[str] = "Cells a king's move apart, as in chess, hold different digits."
    moves: ClassVar[tuple[tuple[int, int], ...]] = ((0, 1), (1, -1), (1, 0), (1, 1))

    @staticmethod
    def is_move(rows: int, columns: int) -> bool:
        """At most one each way."""
        return max(rows, columns) == 1


class AntiQueen(WholeGrid):
    """The digits listed never appear twice on a diagonal of any length.

    Example: `kind = "anti-queen"`, `digits = [9]`: a 9 in r1c1 keeps 9 out of r2c2 to r9c9.
    """

    kind: Literal["anti-queen"] = "anti-queen"
    digits: Numbers

    noun: ClassVar[str] = "anti-queen rule"
    sentence: ClassVar[str] = "The digits named never stand twice on a diagonal of any length."

    def wording(self) -> str:
        """Its sentence, with its digits."""
        pairs = listing([f"no two {digit}s" for digit in sorted(set(self.digits))], "and")
        return self.about(f"N{pairs[1:]} stand on the same diagonal, long or short.")

    def check(self, board: Board) -> None:
        """Its digits are digits of the canvas."""
        super().check(board)
        for digit in self.digits:
            if digit not in board.canvas.digits:
                raise RuleError(f"{digit} is not a digit here", key="digits")

    def holds(self, filled: Filled) -> bool:
        """No two cells with one of the digits are as many rows as columns apart."""
        cells = extent(filled.board.canvas, self.grid).cells
        for digit in self.digits:
            holders = [cell for cell in cells if filled[cell] == digit]
            for a, b in combinations(holders, 2):
                if abs(a.row - b.row) == abs(a.column - b.column):
                    return False
        return True

    def parts(self, board: Board) -> Iterator[Part]:
        """One part per pair of cells on a diagonal."""
        ground = extent(board.canvas, self.grid)
        reach = range(1, min(ground.rows, ground.columns))
        moves = [(steps, side * steps) for steps in reach for side in (-1, 1)]
        equals = frozenset((digit, digit) for digit in self.digits)
        for a, b in ground.apart(moves):
            yield Part(f"anti-queen {a}–{b}", Table((a, b), equals, listed=False))


class Nonconsecutive(WholeGrid):
    """Orthogonal neighbours never differ by 1 (in value, if there are doublers).

    Example: `kind = "nonconsecutive"`: a 5 in r3c3 keeps 4 and 6 out of r2c3, r3c2, r3c4 and r4c3.
    """

    kind: Literal["nonconsecutive"] = "nonconsecutive"

    noun: ClassVar[str] = "nonconsecutive rule"
    sentence: ClassVar[str] = "Cells that share a side never hold consecutive digits."

    def holds(self, filled: Filled) -> bool:
        """No cell has a neighbour below or to the right that counts one more or one less."""
        cells = set(extent(filled.board.canvas, self.grid).cells)
        return not any(
            other in cells and abs(filled.value(cell) - filled.value(other)) == 1
            for cell in cells
            for other in (cell.step(1, 0), cell.step(0, 1))
        )

    def parts(self, board: Board) -> Iterator[Part]:
        """One part per pair of neighbours."""
        consecutive = with_difference(board.value_domain, 1)
        for a, b in extent(board.canvas, self.grid).apart(((0, 1), (1, 0))):
            apart = Table(board.values((a, b)), consecutive, listed=False)
            yield Part(f"nonconsecutive {a}–{b}", apart)


class EntropicSquares(WholeGrid):
    """Every 2×2 square has a low, a middle and a high digit: one from each third of the digits.

    The number of digits must be divisible by 3.

    Example: `kind = "entropic-squares"`: with 1, 2 and 5 in a 2×2 square of a 9×9 grid its fourth
    cell is 7, 8 or 9.
    """

    kind: Literal["entropic-squares"] = "entropic-squares"

    sentence: ClassVar[str] = (
        "Every 2×2 square holds a digit from each third of the digits: low, middle and high."
    )

    def check(self, board: Board) -> None:
        """The digits fall into thirds."""
        super().check(board)
        if len(board.canvas.digits) % 3:
            raise RuleError(f"{len(board.canvas.digits)} digits cannot be divided into thirds")

    def holds(self, filled: Filled) -> bool:
        """The thirds met in each square are all three."""
        digits = filled.board.canvas.digits
        rank = {digit: 3 * place // len(digits) for place, digit in enumerate(digits)}
        cells = set(extent(filled.board.canvas, self.grid).cells)
        for row, column in cells:
            square = {Cell(row + down, column + right) for down in (0, 1) for right in (0, 1)}
            if square <= cells and {rank[filled[cell]] for cell in square} != {0, 1, 2}:
                return False
        return True

    def parts(self, board: Board) -> Iterator[Part]:
        """One part per square."""
        digits, size = board.canvas.digits, len(board.canvas.digits) // 3
        thirds = [frozenset(digits[start : start + size]) for start in (0, size, 2 * size)]
        cells = extent(board.canvas, self.grid).cells
        for cell in cells:
            square = cell, cell.step(0, 1), cell.step(1, 0), cell.step(1, 1)
            if not set(cells).issuperset(square):
                continue
            some = (Count(square, third, frozenset(range(1, 5))) for third in thirds)
            yield Part(f"entropic square {spell(square)}", AllOf(tuple(some)))
