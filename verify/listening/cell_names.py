"""The cells that a text names: *r4c7*, *row four column seven*, *rows 5 and 6 of column 3*."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import replace
from itertools import product
from typing import NamedTuple

from gridassay.encodings.grid import Canvas, Cell
from gridassay.verify.listening.notations import Notation
from gridassay.verify.listening.token import Token
from gridassay.verify.listening.vocabulary import Vocabulary

_CELL = re.compile(
    r"\br\s?(?P<rows>\d+)\s?c\s?(?P<columns>\d+)\b|\bc(?P<columns2>\d+)r(?P<rows2>\d+)\b", re.I
)
_TO_CELL = re.compile(
    r"\s?(?:[-–]|\.\.+)\s?r(?P<row>[1-9])c(?P<column>[1-9])(?!\d|\s?[-–=]\s?r\d)", re.I
)
_CHAIN = re.compile(r"[-–=]\s?$")
_TOLD_WHERE = re.compile(r"D[IE]?$")
_CROSSING = re.compile(r"\b(?P<kind>[rc])(?P<number>\d+)\b", re.I)
_LETTER_FIRST = re.compile(r"\b(?P<letter>[A-I])[ -](?P<kind>[a-z]+)\b", re.IGNORECASE)


class LineNamed(NamedTuple):
    """A row or column that was named: the words, its kind, and its number."""

    match: re.Match[str]
    kind: str
    number: str


class CellNames:
    """Finds them; ``notation`` is the writer's own way to name cells, if it is another."""

    def __init__(self, canvas: Canvas, words: Vocabulary, *, spoken: bool) -> None:
        self.canvas = canvas
        self.words = words
        self.spoken = spoken
        self.notation: Notation | None = None
        self._heading: re.Match[str] | None = None

    def begin(self, text: str) -> None:
        """Begin a text, which may have a row or column as its heading."""
        self._heading = None if self.spoken else self.words.listed.heading.match(text)

    def token(self, text: str, place: int) -> Token | None:
        """The token of the cell or cells that are named at a place of a text."""
        own = self.notation.cell(text, place) if self.notation else None
        if own is not None:
            return self._token(own.match, [own.place])
        match = self.words.several_cells.match(text, place)
        if match:
            axes = [
                [
                    self.number(one)
                    for one in self.words.listed.separated.split(match[name] or "")
                    if one
                ]
                for name in ("row", "columns", "rows", "column")
            ]
            return self._token(match, [*product(axes[0], axes[1]), *product(axes[2], axes[3])])
        match = _CELL.match(text, place)
        if match:
            rows = self._axis(match["rows"] or match["rows2"], self.canvas.rows)
            columns = self._axis(match["columns"] or match["columns2"], self.canvas.columns)
            cells = [*product(rows, columns)]
            return self._through(text, match, cells) or self._token(match, cells)
        spoken = self.words.misheard_cell if self.spoken else self.words.spoken_cell
        match = spoken.match(text, place)
        if match and not self._lists(text, match):
            row = self.number(match["row"] or match["row2"])
            column = self.number(match["column"] or match["column2"])
            return self._token(match, [(row, column)])
        return None

    def crossing(self, text: str, place: int, before: list[Token]) -> Token | None:
        """The cell of *3 c3* in a row that was named at the beginning, or of *3 r3* in a column."""
        match = _CROSSING.match(text, place)
        heading = self._heading
        said = "".join(one.letter for one in before if one.letter != "w")
        if heading is None or match is None or not _TOLD_WHERE.search(said):
            return None
        axes = {heading["kind"].casefold(): int(heading["number"])}
        axes |= {match["kind"].casefold(): int(match["number"])}
        return self._token(match, [(axes["r"], axes["c"])]) if {*axes} == {"r", "c"} else None

    def line(self, text: str, place: int) -> LineNamed | None:
        """The row or column of which the letter comes first: *C row*."""
        match = _LETTER_FIRST.match(text, place) if self.notation else None
        if match is None:
            return None
        kind = self.words.houses.get(match["kind"].casefold(), "")
        number = self.line_number(kind, match["letter"])
        return LineNamed(match, kind, number) if number != match["letter"] else None

    def line_number(self, kind: str, said: str) -> str:
        """The number of a row or column, also where the notes call it by a letter."""
        named = self.notation.line(kind, said) if self.notation else ""
        return named or said

    def number(self, text: str) -> int:
        """The value of a number as it is written, or as captions mishear it."""
        word = text.casefold()
        if word in self.words.numbers:
            return self.words.numbers[word]
        return self.words.misheard[word] if word in self.words.misheard else int(word)

    def _token(self, match: re.Match[str], places: Iterable[tuple[int, int]]) -> Token:
        cells = tuple(Cell(row, column) for row, column in places)
        known = all(cell in self.canvas.index for cell in cells)
        return Token(
            "C" if known else "U", match.group(), match.start(), match.end(), cells if known else ()
        )

    def _lists(self, text: str, match: re.Match[str]) -> bool:
        """Whether a row and a column, with a comma between them, go on as a list of houses."""
        if "," not in match.group():
            return False
        more = self.words.listed.and_house.match(text, match.end())
        kind = "row" if match["row2"] else "column"
        if more is not None and self.words.houses[more["kind"].casefold()] == kind:
            return True
        crossing = self.words.listed.crossed.match(
            text, match.end()
        )  # *column six, row three column five*
        if crossing is not None and self.words.houses[crossing["kind"].casefold()] != kind:
            return True
        if self.spoken:
            return False
        before, houses = text[: match.start()], 2
        while found := self.words.listed.before.search(before):
            before, houses = before[: found.start()], houses + 1
        end = match.end()
        while found := self.words.listed.after.match(text, end):
            end, houses = found.end(), houses + 1
        return houses % 2 == 1  # three houses do not make cells

    def _through(
        self, text: str, match: re.Match[str], cells: list[tuple[int, int]]
    ) -> Token | None:
        """The cells of *r4c7/8* and of *r7c7-r7c9*, if these are three; more may be a chain."""
        more = self.words.listed.or_column.match(text, match.end())
        to = _TO_CELL.match(text, match.end())
        if self.spoken or len(cells) != 1 or not (more or to):
            return None
        ((row, column),) = cells
        named = [(row, column)]
        if more:
            named.append((row, int(more["column"] or more["column2"])))
        elif to and not _CHAIN.search(text[: match.start()]):
            last = (int(to["row"]), int(to["column"]))
            if sorted((abs(last[0] - row), abs(last[1] - column))) != [0, 2]:
                return None
            named += [((row + last[0]) // 2, (column + last[1]) // 2), last]
        if len(named) < 2:
            return None
        end = more.end() if more else to.end() if to else match.end()
        first = self._token(match, named)
        return replace(first, text=text[match.start() : end], end=end)

    @staticmethod
    def _axis(text: str, size: int) -> list[int]:
        return [int(text)] if size > 9 else [int(figure) for figure in text]
