"""Words that point back: *the box*, *neither of them*, *the rest of row nine*, *in column six*.

A house is the one of the cell beside it, or the one last named; *the seven is in column six* names a
cell where the row was named before, as a heading does.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from gridassay.encodings.grid import Canvas, Cell
from gridassay.verify.listening.box_places import box_along
from gridassay.verify.listening.clauses import (
    CROSSED,
    LISTED,
    TWICE,
    names_digit,
    refers,
)
from gridassay.verify.listening.crossings import Crossings
from gridassay.verify.listening.named_rules import NamedRules
from gridassay.verify.listening.numbered_houses import lines_by_place
from gridassay.verify.listening.small_words import IT
from gridassay.verify.listening.token import ON_SIDE, Token
from gridassay.verify.listening.vocabulary import Vocabulary
from gridassay.verify.solving.techniques import last_cell

_HEADING = re.compile("[IS]*H(?:$|[BJ])|[IS]*HE?T(?:$|[BJSD])")
_THERE = re.compile("D[EG]+I*H(?!I*[HC])")
_IN_TURN = re.compile("D[EG]*[IF]+H(?!I*[HC])")
_OWN = re.compile("H[EGJ]*D(?!I+[HC])")
_ALL_IN_TURN = re.compile("(?:D[EG]*[IF]+H|[EGIT])*")
_BREAKS = "SB"


class References:
    """The houses and cells last spoken of, and the tokens of a sentence with what they point back to."""

    def __init__(
        self,
        canvas: Canvas,
        words: Vocabulary,
        spans: Mapping[str, Sequence[Cell]],
        crossings: Crossings,
        *,
        spoken: bool,
    ) -> None:
        self.canvas = canvas
        self._words = words
        self._rules = NamedRules(spans, spoken=spoken)
        self._spoken = spoken
        self._shared = crossings.cells_of_all
        self._scopes = {house.name: frozenset(house.cells) for house in canvas.houses}
        self._kinds = {house.name: house.kind for house in canvas.houses}
        self.houses: dict[str, str] = {}
        self.heading = ""
        self._lead = ""
        self.cells: tuple[Cell, ...] = ()
        self._several: tuple[Cell, ...] = ()

    def plainly(self, row: list[Token]) -> list[Token]:
        """With houses for *the box*, cells for *neither of them*, and denied digits together."""
        boxed = "box" in self.houses or any(
            one.letter == "A" or self._kinds.get(one.house) == "box" for one in row
        )
        row = [token for piece in _pieces(row) for token in self._with_lines(piece, boxed=boxed)]
        row = self._with_boxes(row)
        plain = self._with_cells(self._with_houses(self._rules.as_cells(row)))
        letters = "".join(token.letter for token in plain)
        for match in reversed(list(TWICE.finditer(letters))):
            several = [one for one in plain[match.start() : match.end()] if one.letter == "D"]
            digits = tuple(dict.fromkeys(digit for one in several for digit in one.digits))
            plain[match.start() : match.end()] = [
                replace(several[0], digits=digits, end=several[-1].end)
            ]
        return self._crossed(self._listed(plain))

    def _with_houses(self, row: list[Token]) -> list[Token]:
        cells = [token for token in row if token.letter == "C"]
        plain: list[Token] = []
        for token in row:
            if token.letter == "H":
                self.houses[self._kinds[token.house]] = token.house
            if token.letter == "A":
                near = next((one for one in reversed(plain) if one.letter == "C"), None)
                house = self._this(token.text, near or (cells[0] if cells else None))
                if house:
                    token = replace(token, letter="H", house=house)
                elif cells:
                    continue
                else:
                    kind = self._words.houses[token.text.casefold().split()[-1]]
                    token = replace(token, letter="M", spot=f"same {kind}")
            if token.letter == "D" and not cells and plain and refers(plain[-1]):
                plain.pop()  # *under the nine* says beside what, not which digit
                continue
            if token.text == ":" and names_digit(plain):
                token = replace(token, letter="J")
            if token.letter == "L" and token.spot == "other" and cells:
                token = replace(token, letter="S")  # another cell than those named
            if token.letter in "LM" and cells:
                continue
            plain.append(token)
        return plain

    def _this(self, said: str, near: Token | None) -> str:
        """The house that *the box* is: the one of the cell beside it, else the one last named."""
        kind = self._words.houses[said.casefold().split()[-1]]
        if near is not None:
            for name, cells in self._scopes.items():
                if self._kinds[name] == kind and set(near.cells) <= cells:
                    return name
            return ""
        return self.houses.get(kind, "")

    def _with_cells(self, row: list[Token]) -> list[Token]:
        """With the cells that were said before, and the rest of a house."""
        plain: list[Token] = []
        named = [cell for token in row if token.letter == "C" for cell in token.cells]
        for place, token in enumerate(row):
            if token.text == ":" and place > 1 and _struck_from_rest(row, place - 1):
                continue
            if token.letter == "C":
                if len(token.cells) > 1:
                    self._several = token.cells
                elif not _is_compared(row, place):
                    self.cells = token.cells
            elif token.letter == "N":
                cells = self.cells if token.spot == IT else self._several
                if cells:
                    plain.append(replace(token, letter="C", cells=cells, firm=False))
                continue
            elif token.letter == "O":
                continue
            elif token.letter == "H" and _struck_from_rest(row, place):
                if any(one.letter == "C" for one in row[place + 1 : place + 3]):
                    continue  # *the rest of box two: r2c6, r3c5* names them
                known = {*named, *(self.cells if not named else ())}
                rest = tuple(
                    cell for cell in self._scopes.get(token.house, ()) if cell not in known
                )
                if rest:
                    rest = tuple(sorted(rest))
                    plain.append(
                        replace(token, letter="C", cells=rest, house="", spot="rest", firm=False)
                    )
                    continue
            plain.append(token)
        return plain

    def _listed(self, row: list[Token]) -> list[Token]:
        """With the digit said again for each cell of *the twos: r5c5 in box 5, r6c2 in box 4*."""
        letters = "".join(token.letter for token in row)
        match = LISTED.search(letters)
        if match is None or match.end() < len(letters) or letters[: match.start()].strip("HISB"):
            return row
        digit = row[match.start()]
        word = digit.text.casefold().split()[-1]
        if not word.endswith("s") or digit.either or len(digit.digits) != 1:
            return row
        several = list(row)
        for place in range(len(row) - 1, match.start(), -1):
            if row[place].letter == "C" and row[place - 1] is not digit:
                again = replace(digit, start=row[place].start, end=row[place].start)
                several[place:place] = [replace(again, letter="S", digits=()), again]
        return several

    def _crossed(self, row: list[Token]) -> list[Token]:
        """With the cell where the two houses of a digit cross, the second of which may be the heading."""
        plain: list[Token] = []
        used = False
        letters = "".join(token.letter for token in row)
        heads = _HEADING.match(letters)
        self._lead = ""
        if heads:
            self.heading = self._lead = next(token.house for token in row if token.letter == "H")
        for piece in _pieces(row):
            said = "".join(token.letter for token in piece)
            if not set(said) & set("PRX"):
                crossed = list(self._crossings(piece, said))
                used = used or len(crossed) != len(piece)
                piece = crossed
            plain += piece
        if not heads and not used and {"D", "H"} <= set(letters):
            self.heading = ""
        return plain

    def _crossings(self, piece: list[Token], said: str) -> Iterator[Token]:
        place = 0
        while place < len(piece):
            match = CROSSED.match(said, place)
            lone = _THERE.match(said, place)
            turn = _IN_TURN.match(said, place)
            begins = "C" not in said and ("D" not in said[:place] or said[place] == "D")
            begins = begins or (said[place] in "HD" and bool(re.search("C.*D[TE]*$", said[:place])))
            token = None
            if match and begins:
                whole = not said[: match.start()] and bool(
                    _ALL_IN_TURN.fullmatch(said, match.end())
                )
                part = piece[match.start() : match.end()]
                token = self._cell(part, "", firm=whole)
                if token is not None:
                    self._lead = next(one.house for one in part if one.letter == "H")
            own = _OWN.match(said, place)
            if token is None and own and self._lead and place + 1 < len(piece):
                match = own
                token = self._cell(piece[place : match.end()], self._lead, firm=False)
            if token is None and turn and self._lead:
                match = turn
                part = piece[match.start() : match.end()]
                token = self._cell(part, self._lead, firm=bool(_ALL_IN_TURN.fullmatch(said, place)))
            if token is None and lone and self.heading:
                match = lone
                token = self._cell(piece[match.start() : match.end()], self.heading, firm=False)
            if match is None or token is None:
                yield piece[place]
                place += 1
                continue
            yield from token
            place = match.end()

    def _with_lines(self, piece: list[Token], *, boxed: bool) -> list[Token]:
        """With the first or last row for *the top row* where a column is named, and the reverse.

        In captions also where no box is named, and where its last cell is spoken of.
        """
        ends = any(token.technique == last_cell.NAME for token in piece)
        kinds = {self._kinds[token.house] for token in piece if token.letter == "H"}
        lines = lines_by_place(self.canvas)
        plain = []
        if any(token.letter == "C" for token in piece):
            return piece
        for token in piece:
            house = lines.get(token.spot, "") if token.letter == "L" else ""
            kind = self._kinds.get(house, "")
            if (
                kind
                and token.text.casefold().endswith(kind)
                and (
                    {"row", "column"} - {kind} <= kinds <= {"row", "column"}
                    or (self._spoken and (ends or not boxed))
                )
            ):
                token = replace(token, letter="H", house=house, spot="")
            plain.append(token)
        return plain

    def _with_boxes(self, row: list[Token]) -> list[Token]:
        """With the box that a row crosses on the right, for *the right-hand box*."""
        lines = {token.house for token in row if self._kinds.get(token.house) in ("row", "column")}
        if len(lines) != 1:
            return row
        (line,) = lines
        return [
            replace(one, house=box_along(self.canvas, one.house, line))
            if one.spot == ON_SIDE
            else one
            for one in row
        ]

    def _cell(self, part: Sequence[Token], house: str, *, firm: bool) -> list[Token] | None:
        """A digit, and the one cell that two houses share, as if that cell had been named."""
        named = [token.house for token in part if token.letter == "H"] + ([house] if house else [])
        digit = next(token for token in part if token.letter == "D")
        cells = self._shared(*named) if len(named) == 2 else ()
        if len(cells) != 1:
            return None
        start, end = min(one.start for one in part), max(one.end for one in part)
        cell = Token("C", "", start, end, cells, firm=firm)
        return [digit, replace(digit, letter="I", digits=()), cell]


def _is_compared(row: Sequence[Token], place: int) -> bool:
    """Whether a cell is only what another one is compared with: *r1c4 is next to the plus in r1c3*."""
    before = "".join(one.letter for one in row[:place])
    clause = re.split("[SB]", before)[-1]
    return bool(re.search("C[EGIMTQ]+$", clause))


def _struck_from_rest(row: Sequence[Token], place: int) -> bool:
    """Whether a house comes right after *the rest of*, and digits are struck from it."""
    if not place or row[place - 1].letter != "O":
        return False
    letters = "".join(token.letter for token in row)
    follows = re.match("[EG]*[XR]", letters[place + 1 :])
    return bool(follows or re.search("[XRF]", letters[: place - 1]))


def _pieces(row: Sequence[Token]) -> Iterator[list[Token]]:
    """A row cut where one thing follows from another."""
    piece: list[Token] = []
    for token in row:
        if token.letter in _BREAKS:
            yield [*piece, token]
            piece = []
        else:
            piece.append(token)
    yield piece
