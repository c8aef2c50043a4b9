"""The cells that a clause of notes or prose is about, if it names none: a rule's, or the rest of a house.

*The 15 cage is 6 and 9 or 7 and 8*, *that cage can't hold an 8* are about the cells of a rule; *nothing
else in row nine can be 1* is about those of the row that were not just spoken of. The gleaner hears such
a clause as if these cells had been named; what is gleaned counts only if it is true (``gleaning.py``).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from gridassay.encodings.grid import Canvas, Cell
from gridassay.verify.listening.numbered_houses import lines_by_place
from gridassay.verify.listening.token import Token

_ELSEWHERE = frozenset("CHAM")
"""Words after the name of a rule that lead away from it."""


class Subjects:
    """Remembers the rule and the cells last spoken of; ``spans`` has the cells of each rule."""

    def __init__(
        self,
        canvas: Canvas,
        spans: Mapping[str, Sequence[Cell]],
        small: Mapping[str, frozenset[str]],
    ) -> None:
        self._spans = spans
        self._small = small
        self._houses = {house.name: frozenset(house.cells) for house in canvas.houses}
        self._lines = lines_by_place(canvas)
        self._rule = ""
        self._cells: tuple[Cell, ...] = ()

    def named(self, part: Sequence[Token]) -> list[Token]:
        """The part with the cells that it is about; a rule, or cells, are remembered."""
        row = list(part)
        rules = [at for at, one in enumerate(row) if one.letter == "Q"]
        if rules:
            self._rule = self._meant(row, rules[0]) if len(rules) == 1 else ""
        if any(one.letter == "C" for one in row):
            self._cells = tuple(cell for one in row if one.letter == "C" for cell in one.cells)
            return row
        rest = self._rest(row)
        if rest or not rules or not self._rule:
            return rest or row
        after = row[rules[0] + 1 :]
        until = next((at for at, one in enumerate(after) if one.letter == "D"), None)
        if until is None or any(one.letter in _ELSEWHERE for one in after[:until]):
            return row
        cells = tuple(self._spans[self._rule])
        if not cells or not _tells_of(cells, after):
            return row
        self._cells = cells
        row[rules[0]] = replace(row[rules[0]], letter="C", cells=cells, rules=())
        return row

    def _meant(self, row: Sequence[Token], place: int) -> str:
        """The rule that is named, by where it lies if there are several; *that cage* is the last one."""
        named = [one for one in row[place].rules if self._spans.get(one)]
        if self._rule in named and row[place].text.split()[0].casefold() in self._small["that"]:
            return self._rule
        around = [one.house for one in row[:place] if one.letter == "H"]
        around += [
            self._lines[one.spot] for one in row if one.letter == "L" and one.spot in self._lines
        ]
        for house in around:
            within = [one for one in named if self._houses[house].issuperset(self._spans[one])]
            named = within or named
        return named[0] if len(named) == 1 else ""

    def _rest(self, row: Sequence[Token]) -> list[Token]:
        """With the cells that are left of a house, and a *not* if only *nothing* denies their digits."""
        for place, token in enumerate(row[1:], 1):
            if token.letter != "H" or row[place - 1].letter != "O" or not self._cells:
                continue
            left = tuple(sorted(self._houses.get(token.house, frozenset()) - {*self._cells}))
            if not left or len(left) == len(self._houses[token.house]):
                return []
            cells = replace(token, letter="C", cells=left, house="")
            lead = [
                replace(one, letter="X") if one.text.casefold() in self._small["nothing"] else one
                for one in row[: place - 1]
            ]
            return [*lead, cells, *row[place + 1 :]]
        return []


def _tells_of(cells: Sequence[Cell], after: Sequence[Token]) -> bool:
    """Whether what follows a rule denies digits, or lists at least as many as it has cells."""
    digits = {digit for one in after if one.letter == "D" for digit in one.digits}
    denies = any(one.letter in "XR" for one in after)
    return denies or 1 < len(cells) <= len(digits)
