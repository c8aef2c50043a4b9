"""The cells that a digit may be in by words for a place of which more than one cell is: *in the corner*.

They are those of the houses in these words, or else of the ones last spoken of. Only one of them can
hold the digit, so that it is found on the board (``gleaning.py``).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from gridassay.encodings.grid import Cell
from gridassay.verify.listening.token import Token

_AT_ENDS = {"top": ("row", 0), "bottom": ("row", -1), "left": ("column", 0), "right": ("column", -1),
            "middle row": ("row", 1), "middle column": ("column", 1)}  # fmt: skip
_IN_TURN = {"first": 0, "final": -1}
_LAST = "last cell"


def cells_of_place(
    part: Sequence[Token],
    topics: Sequence[Sequence[Cell]],
    scopes: Mapping[str, Sequence[Cell]],
    beside: frozenset[str],
    *,
    anywhere: bool,
) -> tuple[Cell, ...]:
    """The cells that the words of a part may mean; ``topics`` are houses last spoken of.

    ``beside`` are words before a corner that mean the cells next to it; with ``anywhere`` a house alone
    is a place.
    """
    named = [scopes[token.house] for token in part if token.letter == "H"]
    spots = [token.spot for token in part if token.letter == "L"]
    last = any(token.letter == "T" and token.technique == _LAST for token in part)
    if named:
        shared = [cell for cell in named[0] if all(cell in one for one in named)]
        told = spots or last or anywhere
        return tuple(_fitting(shared or named[0], spots, part, beside)) if told else ()
    if not spots:
        return ()
    cells = (cell for scope in topics for cell in _fitting(scope, spots, part, beside))
    return tuple(dict.fromkeys(cells))


def _fitting(
    scope: Sequence[Cell], spots: Sequence[str], part: Sequence[Token], beside: frozenset[str]
) -> list[Cell]:
    """The cells of a house at all the places."""
    cells = list(scope)
    for spot in spots:
        kept = _at(spot, scope)
        words = [token.text.casefold() for token in part]
        if spot == "corner" and any(word in beside for word in words):
            kept = [one for one in scope if any(_next_to(one, other) for other in kept)]
        cells = [cell for cell in cells if cell in kept]
    return cells


def _at(spot: str, scope: Sequence[Cell]) -> list[Cell]:
    """The cells at one place of a house; none where it has no such place, all where it is not known."""
    rows = sorted({cell.row for cell in scope})
    columns = sorted({cell.column for cell in scope})
    box = len(rows) > 1 and len(columns) > 1
    if spot in _AT_ENDS:
        kind, place = _AT_ENDS[spot]
        numbers = rows if kind == "row" else columns
        return [one for one in scope if getattr(one, kind) == numbers[place % len(numbers)]]
    if spot == "corner":
        ends = ({rows[0], rows[-1]}, {columns[0], columns[-1]})
        return [one for one in scope if box and one.row in ends[0] and one.column in ends[1]]
    if spot in ("middle", "centre"):
        return [
            one
            for one in scope
            if one.row == rows[len(rows) // 2] or one.column == columns[len(columns) // 2]
        ]
    if spot in _IN_TURN:
        return [scope[_IN_TURN[spot]]]
    if " " in spot:
        kept = [_at(one, scope) for one in spot.split()]
        return [one for one in scope if all(one in some for some in kept)]
    return list(scope)


def _next_to(one: Cell, other: Cell) -> bool:
    return abs(one.row - other.row) + abs(one.column - other.column) == 1
