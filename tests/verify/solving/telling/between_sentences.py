"""Sentences about what two digits of a line shut in, decided by every way to fill the line."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from itertools import permutations

from gridassay.encodings.grid import Cell

from .board import Board
from .words import CELL, CELLS, DIGITS, Marks, cells_in, conclusion, digits_in

_LIMIT = r"nothing|at most \d+|at least \d+"
_SHUT = (
    rf"with (\d+) in ({CELL}), (\d+) in ({CELLS}) would shut in ({_LIMIT})"
    rf"(?:, and in ({CELLS}) ({_LIMIT}))?"
)
_WOULD = (
    rf"(\d+) in ({CELLS}) would shut in ({_LIMIT})"
    rf"(?: wherever (\d+) is| with (\d+) in ({CELLS})(?:, and ({_LIMIT}) with (\d+) anywhere else)?)"
)
_MADE = (
    rf"(?:(\d+) less ({DIGITS}) is (\d+)(?:, which ({CELLS}) make)?|({CELLS}) make (\d+)"
    rf"|only ({CELL}) is between them)"
    r"(?=, so )"
)


class _Line:
    """A line with a clue on what is between its lowest and its highest digit."""

    def __init__(self, board: Board, cells: Sequence[Cell], amount: int) -> None:
        self.board = board
        self.cells = list(cells)
        self.amount = amount
        digits = sorted(board.plain.digits)
        self.ends = {digits[0], digits[-1]}
        self.ways = list(self._every())

    def _every(self) -> Iterator[tuple[int, ...]]:
        for way in permutations(sorted(self.board.plain.digits), len(self.cells)):
            if all(d in self.board.candidates[c] for c, d in zip(self.cells, way, strict=True)):
                yield way

    def inside(self, one: Cell, other: Cell) -> list[Cell]:
        """The cells between two of them."""
        first, last = sorted((self.cells.index(one), self.cells.index(other)))
        return self.cells[first + 1 : last]

    def drop(self, cell: Cell, digit: int) -> None:
        """The digit is not in the cell."""
        self.ways = [way for way in self.ways if way[self.cells.index(cell)] != digit]

    def shut_in(self, m: re.Match[str], text: str) -> None:
        """All places of the other digit, or all but one, have too little or too much between."""
        digit, other, (cell,) = int(m[1]), int(m[3]), cells_in(m[2])
        assert {digit, other} == self.ends, text
        told: list[Cell] = []
        for names, limit in ((m[4], m[5]), (m[6], m[7])):
            for place in cells_in(names or ""):
                told.append(place)
                number = int((re.search(r"\d+", limit) or ["0"])[0])
                little = not limit.startswith("at least")
                assert number < self.amount if little else number > self.amount, text
                for made in self._between(cell, place):
                    assert made <= number if little else made >= number, f"{text}: {made}"
        left = self.board.places(other, self.cells) - {cell, *told}
        known = all(way[self.cells.index(cell)] == digit for way in self.ways)
        assert len(told) == len(set(told)), text
        assert len(left) <= known, text
        if known:
            for place in told:
                self.drop(place, other)
        else:
            self.drop(cell, digit)

    def would(self, m: re.Match[str], text: str) -> None:
        """With a digit in a cell every place of the other one has too little or too much between."""
        digit, other = int(m[1]), int(m[4] or m[5])
        assert {digit, other} == self.ends, text
        assert m[8] in (None, m[5]), text
        for cell in cells_in(m[2]):
            places = self.board.places(other, self.cells) - {cell}
            named = {*cells_in(m[6])} if m[6] else places
            assert named <= places, text
            assert (named < places) is bool(m[7]), text
            for place in places:
                limit = m[3] if place in named else m[7]
                number = int((re.search(r"\d+", limit) or ["0"])[0])
                little = not limit.startswith("at least")
                assert number < self.amount if little else number > self.amount, text
                for made in self._between(cell, place):
                    assert made <= number if little else made >= number, f"{text}: {made}"
            self.drop(cell, digit)

    def _between(self, one: Cell, other: Cell) -> set[int]:
        """The sums that can stand between the two ends in these cells."""
        inside = self.inside(one, other)
        found = set()
        for digits in permutations(sorted({*self.board.plain.digits} - self.ends), len(inside)):
            if all(d in self.board.candidates[c] for c, d in zip(inside, digits, strict=True)):
                found.add(sum(digits))
        return found

    def made(self, m: re.Match[str], text: str) -> None:
        """The two ends are known by now, and the cells between them make the amount."""
        low, high = sorted(self.ends)
        spots = {(way.index(low), way.index(high)) for way in self.ways}
        assert len(spots) == 1, f"{text}: {spots}"
        ((one, other),) = spots
        inside = self.inside(self.cells[one], self.cells[other])
        known = [c for c in inside if len(self.board.candidates[c]) == 1]
        left = [c for c in inside if c not in known]
        digits = [next(iter(self.board.candidates[c])) for c in known]
        if m[1]:
            assert int(m[1]) == self.amount, text
            assert digits_in(m[2]) == digits, text
            assert int(m[3]) == self.amount - sum(digits), text
            assert cells_in(m[4] or "") == left or (not m[4] and len(left) == 1), text
        elif m[7]:
            assert not known, text
            assert cells_in(m[7]) == left, text
        else:
            assert not known, text
            assert cells_in(m[5]) == left, text
            assert int(m[6]) == self.amount, text
        rest = self.amount - sum(digits)
        places = [self.cells.index(c) for c in left]
        self.ways = [way for way in self.ways if sum(way[p] for p in places) == rest]


def between(board: Board, phrase: str, text: str) -> tuple[Marks, Marks] | None:
    """Check such a sentence after its rule; None for any other."""
    if not any(re.match(one, text) for one in (_SHUT, _WOULD, _MADE)):
        return None
    clue = re.search(r"the (\d+) sandwich", phrase)
    if clue is None:
        return None
    line = _Line(board, board.plain.cells(phrase), int(clue[1]))
    rest = text
    for form, check in ((_WOULD, line.would), (_SHUT, line.shut_in)):
        while m := re.match(rf"(?:; )?{form}", rest):
            check(m, text)
            rest = rest[m.end() :]
    if m := re.match(rf"(?:; )?{_MADE}", rest):
        line.made(m, text)
        rest = rest[m.end() :]
    places, removes = conclusion(board, rest.removeprefix(", "))
    gone = removes | {(c, o) for c, d in places for o in board.candidates[c] if o != d}
    for cell, digit in gone:
        place = line.cells.index(cell)
        assert not any(way[place] == digit for way in line.ways), f"{text}: {digit} in {cell}"
    return places, removes
