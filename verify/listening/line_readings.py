"""The cells of a line that may be meant: those of which the line alone says now what was said.

Which line it is, words tell; which of its cells, the board, and words only where it leaves several.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import pairwise
from typing import NamedTuple

from gridassay.verify.listening.heard import Heard, OnLine
from gridassay.verify.solving.board.position import Layout, Position
from gridassay.verify.solving.techniques import rule_alone

_CLOSE = 0.12
"""How much farther from a side of the grid than the nearest line another one may lie, in grids."""
_ORDER = {"first": 0, "second": 1, "third": 2, "fourth": 3}
_SEVERAL = {"first two", "last two"}


class LineReading(NamedTuple):
    """A line, and the cells of it that a claim may be about."""

    line: str
    cells: tuple[int, ...]


class LineReader:
    """Finds what may be meant on the lines of a puzzle; ``lines`` has the cells of each in order."""

    def __init__(self, lines: Mapping[str, Sequence[int]], layout: Layout) -> None:
        self._lines = lines
        self._layout = layout

    def claims(
        self, heard: Heard, said: OnLine, position: Position, last: Sequence[int], line: str
    ) -> list[Heard]:
        """The claims that the readings of one are."""
        found = []
        for one in self.readings(heard, said, position, last, line):
            marks = tuple((self._layout.cells[at], d) for at in one.cells for d in heard.digits)
            places, removes = ((), marks) if heard.denies else (marks, ())
            found.append(
                replace(heard, places=places, removes=removes, digits=(), rules=(one.line,))
            )
        return found

    def readings(
        self, heard: Heard, said: OnLine, position: Position, last: Sequence[int], line: str
    ) -> list[LineReading]:
        """The readings of a claim; ``last`` are the cells, ``line`` is the line last spoken of."""
        hits = list(self._hits(heard, said, position))
        meant = self.lines_meant(said, position, line)
        kept = [one for one in hits if one.line in meant]
        if not kept and meant == [line]:
            kept = hits
        for place in said.at:
            kept = [one for one in kept if self._lies(one, place, last)] or kept
        if said.by is not None:
            kept = [one for one in kept if self._beside(one, said.by, position)] or kept
        return [one for one in kept if not set(one.cells) & set(last)] or kept

    def lines_meant(self, said: OnLine, position: Position, last: str) -> list[str]:
        """The lines that fit what was said of one; the last one if nothing was said, or all."""
        kept = [*self._lines]
        if not (said.sizes or said.houses or said.spots or said.holds or said.beside):
            return [last] if last else kept
        if said.beside and last:
            kept = [one for one in kept if one != last and self._touch(one, last)] or kept
        for house in said.houses:
            inside = set(self._layout.scope(house))
            share = {one: len(inside & {*self._lines[one]}) / len(self._lines[one]) for one in kept}
            most = max(share.values())
            kept = [one for one in kept if share[one] == most]
        for digit in said.holds:
            index = self._layout.digit_index[digit]
            having = [
                one
                for one in kept
                if any(
                    position.is_placed(cell) and position.has((cell, index))
                    for cell in self._lines[one]
                )
            ]
            kept = having or kept
        for size in said.sizes:
            lengths = {one: len(self._lines[one]) for one in kept}
            best = max(lengths.values()) if size == "long" else min(lengths.values())
            kept = [one for one in kept if lengths[one] == best]
        far = {one: sum(self._far(one, spot) for spot in said.spots) for one in kept}
        return [one for one in kept if far[one] <= min(far.values()) + _CLOSE]

    def _hits(self, heard: Heard, said: OnLine, position: Position) -> Iterator[LineReading]:
        digits = {self._layout.digit_index[digit] for digit in heard.digits}
        for idea in rule_alone.find(position):
            line = self._layout.premise_of(idea.switches[0]).name
            if line not in self._lines:
                continue
            struck: dict[int, set[int]] = {}
            for cell, digit in idea.removes:
                struck.setdefault(cell, set()).add(digit)
            if not heard.denies:
                for cell, digit in idea.places:
                    if {digit} == digits:
                        yield LineReading(line, (cell,))
                continue
            ordered = [cell for cell in self._lines[line] if digits <= struck.get(cell, set())]
            if "rest" in said.at:
                if len(ordered) > 1:
                    yield LineReading(line, tuple(ordered))
            elif _SEVERAL & set(said.at):
                row = self._lines[line]
                for pair in (tuple(row[:2]), tuple(row[-2:])):
                    if set(pair) <= set(ordered):
                        yield LineReading(line, pair)
            else:
                yield from (LineReading(line, (cell,)) for cell in ordered)

    def _lies(self, reading: LineReading, place: str, last: Sequence[int]) -> bool:
        """Whether a cell has a place in its line: at an end, in a bend, next to the last cell."""
        row = self._lines[reading.line]
        ends = {row[0], row[-1]}
        cells = set(reading.cells)
        if place in ("end", "other end"):
            other = ends - set(last) if place == "other end" else ends
            return bool(cells & other)
        if place == "bend":
            return bool(cells & set(self._bends(row)))
        if place == "middle":
            return cells.isdisjoint(ends)
        if place in _ORDER:
            at = _ORDER[place]
            return at < len(row) and bool(cells & {row[at], row[-1 - at]})
        if place == "next":
            near = {row[at + step] for at, cell in enumerate(row) if cell in last
                    for step in (-1, 1) if 0 <= at + step < len(row)}  # fmt: skip
            return bool(cells & near)
        return all(self._outermost(cells, row, part) for part in place.split())

    def _outermost(self, cells: set[int], row: Sequence[int], part: str) -> bool:
        """Whether a cell is at the top of its line, at the bottom, on the left or on the right."""
        grid = self._layout.cells
        downs, alongs = [grid[one].row for one in row], [grid[one].column for one in row]
        extreme = {
            "top": min(downs),
            "bottom": max(downs),
            "left": min(alongs),
            "right": max(alongs),
        }
        if part not in extreme:
            return part != "corner" or bool(cells & set(self._bends(row)))
        if part in ("top", "bottom"):
            return any(grid[one].row == extreme[part] for one in cells)
        return any(grid[one].column == extreme[part] for one in cells)

    def _bends(self, row: Sequence[int]) -> list[int]:
        grid = self._layout.cells
        steps = [
            (grid[after].row - grid[one].row, grid[after].column - grid[one].column)
            for one, after in pairwise(row)
        ]
        return [row[at + 1] for at in range(len(steps) - 1) if steps[at] != steps[at + 1]]

    def _beside(self, reading: LineReading, digit: int, position: Position) -> bool:
        row = self._lines[reading.line]
        index = self._layout.digit_index[digit]
        holding = [at for at, cell in enumerate(row)
                   if position.is_placed(cell) and position.has((cell, index))]  # fmt: skip
        return any(abs(row.index(cell) - at) == 1 for cell in reading.cells for at in holding)

    def _touch(self, one: str, other: str) -> bool:
        grid = self._layout.cells
        return any(
            max(abs(grid[a].row - grid[b].row), abs(grid[a].column - grid[b].column)) <= 1
            for a in self._lines[one]
            for b in self._lines[other]
        )

    def _far(self, line: str, spot: str) -> float:
        """How far a line lies from a part of the grid, in grids."""
        grid = self._layout.cells
        canvas = self._layout.canvas
        cells = [grid[cell] for cell in self._lines[line]]
        down = sum(cell.row - 1 for cell in cells) / len(cells) / max(1, canvas.rows - 1)
        along = sum(cell.column - 1 for cell in cells) / len(cells) / max(1, canvas.columns - 1)
        away = {
            "top": down, "bottom": 1 - down, "left": along, "right": 1 - along,
            "corner": min(down, 1 - down) + min(along, 1 - along),
            "edge": min(down, 1 - down, along, 1 - along),
            "middle": abs(down - 0.5) + abs(along - 0.5), "centre": abs(down - 0.5) + abs(along - 0.5),
        }  # fmt: skip
        return sum(away.get(part, 0.0) for part in spot.split())
