"""The cells where houses cross: where both are named, or one crosses the line that is spoken of.

Nothing names the cell of *row 5 … its 9 can only be in column 3*, so that what is said of it is only
gleaned: it counts if it is true, open and shown by short steps (``gleaning.py``).
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from gridassay.encodings.grid import Canvas, Cell, House
from gridassay.verify.listening.token import Token, letters_of

_LINES = ("row", "column")
_WITH_DIGITS = (
    re.compile(r"(?P<said>D)[wU]*I*w*(?P<cells>HK*H(?:K+H)+)(?=$|[KSBw])"),
    re.compile(r"(?<![DHI])(?P<cells>HK*H(?:K+H)+)(?=w*E+w*(?P<said>D)(?:$|[KSBwU]))"),
)
"""*2 and 6 in row 5, column 7 and column 9*; *row 5, column 7 and column 9 are 2 and 6*."""
_COLUMNS_OF = re.compile(r"(?P<line>H)(?P<colon>B)(?P<cells>H(?:K?H)+)(?=$|K[KC]|S)")
"""*row 7: c4 c5*"""
_RANGE_IN = re.compile(r"(?P<line>H)[^HS]*X(?:K?D)+(?P<cells>HwH)")
"""*c5 (four cells): no 8 9 r6-r8*"""
_DENIED_IN = re.compile(r"(?P<line>H)BX(?:K?D)+I+(?P<cells>H(?:K?H)*)(?=$|S)")
"""*row 7: no 3 in c4*"""
_COLUMN_ROW = re.compile(r"(?:^|[SK])(?P<cells>(?P<line>H)H)(?=X|E)")
"""*c5 r4 no 6*"""


_AND_COLUMN = re.compile("CK(?P<column>H)(?=X)")
"""*Row 4, column 8 and column 9 cannot be a seven*."""


class Crossings:
    """Finds them; remembers the row and the column spoken of last."""

    def __init__(self, canvas: Canvas) -> None:
        self._houses = {house.name: house for house in canvas.houses}
        self._last: dict[str, House] = {}

    def cells_of_all(self, *houses: str) -> tuple[Cell, ...]:
        """The cells that lie in each of some houses; none if one of them is not a house."""
        known = [self._houses[one].cells for one in houses if one in self._houses]
        if len(known) < len(houses):
            return ()
        return tuple(cell for cell in known[0] if all(cell in one for one in known[1:]))

    def in_jots(self, row: list[Token]) -> list[Token]:
        """With the cells of *row 7: c4 c5*, *c5: no 8 r6-r8*, *c5 r4 no 6* in notes."""
        for pattern in (_COLUMNS_OF, _RANGE_IN, _DENIED_IN, _COLUMN_ROW):
            for match in reversed(list(pattern.finditer(letters_of(row)))):
                first, end = match.span("cells")
                line = row[match.start("line")]
                crossing = [one for one in row[first:end] if one.letter == "H" and one is not line]
                cells = [self.cells_of_all(line.house, one.house) for one in crossing]
                if any(len(one) != 1 for one in cells):
                    continue
                known = [one for (one,) in cells]
                if pattern is _RANGE_IN:
                    if row[first + 1].text not in ("-", "–"):
                        continue
                    known = self._between(line.house, known)
                text, start = row[first].text, row[first].start
                row[first:end] = [Token("C", text, start, row[end - 1].end, cells=tuple(known))]
        return row

    def with_columns(self, row: list[Token], singular: frozenset[str]) -> list[Token]:
        """With a cell for the column of *row 4 column 8 and column 9 cannot be a seven*."""
        for match in _AND_COLUMN.finditer(letters_of(row)):
            cell, joint, column = row[match.start() : match.start() + 3]
            verb = row[match.end("column")]
            both = joint.text.isalpha() and _plain(verb) not in singular
            if self._houses[column.house].kind != "column" or " " not in cell.text or not both:
                continue
            lines = [one.name for one in self._houses.values() if one.kind == "row"]
            beside = [one for one in lines if {*cell.cells} <= {*self._houses[one].cells}]
            cells = self.cells_of_all(*beside, column.house)
            if len(cells) == 1:
                row[match.start("column")] = replace(column, letter="C", house="", cells=cells)
        return row

    def with_digits(self, row: list[Token]) -> list[Token]:
        """With the cells where a row crosses several columns, or a column rows, of as many digits."""
        for pattern in _WITH_DIGITS:
            for match in reversed(list(pattern.finditer(letters_of(row)))):
                first, end = match.span("cells")
                line, *others = [one.house for one in row[first:end] if one.letter == "H"]
                kinds = {self._houses[one].kind for one in others}
                cells = [cell for one in others for cell in self.cells_of_all(line, one)]
                straight = {self._houses[line].kind, *kinds} == {*_LINES} and len(kinds) == 1
                if straight and 1 < len(cells) == len(row[match.start("said")].digits):
                    text = " ".join(one.text for one in row[first:end])
                    row[first:end] = [
                        Token("C", text, row[first].start, row[end - 1].end, cells=tuple(cells))
                    ]
        return row

    def spoken_of(self, part: Sequence[Token]) -> tuple[Cell, ...]:
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
            cell
            for row in rows
            for column in columns
            for cell in self.cells_of_all(row.name, column.name)
        )

    def remember(self, part: Sequence[Token]) -> None:
        """Remember the lines of a part; a line that only crosses the one spoken of is not the next."""
        for one in self._lines(part):
            self._last[one.kind] = one

    def _between(self, house: str, ends: Sequence[Cell]) -> list[Cell]:
        """The cells of a house from one to another."""
        cells = sorted(self._houses[house].cells)
        return [one for one in cells if min(ends) <= one <= max(ends)]

    def _lines(self, part: Sequence[Token]) -> list[House]:
        houses = [self._houses[one.house] for one in part if one.letter == "H"]
        return [one for one in houses if one.kind in _LINES]

    def _spoken_of(self, kind: str) -> list[House]:
        return [self._last[kind]] if kind in self._last else []


def _plain(token: Token) -> str:
    return " ".join(token.text.casefold().split())
