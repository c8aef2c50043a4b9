"""The forms of sentences: patterns, each with a check, and what the checks share."""

from __future__ import annotations

import re
from collections.abc import Callable

from gridassay.encodings.grid import Cell

from .board import Board
from .prover import Facts
from .words import Unreadable

Form = Callable[[Board, "re.Match[str]"], Facts]
FORMS: list[tuple[re.Pattern[str], Form]] = []
NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")
HOUSE = r"[a-zA-Z][\w ×÷+−'-]*?"


def form(pattern: str) -> Callable[[Form], Form]:
    """A form of sentence; what follows ``, so`` or ``: so`` is its conclusion."""

    def enter(check: Form) -> Form:
        FORMS.append((re.compile(pattern), check))
        return check

    return enter


def zone(board: Board, name: str) -> frozenset[Cell]:
    """The cells of a house or rule by what it is called."""
    if name in board.plain.houses:
        return board.plain.houses[name]
    if name in board.plain.rules:
        return frozenset(board.plain.cells(name))
    raise Unreadable(f"no house or rule: {name!r}")


def at_places(board: Board, facts: Facts, digit: int, name: str, cells: list[Cell]) -> None:
    """A digit's only places in a house are these."""
    house = zone(board, name)
    assert name in board.plain.houses
    assert board.places(digit, house) == frozenset(cells), f"{digit} in {name}"
    facts.one_of(digit, cells)


def with_candidates(board: Board, facts: Facts, cells: list[Cell]) -> None:
    """The candidates of these cells count."""
    for cell in cells:
        facts.has(cell, board.candidates[cell])
