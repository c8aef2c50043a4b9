"""A cell that is pointed at, not named: *in box six the two is on the top row, next to the eight*.

The words about its place narrow down the cells of the houses that were named, or of the last one.
If the digit of the solution agrees with all of them, its cell was meant. If not, a cell that does
agree was meant, and the claim is wrong. If the house already has the digit, and the words fit a
single elsewhere, the house was a slip.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from typing import NamedTuple

from gridassay.encodings.grid import Cell
from gridassay.verify.listening.heard import Heard
from gridassay.verify.solving.board.position import Mark, Position
from gridassay.verify.solving.techniques import TECHNIQUES, hidden_single

LAST = "last cell"
_HIDDEN = [one for one in TECHNIQUES if hidden_single.NAME in one.names]


class Pointed(NamedTuple):
    """The claims that may be meant, each with one conclusion."""

    readings: tuple[Heard, ...]


class SpokenBoard(NamedTuple):
    """The context of pointing: candidates, the digits that can be true, and what was last spoken of."""

    position: Position
    possible: Sequence[int]
    last: tuple[int, ...]
    house: str
    named: str
    rules: tuple[str, ...]
    bridged: frozenset[Mark]


def pointed_at(heard: Heard, board: SpokenBoard) -> Pointed:
    """The meanings that a claim without cells can have on a board."""
    layout = board.position.layout
    digit = layout.digit_index[heard.digits[0]]
    heard = one_rule(_in_context(heard, board), board)
    houses = heard.houses
    if heard.denies:
        return _deny(heard, board)
    scope = _scope(houses, heard.rules, board)
    meant = heard
    if heard.spots and not any(_fits(cell, heard, scope, board) for cell in scope):
        meant = heard = replace(heard, spots=heard.spots[-1:])
    if heard.technique == LAST and houses:
        known = [cell for cell in scope if (cell, digit) in board.bridged]
        if known:
            return _one(meant, board, known[0], digit)
        left = [cell for cell in scope if not board.position.is_placed(cell)]
        if len(left) == 1:
            return _one(meant, board, left[0], digit)
        if not any(board.possible[cell] == 1 << digit for cell in left):
            slip = _elsewhere(meant, board, digit, lambda at: _is_last(at, board))
            if slip.readings:
                return slip
    true = [cell for cell in scope if board.possible[cell] == 1 << digit]
    within = scope if houses or heard.rules or "grid" in heard.spots else ()
    fitting = [cell for cell in true if _fits(cell, heard, within, board)]
    fitting = _open_ones(_beside(fitting, heard, board), board)
    if len(fitting) == 1:
        return _one(meant, board, fitting[0], digit)
    if fitting:
        return _several(meant, board, fitting, digit)
    if len(true) == 1 and not board.position.is_placed(true[0]):
        strict = len(heard.rules) < 2 and (heard.rules or houses)
        slip = _slip_of_place(meant, board, scope, digit) if strict else Pointed(())
        if slip.readings:
            return slip
    fits: Callable[[int], bool] = lambda at: _fits(at, heard, _box(at, board), board)  # noqa: E731
    if heard.spots:
        return _elsewhere(meant, board, digit, fits)
    if not true and len(houses) > 1 and heard.sure:
        return _slip_of_place(meant, board, scope, digit)
    if true:
        return _one(meant, board, true[0], digit)
    return Pointed(())


def one_rule(heard: Heard, board: SpokenBoard) -> Heard:
    """The claim with one rule that may be meant: the last spoken of, or most inside the houses."""
    if len(heard.rules) < 2:
        return heard
    layout = board.position.layout
    again = [rule for rule in heard.rules if rule in board.rules]
    if again and not heard.houses and len(board.rules) == 1:
        return replace(heard, rules=tuple(again))
    inside = set(_scope(heard.houses, (), board))

    def share(rule: str) -> float:
        cells = layout.span(rule)
        return sum(cell in inside for cell in cells) / len(cells)

    best = max(map(share, heard.rules))
    rules = tuple(rule for rule in heard.rules if share(rule) == best)
    kept = replace(heard, rules=rules)
    if len(rules) == 1 and best == 1:
        return replace(kept, houses=())
    return kept


def _deny(heard: Heard, board: SpokenBoard) -> Pointed:
    """Digits that cannot be in the cells pointed at; with several cells, in none of them."""
    layout = board.position.layout
    if len(heard.rules) > 1 or not (heard.rules or (heard.houses and heard.spots)):
        return Pointed(())
    scope = _scope(heard.houses, heard.rules, board)
    cells = [cell for cell in scope if _fits(cell, heard, scope, board)]
    cells = [cell for cell in _beside(cells, heard, board) if not board.position.is_placed(cell)]
    digits = [layout.digit_index[digit] for digit in heard.digits]
    true = [(at, one) for at in cells for one in digits if board.possible[at] & ~(1 << one)]
    if len(cells) > 1 and len(true) < len(cells) * len(digits):
        return Pointed(())
    removes = tuple((layout.cells[at], layout.digits[one]) for at in cells for one in digits)
    if not removes:
        return Pointed(())
    rules = heard.rules if not heard.technique else ()
    claim = replace(heard, removes=removes, digits=(), houses=(), rules=rules, denies=False)
    return Pointed((claim,))


def _in_context(heard: Heard, board: SpokenBoard) -> Heard:
    """The claim with the house it refers to: *that box*, *the same row*, or the one last named."""
    if heard.houses or heard.rules or "grid" in heard.spots:
        return heard
    same = [one.partition(" ")[2] for one in heard.beside if one.startswith("same ")]
    for kind in same:
        for zone in board.position.layout.zones:
            if zone.kind == kind and board.last and set(board.last) <= set(zone.cells):
                houses: tuple[str, ...] = (zone.name,)
                if kind != "box" and board.house and heard.technique != LAST:
                    houses = (zone.name, board.house)
                return replace(heard, houses=houses)
    if board.rules and (heard.spots or heard.beside):
        parts = {"over": "top", "under": "bottom"}
        spots = (*heard.spots, *(parts[one] for one in heard.beside if one in parts))
        return replace(heard, rules=board.rules, spots=spots, beside=())
    if heard.technique and not heard.spots and board.named:
        return replace(heard, houses=(board.named,))
    if board.house and (heard.spots or heard.beside):
        return replace(heard, houses=(board.house,))
    return heard


def _scope(houses: Sequence[str], rules: Sequence[str], board: SpokenBoard) -> tuple[int, ...]:
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


def _one(heard: Heard, board: SpokenBoard, cell: int, digit: int) -> Pointed:
    return Pointed((_claim(heard, board, cell, digit),))


def _several(heard: Heard, board: SpokenBoard, cells: Iterable[int], digit: int) -> Pointed:
    """Of several cells, those in which the digit is a single now."""
    now = [cell for cell in cells if cell in _singles(board, digit)]
    return Pointed(tuple(_claim(heard, board, cell, digit) for cell in now or cells))


def _singles(board: SpokenBoard, digit: int) -> set[int]:
    """The cells in which a digit is a hidden single now."""
    ideas = (idea for one in _HIDDEN for idea in one.find(board.position))
    return {cell for idea in ideas for cell, worth in idea.places if worth == digit}


def _claim(heard: Heard, board: SpokenBoard, cell: int, digit: int) -> Heard:
    layout = board.position.layout
    place = (layout.cells[cell], layout.digits[digit])
    houses = tuple(house for house in heard.houses if cell in layout.scope(house))[:1]
    return replace(
        heard,
        places=(place,),
        technique=heard.technique or ("" if heard.rules else hidden_single.NAME),
        loose=heard.loose or not heard.technique,
        digits=(),
        houses=houses or heard.houses[:1],
        rules=(),
    )


def _slip_of_place(heard: Heard, board: SpokenBoard, scope: Sequence[int], digit: int) -> Pointed:
    """The open cell that was meant, if the digit is not where it was said to be."""
    there = [cell for cell in scope if _fits(cell, heard, scope, board)]
    there = [cell for cell in there if not board.position.is_placed(cell)]
    holding = [cell for cell in there if board.position.has((cell, digit))] or there
    return _one(heard, board, holding[0], digit) if holding else Pointed(())


def _elsewhere(
    heard: Heard, board: SpokenBoard, digit: int, fits: Callable[[int], bool]
) -> Pointed:
    """The nearest single in another house for which the other words hold."""
    layout = board.position.layout
    cells = {cell for cell in _singles(board, digit) if fits(cell)}
    if not cells:
        return Pointed(())
    here = board.last or tuple(layout.scope(heard.houses[0]) if heard.houses else ())

    def far(cell: int) -> int:
        return min((_apart(cell, one, board) for one in here), default=0)

    nearest = min(sorted(cells), key=far)
    claim = _claim(heard, board, nearest, digit)
    return Pointed((replace(claim, houses=heard.houses[:1]),))


def _is_last(cell: int, board: SpokenBoard) -> bool:
    """Whether a cell is the last open one of a house."""
    layout = board.position.layout
    return any(
        all(board.position.is_placed(one) or one == cell for one in zone.cells)
        for zone in layout.zones
        if cell in zone.cells
    )


def _open_ones(cells: list[int], board: SpokenBoard) -> list[int]:
    return [cell for cell in cells if not board.position.is_placed(cell)] or cells


def _beside(cells: list[int], heard: Heard, board: SpokenBoard) -> list[int]:
    """The cells that lie beside the last one as was said, if there are any."""
    for beside in heard.beside:
        kept = [cell for cell in cells for one in board.last if _lies(cell, one, beside, board)]
        cells = list(dict.fromkeys(kept)) or cells
    return cells


def _lies(cell: int, other: int, beside: str, board: SpokenBoard) -> bool:
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


def _fits(cell: int, heard: Heard, scope: Sequence[int], board: SpokenBoard) -> bool:
    """Whether a cell has the place among some cells that was said: at the top, in a corner."""
    if not heard.spots:
        return True
    if heard.rules and "other" in heard.spots:
        return not board.position.is_placed(cell)
    if not scope:
        scope = _box(cell, board)
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


def _box(cell: int, board: SpokenBoard) -> tuple[int, ...]:
    layout = board.position.layout
    for zone in layout.zones:
        if zone.kind == "box" and cell in zone.cells:
            return tuple(zone.cells)
    return tuple(range(len(layout.cells)))


def _at(cell: int, board: SpokenBoard) -> Cell:
    return board.position.layout.cells[cell]


def _apart(one: int, other: int, board: SpokenBoard) -> int:
    here, there = _at(one, board), _at(other, board)
    return max(abs(here.row - there.row), abs(here.column - there.column))
