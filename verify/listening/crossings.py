"""Cells where the line that is spoken of crosses another: *row 5 … its 9 can only be in column 3*.

Nothing names such a cell, so that what is said of it is only gleaned: it counts if it is true, open and
shown by short steps (``gleaning.py``).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from gridassay.encodings.grid import Cell, House
from gridassay.verify.listening.token import Token

_LINES = ("row", "column")


class Crossings:
    """Finds them part by part; remembers the row and the column spoken of last."""

    def __init__(self, houses: Mapping[str, House]) -> None:
        self._houses = houses
        self._last: dict[str, House] = {}

    def cells(self, part: Sequence[Token]) -> tuple[Cell, ...]:
        """The cells where the lines of a part cross each other, else the line spoken of last.

        None if a part names a cell, or lines of both kinds and more than one of each.
        """
        named = self._lines(part)
        rows, columns = ([one for one in named if one.kind == kind] for kind in _LINES)
        if any(one.letter in "CQ" for one in part) or not named:
            return ()
        rows = rows or self._spoken_of("row")
        columns = columns or self._spoken_of("column")
        if min(len(rows), len(columns)) != 1:
            return ()
        return tuple(
            cell for row in rows for column in columns for cell in row.cells if cell in column.cells
        )

    def remember(self, part: Sequence[Token]) -> None:
        """Remember the lines of a part; a line that only crosses the one spoken of is not the next."""
        for one in self._lines(part):
            self._last[one.kind] = one

    def _lines(self, part: Sequence[Token]) -> list[House]:
        houses = [self._houses[one.house] for one in part if one.letter == "H"]
        return [one for one in houses if one.kind in _LINES]

    def _spoken_of(self, kind: str) -> list[House]:
        return [self._last[kind]] if kind in self._last else []
