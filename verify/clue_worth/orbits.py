"""Patterns of givens: which cells of a canvas change places under which move.

An *orbit* of a pattern is a set of cells that its moves take into one another; clues laid out in the
pattern come and go by whole orbits.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable

from gridassay.encodings.grid import Canvas, Cell

_Move = Callable[[Cell, int, int], Cell]

PATTERNS: dict[str, _Move] = {
    "half turn": lambda c, rows, columns: Cell(rows + 1 - c.row, columns + 1 - c.column),
    "quarter turn": lambda c, rows, _: Cell(c.column, rows + 1 - c.row),
    "left-right mirror": lambda c, _, columns: Cell(c.row, columns + 1 - c.column),
    "top-bottom mirror": lambda c, rows, _: Cell(rows + 1 - c.row, c.column),
    "falling diagonal mirror": lambda c, *_: Cell(c.column, c.row),
    "rising diagonal mirror": lambda c, rows, columns: Cell(
        columns + 1 - c.column, rows + 1 - c.row
    ),
}
"""Each pattern by its name: where its move takes a cell of a canvas of so many rows and columns."""

_SQUARE = frozenset({"quarter turn", "falling diagonal mirror", "rising diagonal mirror"})


def orbits(cells: Iterable[Cell], canvas: Canvas, pattern: str) -> list[list[Cell]]:
    """Group cells by the orbits of a pattern, in the order of their first cells.

    Raises ValueError for a pattern that does not exist, or not on this canvas.
    """
    if pattern not in PATTERNS:
        raise ValueError(f"there is no pattern {pattern!r}, only {', '.join(PATTERNS)}")
    if pattern in _SQUARE and canvas.rows != canvas.columns:
        raise ValueError(f"{pattern!r} needs a square canvas")
    move = PATTERNS[pattern]
    grouped: dict[frozenset[Cell], list[Cell]] = {}
    for cell in cells:
        orbit, place = {cell}, move(cell, canvas.rows, canvas.columns)
        while place != cell:
            orbit.add(place)
            place = move(place, canvas.rows, canvas.columns)
        grouped.setdefault(frozenset(orbit), []).append(cell)
    return list(grouped.values())
