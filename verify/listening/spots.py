"""Where cells lie, for what is only pointed at: *on the top row*, *next to the eight*."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from gridassay.encodings.grid import Cell
from gridassay.verify.listening.heard import Heard
from gridassay.verify.solving.board.position import Mark, Position
from gridassay.verify.solving.techniques import TECHNIQUES, hidden_single

_HIDDEN = [one for one in TECHNIQUES if hidden_single.NAME in one.names]


class SpokenBoard(NamedTuple):
    """The context of pointing: candidates, the digits that can be true, and what was last spoken of.

    ``chain`` is the house that was said for the last claims, if all of them lie in it.
    """

    position: Position
    possible: Sequence[int]
    last: tuple[int, ...]
    house: str
    named: str
    rules: tuple[str, ...]
    bridged: frozenset[Mark]
    chain: str

    def stands(self, cell: int) -> bool:
        """Whether a cell is filled for those who listen: not only with a digit that was left out."""
        filled = self.position.is_placed(cell)
        return filled and (cell, self.position.masks[cell].bit_length() - 1) not in self.bridged


def scope_of(houses: Sequence[str], rules: Sequence[str], board: SpokenBoard) -> tuple[int, ...]:
    """The cells shared by all houses and rules that were named; those of the first, if there are none."""
    layout = board.position.layout
    scope = tuple(range(len(layout.cells)))
    for house in houses:
        shared = tuple(cell for cell in layout.scope(house) if cell in set(scope))
        scope = shared or scope
    within = [set(layout.span(rule)) & set(scope) for rule in rules]
    within = [cells for cells in within if cells]
    if within:
        scope = tuple(sorted(set().union(*within))) if len(within) > 1 else tuple(sorted(within[0]))
    return scope


def singles(board: SpokenBoard, digit: int) -> set[int]:
    """The cells in which a digit is a hidden single now."""
    ideas = (idea for one in _HIDDEN for idea in one.find(board.position))
    return {cell for idea in ideas for cell, worth in idea.places if worth == digit}


def naked_singles(board: SpokenBoard, digit: int) -> set[int]:
    """The open cells in which a digit is the only one left."""
    at = board.position
    cells = range(len(at.layout.cells))
    return {cell for cell in cells if at.masks[cell] == 1 << digit and not at.is_placed(cell)}


def those_beside(cells: list[int], heard: Heard, board: SpokenBoard) -> list[int]:
    """The cells that lie beside the last one as was said, if there are any."""
    for beside in heard.beside:
        kept = [cell for cell in cells for one in board.last if lies(cell, one, beside, board)]
        cells = list(dict.fromkeys(kept)) or cells
    return cells


def lies(cell: int, other: int, beside: str, board: SpokenBoard) -> bool:
    """Whether a cell lies on one side of another, or next to it."""
    here, there = _at(cell, board), _at(other, board)
    down, along = here.row - there.row, here.column - there.column
    match beside:
        case "under":
            return down > 0 and not along
        case "over":
            return down < 0 and not along
        case "left of":
            return along < 0 and not down
        case "right of":
            return along > 0 and not down
        case _:
            return abs(down) + abs(along) == 1


def fits(cell: int, heard: Heard, scope: Sequence[int], board: SpokenBoard) -> bool:
    """Whether a cell has the place among some cells that was said: at the top, in a corner."""
    if not heard.spots:
        return True
    if heard.rules and "other" in heard.spots:
        return not board.position.is_placed(cell)
    if not scope:
        scope = box_around(cell, board)
    cells = [_at(one, board) for one in scope]
    top, left = min(one.row for one in cells), min(one.column for one in cells)
    height = max(one.row for one in cells) - top + 1
    width = max(one.column for one in cells) - left + 1
    here = _at(cell, board)
    down, along = here.row - top, here.column - left
    grid = "grid" in heard.spots
    high, low = _outer(down, height, grid=grid)
    first, last = _outer(along, width, grid=grid)
    if grid and "middle" in heard.spots:
        return (down, along) == (height // 2, width // 2)
    holds = {
        "top": high,
        "bottom": low,
        "left": first,
        "right": last,
        "middle": not (high or low) or not (first or last),
        "middle row": not (high or low),
        "middle column": not (first or last),
        "centre": not (high or low or first or last),
        "corner": (high or low) and (first or last),
        "edge": high or low or first or last,
        "end": down in (0, height - 1) and along in (0, width - 1),
        "first": (down, along) == (0, 0),
        "final": (down, along) == (height - 1, width - 1),
        "bulb": cell in _ends(heard, board, 0),
        "tip": cell in _ends(heard, board, -1),
        "grid": True,
        "other": True,
    }
    return all(
        holds[spot] if spot in holds else all(holds[part] for part in spot.split())
        for spot in heard.spots
    )


def _ends(heard: Heard, board: SpokenBoard, place: int) -> set[int]:
    """The first or the last cells of the rules that may be meant: a bulb comes first."""
    return {board.position.layout.span(rule)[place] for rule in heard.rules}


def _outer(place: int, size: int, *, grid: bool = False) -> tuple[bool, bool]:
    """Whether a place lies in the first third, and in the last; in a grid, at its very edge."""
    if grid:
        middle = place == size // 2
        return (False, False) if middle else (place == 0, place == size - 1)
    third = -(-size // 3)
    return place < third, place >= size - third


def box_around(cell: int, board: SpokenBoard) -> tuple[int, ...]:
    """The cells of the box of a cell; without boxes, all cells."""
    layout = board.position.layout
    for zone in layout.zones:
        if zone.kind == "box" and cell in zone.cells:
            return tuple(zone.cells)
    return tuple(range(len(layout.cells)))


def _at(cell: int, board: SpokenBoard) -> Cell:
    return board.position.layout.cells[cell]


def apart(one: int, other: int, board: SpokenBoard) -> int:
    """How many steps two cells lie apart, slanting ones too."""
    here, there = _at(one, board), _at(other, board)
    return max(abs(here.row - there.row), abs(here.column - there.column))
