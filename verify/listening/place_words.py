"""Cells told by their place in a house: *in row six the fifth square*, *the foot of that column*.

A house and a place in it are one cell, as if that had been named. The house is said with the place, or
before it: in its clause, of the place before (*and the fourth is a 1*), or in the sentence before.
Where it was only gone on with, the cell is not ``firm``, and its ``others`` are the cells of other houses
that may have been meant.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from gridassay.encodings.grid import Canvas, Cell
from gridassay.verify.listening.crossings import Crossings
from gridassay.verify.listening.place_clauses import (
    clause_after,
    clause_before,
    has_its_cell,
    names_house,
    names_it,
    of_house,
    stands_alone,
)
from gridassay.verify.listening.place_gleaning import cells_of_place
from gridassay.verify.listening.token import Token
from gridassay.verify.listening.vocabulary import Vocabulary

_LINES = ("row", "column")
_KINDS = dict.fromkeys(("left", "right"), ("row",)) | dict.fromkeys(("top", "bottom"), ("column",))
_SIDES = {
    "left of": ((0, -1),),
    "right of": ((0, 1),),
    "over": ((-1, 0),),
    "under": ((1, 0),),
    "beside": ((0, 1), (0, -1), (1, 0), (-1, 0)),
}
_SINCE = 1
"""So many sentences after a cell was named it is still what something may lie beside."""


class PlaceWords:
    """Finds the cells told by a place; remembers the houses and the cell that were last spoken of."""

    def __init__(self, canvas: Canvas, words: Vocabulary, crossings: Crossings) -> None:
        self._canvas = canvas
        self._words = words
        self._shared = crossings.cells_of_all
        self._kinds = {house.name: house.kind for house in canvas.houses}
        self._cells = {house.name: house.cells for house in canvas.houses}
        self._topics: dict[str, str] = {}
        self._line = self._told = ""
        self._cells_said: tuple[Cell, ...] = ()
        self._since = 0

    @property
    def _cell(self) -> Cell | None:
        """The cell last spoken of."""
        return self._cells_said[-1] if self._cells_said else None

    def with_cells(self, text: str, tokens: Sequence[Token]) -> list[Token]:
        """The tokens of a sentence, with a cell for the words of each place."""
        self._told = ""
        self._since += 1
        row: list[Token] = []
        rest = list(tokens)
        while rest:
            token = self._at(text, row, rest)
            if token is None:
                row.append(rest.pop(0))
            else:
                self._drop_words_before(row, token)
                row.append(token)
                rest = [one for one in rest if one.start >= token.end]
            self._remember(row)
        return row

    def cells_of(self, part: Sequence[Token], anywhere: bool) -> tuple[Cell, ...]:
        """The cells that words for a place may mean, of the houses in them or last spoken of.

        With ``anywhere`` a house is a place too.
        """
        topics = [self._cells[house] for house in self._topics.values()]
        houses = [self._with_topic(token) for token in part]
        beside = self._words.small["next to"]
        return cells_of_place(houses, topics, self._cells, beside, anywhere=anywhere)

    def _with_topic(self, token: Token) -> Token:
        """With the house last spoken of for *that column*."""
        if token.letter != "A":
            return token
        house = self._topics.get(self._words.houses[token.text.casefold().split()[-1]], "")
        return replace(token, letter="H", house=house) if house else token

    def _remember(self, row: Sequence[Token]) -> None:
        token = row[-1]
        if token.letter == "H":
            kind = self._kinds[token.house]
            for one in clause_before(row[:-1]):
                if {kind, self._kinds.get(one.house, "")} == {*_LINES}:
                    shared = self._shared(one.house, token.house)
                    self._cells_said = (*self._cells_said, *shared)[-2:]
            self._topics[kind] = token.house
            if kind in _LINES:
                self._line = token.house
        if token.letter == "C" and len(token.cells) == 1:
            self._since = 0
            self._cells_said = (*self._cells_said, *token.cells)[-2:]
            for house in self._canvas.houses:
                if token.cells[0] in house.cells:
                    self._topics[house.kind] = house.name

    @staticmethod
    def _drop_words_before(row: list[Token], token: Token) -> None:
        while row and row[-1].end > token.start:
            row.pop()

    def _at(self, text: str, row: Sequence[Token], rest: Sequence[Token]) -> Token | None:
        """The cell of the words for a place that begin at a token."""
        place = rest[0].start
        if rest[0].letter in "CHA" or (row and row[-1].end > place):
            return None
        for regex, cells in (
            (self._words.places.centre, self._centre),
            (self._words.places.nth, self._nth),
            (self._words.places.end, self._end),
            (self._words.places.by, self._by),
            (self._words.places.same, self._same),
            (self._words.places.corner, self._corner),
            (self._words.places.part, self._part),
            (self._words.places.between, self._between),
        ):
            match = regex.match(text, place)
            if match is None or match.end() == place:
                continue
            after = self._after(text, match.end(), rest)
            token = cells(text, match, row, after) if after is not None else None
            if token is not None and (names_it(row, rest, token.end) or has_its_cell(row)):
                return None
            if token is not None:
                return token
        return None

    def _after(self, text: str, end: int, rest: Sequence[Token]) -> list[Token] | None:
        """The tokens after the words of a place; none if these end within a token, but for its *of*."""
        after = [one for one in rest if one.start >= end]
        for one in rest:
            if one.start < end < one.end:
                word = text[end : one.end].strip()
                if word.casefold() not in self._words.places.of:
                    return None
                after.insert(0, Token("I", word, end, one.end))
        return after

    def _nth(
        self, text: str, match: re.Match[str], row: Sequence[Token], rest: Sequence[Token]
    ) -> Token | None:
        """*The fifth square of row six*, *the second from the right*; *and the fourth is a 1*."""
        told = match["noun"] or match["side"] or of_house(rest)
        if not told and not stands_alone(row, rest):
            return None
        count = self._words.places.numbers[_plain(match["nth"])]
        many = self._words.places.amounts.get(_plain(match["many"] or ""), 1)
        side = match["side"].casefold() if match["side"] else ""
        if count == -1 and not (side or names_house(row)):
            return None  # *the last square of row six* may be anywhere in it
        kinds = _KINDS.get(side, _LINES)
        if side in ("right", "bottom"):
            count = -count
        digit = _plain(match["noun"] or "") in self._words.places.digits
        found = self._house(row, rest, kinds, loosely=not digit)
        if found is None or abs(count) + many - 1 > len(self._cells[found[0]]):
            return None
        house, end, firm = found
        cells = self._cells[house]
        self._told = house
        at = count - 1 if count > 0 else len(cells) + count - many + 1
        near = () if firm else self._same_place(at, house, row)
        if count == -1 and not side:
            firm, near = False, cells
        return self._token(text, match, end, cells[at : at + many], firm=firm, others=near)

    def _same_place(self, at: int, house: str, row: Sequence[Token]) -> tuple[Cell, ...]:
        """The cells at the same place of the other lines spoken of."""
        lines = {self._topics.get(kind, "") for kind in _LINES} | {self._line}
        lines |= {one.house for one in row if self._kinds.get(one.house) in _LINES}
        return tuple(self._cells[one][at] for one in sorted(lines - {house, ""}))

    def _end(
        self, text: str, match: re.Match[str], row: Sequence[Token], rest: Sequence[Token]
    ) -> Token | None:
        """*The foot of that column*, *at the end of row two*, *at its left*."""
        kinds, place = self._words.places.ends[" ".join(match["end"].casefold().split())]
        told = of_house(rest)
        if not (told or match["noun"] or (match["at"] and match["its"])):
            return None
        found = self._house(row, rest, kinds, loosely=bool(match["several"] or match["noun"]))
        if found is None:
            return None
        house, end, firm = found
        cells = self._cells[house]
        if place == 0 and len(cells) % 2 == 0:
            return None
        self._told = house
        many = self._words.places.amounts.get(_plain(match["several"] or ""), 1)
        some = {1: cells[:many], -1: cells[-many:], 0: cells[len(cells) // 2 :][:1]}[place]
        whole = end > 0 or match["noun"] or " " in match["end"]
        near = () if whole else self._in_boxes(house, place)
        return self._token(text, match, end, some, firm=firm and bool(whole), others=near)

    def _in_boxes(self, house: str, place: int) -> tuple[Cell, ...]:
        """The cells at an end, or in the middle, of the part of a line in each box."""
        line = self._cells[house]
        parts = [
            [cell for cell in line if cell in self._cells[box]]
            for box, kind in self._kinds.items()
            if kind == "box"
        ]
        at = {1: 0, -1: -1}
        return tuple(part[at.get(place, len(part) // 2)] for part in parts if part)

    def _centre(
        self, text: str, match: re.Match[str], row: Sequence[Token], rest: Sequence[Token]
    ) -> Token | None:
        """*The very middle square*, *the centre of the grid*."""
        down, along = self._canvas.rows, self._canvas.columns
        cell = Cell(down // 2 + 1, along // 2 + 1)
        housed = of_house(rest) or any(one.letter == "H" for one in clause_before(row))
        if housed or down % 2 == 0 or along % 2 == 0 or cell not in self._canvas.index:
            return None
        houses = (*self._topics.values(),) if match["plain"] else ()
        middles = (self._cells[one][len(self._cells[one]) // 2] for one in houses)
        firm = not match["plain"]
        return self._token(text, match, match.end(), (cell,), firm=firm, others=tuple(middles))

    def _by(
        self, text: str, match: re.Match[str], row: Sequence[Token], rest: Sequence[Token]
    ) -> Token | None:
        """*Just below it*, unless the cell is named as well."""
        clause = [*clause_before(row), *clause_after(rest)]
        if self._cell is None or self._since > _SINCE or any(one.letter in "CH" for one in clause):
            return None
        follows = "".join(one.letter for one in rest if one.letter not in "wUK")
        if re.match("I*[CH]", follows):
            return None
        sides = _SIDES[self._words.places.by_words[" ".join(match["by"].casefold().split())]]
        far = 2 if len(sides) > 1 else max(self._canvas.rows, self._canvas.columns)
        cells = [
            Cell(self._cell.row + down * step, self._cell.column + along * step)
            for step in range(1, far)
            for down, along in sides
        ]
        cells = [one for one in cells if one in self._canvas.index]
        if not cells:
            return None
        return self._token(text, match, match.end(), cells[:1], firm=False, others=tuple(cells[1:]))

    def _same(
        self, text: str, match: re.Match[str], row: Sequence[Token], rest: Sequence[Token]
    ) -> Token | None:
        """*In the same column* as the last cell, of a clause about a row."""
        kind = self._words.houses[match["kind"].casefold()]
        crossing = [
            one.house
            for one in clause_before(row)
            if self._kinds.get(one.house) in _LINES and self._kinds[one.house] != kind
        ]
        house = self._topics.get(kind, "")
        if len(crossing) != 1 or not house or self._cell not in self._cells[house]:
            return None
        shared = self._shared(crossing[0], house)
        return self._token(text, match, match.end(), shared, firm=True) if shared else None

    def _corner(
        self, text: str, match: re.Match[str], row: Sequence[Token], rest: Sequence[Token]
    ) -> Token | None:
        """*Its bottom right corner*, *the top middle square of box two*."""
        if not (match["noun"] or match["its"] or of_house(rest)):
            return None
        found = self._house(row, rest, ("box",), loosely=True)
        grid = self._canvas.rows * self._canvas.columns
        if found is None or len(self._canvas.index) != grid:
            return None
        box, end, firm = found
        down, along = self._words.places.corners[_plain(match["corner"])]
        rows = sorted({cell.row for cell in self._cells[box]})
        columns = sorted({cell.column for cell in self._cells[box]})
        cell = Cell(_third(rows, down), _third(columns, along))
        of_grid = Cell(_third(range(1, self._canvas.rows + 1), down),
                       _third(range(1, self._canvas.columns + 1), along))  # fmt: skip
        if cell not in self._cells[box]:
            return None
        near = () if firm else (of_grid,)
        return self._token(text, match, end, (cell,), firm=firm, others=near)

    def _part(
        self, text: str, match: re.Match[str], row: Sequence[Token], rest: Sequence[Token]
    ) -> Token | None:
        """The row of *in the top row of it, in column five*, where a column is named too."""
        told = bool(match["of"]) or any(self._kinds.get(one.house) == "box" for one in row)
        box = self._topics.get("box", "") if told else ""
        kind = self._words.houses[match["kind"].casefold()]
        clause = [*clause_before(row), *clause_after(rest)]
        crossing = [one for one in clause if self._kinds.get(one.house) in _LINES]
        if not box or [self._kinds[one.house] for one in crossing] != [
            "column" if kind == "row" else "row"
        ]:
            return None
        place = self._words.places.parts[_plain(match["part"])]
        numbers = sorted({getattr(cell, kind) for cell in self._cells[box]})
        line = _third(numbers, place)
        house = next(
            house.name
            for house in self._canvas.houses
            if house.kind == kind and getattr(house.cells[0], kind) == line
        )
        return Token("H", match.group(), match.start(), match.end(), house=house)

    def _between(
        self, text: str, match: re.Match[str], row: Sequence[Token], rest: Sequence[Token]
    ) -> Token | None:
        """The one cell between the last two: *between them there is only an 8*."""
        if len(self._cells_said) < 2:
            return None
        one, other = self._cells_said
        apart = abs(one.row - other.row), abs(one.column - other.column)
        cell = Cell((one.row + other.row) // 2, (one.column + other.column) // 2)
        if sorted(apart) != [0, 2] or cell not in self._canvas.index:
            return None
        return self._token(text, match, match.end(), (cell,), firm=False)

    def _house(
        self,
        row: Sequence[Token],
        rest: Sequence[Token],
        kinds: Sequence[str],
        *,
        loosely: bool,
    ) -> tuple[str, int, bool] | None:
        """The house of a place, where its words end, and whether it was told with the place.

        ``loosely`` allows a house of another clause or sentence.
        """
        said = of_house(rest)
        if said is not None and rest[0].text.casefold() in self._words.places.of:
            if said.letter == "H":
                known = self._kinds[said.house] in kinds
                return (said.house, said.end, True) if known else None
            if said.letter == "A":
                kind = self._words.houses[said.text.casefold().split()[-1]]
                house = self._topics.get(kind, "") if kind in kinds else ""
                return (house, said.end, False) if house else None
        clause = [one.house for one in clause_before(row) if self._kinds.get(one.house) in kinds]
        if clause:
            return clause[-1], -1, True
        if self._told and self._kinds[self._told] in kinds:
            return self._told, -1, True
        if not loosely:
            return None
        sentence = [one.house for one in row if self._kinds.get(one.house) in kinds]
        if sentence:
            return sentence[0], -1, False
        if "box" in kinds and self._topics.get("box"):
            return self._topics["box"], -1, False
        if self._line and self._kinds[self._line] in kinds:
            return self._line, -1, False
        return None

    def _token(
        self,
        text: str,
        match: re.Match[str],
        end: int,
        cells: Sequence[Cell],
        *,
        firm: bool,
        others: tuple[Cell, ...] = (),
    ) -> Token:
        start, end = match.start(), max(end, match.end())
        others = tuple(dict.fromkeys((*cells, *others)))
        return Token("C", text[start:end], start, end, tuple(cells), firm=firm, others=others)


def _third(numbers: Sequence[int], place: int) -> int:
    """The first, the middle or the last of some numbers."""
    return numbers[{-1: 0, 0: len(numbers) // 2, 1: -1}[place]]


def _plain(words: str) -> str:
    return " ".join(words.casefold().replace("-", " ").split())
