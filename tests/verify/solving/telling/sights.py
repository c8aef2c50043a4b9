"""How cells see each other in words: "r1c6 sees r1c7 in row 1 and r3c7 a knight's move away"."""

from __future__ import annotations

import re
from collections.abc import Iterable

from gridassay.encodings.grid import Cell

from .board import Board
from .words import CELLS, Unreadable, cells_in

MOVES = {"a knight's move": "the anti-knight rule", "a king's move": "the anti-king rule"}
WAY = r"(?:(?:in|on|by) [a-zA-Z][\w ×÷+−'-]*?|a \w+'s move away)"
_NUMBERS = {"both": 2, "all three": 3, "all four": 4, "all five": 5, "all six": 6, "all seven": 7}


def word_list(words: Iterable[str]) -> str:
    """Some words in a row."""
    *others, last = words if (words := list(words)) else [""]
    return f"{', '.join(others)} and {last}" if others else last


def sees_by(board: Board, way: str, one: Cell, other: Cell) -> bool:
    """Whether two cells see each other in this way."""
    name = MOVES[way.removesuffix(" away")] if way.endswith(" away") else way[3:]
    preposition = way[:3]
    if name in board.plain.lines:
        assert preposition == "on ", way
    elif name in board.plain.houses:
        assert preposition == "in ", way
    return name in board.plain.by(one, other)


def sights(board: Board, text: str, named: list[Cell] | None = None) -> dict[Cell, set[Cell]]:
    """The cells that are said to be seen, each sight checked; ``named`` are what *all* means."""
    found: dict[Cell, set[Cell]] = {}
    for clause in re.split(r"; | and (?=r\d+c\d+ sees)", text):
        m = re.fullmatch(rf"({CELLS}) (?:each see|sees) (?:(both|all \w+),? )?(.+)", clause)
        if m is None:
            raise Unreadable(f"no sight: {clause!r}")
        groups = re.findall(rf"({CELLS}) ({WAY})(?=, r| and r|$)", m[3])
        assert word_list(f"{cells} {way}" for cells, way in groups) == m[3] or not groups, clause
        seen = [(cell, way) for cells, way in groups for cell in cells_in(cells)]
        if m[2]:
            whom = named or []
            assert len(whom) == _NUMBERS[m[2]], clause
            seen = seen or [(cell, m[3]) for cell in whom]
            assert sorted(cell for cell, _ in seen) == sorted(whom), clause
        assert seen, clause
        for one in cells_in(m[1]):
            for other, way in seen:
                assert sees_by(board, way, one, other), f"{clause}: {one} and {other} {way}"
                found.setdefault(one, set()).add(other)
    return found
