"""A cell that is pointed at, not named: *in box six the two is on the top row, next to the eight*.

The words about its place narrow down the cells of the houses that were named, or of the last one.
If the digit of the solution agrees with all of them, its cell was meant. If not, a cell that does
agree was meant, and the claim is wrong. If the house already has the digit, and the words fit a
single elsewhere, the house was a slip.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from functools import partial
from typing import NamedTuple

from gridassay.verify.listening.box_places import beside_box, corner_boxes
from gridassay.verify.listening.heard import Heard
from gridassay.verify.listening.house_slips import slip_of_house
from gridassay.verify.listening.spots import (
    SpokenBoard,
    apart,
    box_around,
    fits,
    naked_singles,
    scope_of,
    singles,
    those_beside,
)
from gridassay.verify.solving.techniques import hidden_single

LAST = "last cell"
CORNER_BOX = "corner box"


class Pointed(NamedTuple):
    """The claims that may be meant, each with one conclusion."""

    readings: tuple[Heard, ...]


def pointed_at(heard: Heard, board: SpokenBoard) -> Pointed:
    """The meanings that a claim without cells can have on a board."""
    layout = board.position.layout
    digit = layout.digit_index[heard.digits[0]]
    if heard.here:
        return _here(heard, board, digit)
    heard = _corner_box(heard, board, digit)
    heard = one_rule(_in_context(heard, board), board)
    heard = _another_box(heard, board, digit)
    houses = heard.houses
    if heard.denies:
        return _deny(heard, board)
    scope = scope_of(houses, heard.rules, board)
    meant = heard
    if heard.spots and not any(fits(cell, heard, scope, board) for cell in scope):
        meant = heard = replace(heard, spots=heard.spots[-1:])
    last = partial(is_last, board=board) if heard.technique == LAST else None
    other = slip_of_house(heard, board, digit, last=last)
    if other is not None:
        cell, slip_house = other
        return Pointed((replace(_claim(heard, board, cell, digit), houses=(slip_house,)),))
    if heard.technique == LAST and (houses or heard.rules):
        known = [cell for cell in scope if (cell, digit) in board.bridged]
        if known:
            return _one(meant, board, known[0], digit)
        left = [cell for cell in scope if not board.position.is_placed(cell)]
        if len(left) == 1:
            return _one(meant, board, left[0], digit)
        if not any(board.possible[cell] == 1 << digit for cell in left):
            slip = _elsewhere(meant, board, digit, lambda at: is_last(at, board))
            if slip.readings:
                return slip
    true = [cell for cell in scope if board.possible[cell] == 1 << digit]
    within = scope if houses or heard.rules or "grid" in heard.spots else ()
    fitting = [cell for cell in true if fits(cell, heard, within, board)]
    fitting = _open_ones(those_beside(fitting, heard, board), board)
    if len(fitting) == 1:
        return _one(meant, board, fitting[0], digit)
    if fitting:
        return _several(meant, board, fitting, digit)
    if len(true) == 1 and not board.position.is_placed(true[0]):
        strict = len(heard.rules) < 2 and (heard.rules or (houses and not heard.implied))
        slip = _slip_of_place(meant, board, scope, digit) if strict else Pointed(())
        if slip.readings:
            return slip
    if heard.spots:
        return _elsewhere(
            meant, board, digit, lambda at: fits(at, heard, box_around(at, board), board)
        )
    if not true and len(houses) > 1 and heard.sure:
        return _slip_of_place(meant, board, scope, digit)
    if true:
        return _one(meant, board, true[0], digit)
    return Pointed(())


def only_confines(heard: Heard, board: SpokenBoard) -> bool:
    """Whether *the three of row two is in box one* is true of several cells, and so places nothing.

    Captions then go on with what follows for other cells, which is judged by itself.
    """
    if len(heard.houses) != 2 or heard.denies or heard.rules or heard.spots or heard.beside:
        return False
    layout = board.position.layout
    digit = layout.digit_index[heard.digits[0]]
    first, other = (layout.scope(house) for house in heard.houses)
    places = {cell for cell in first if board.position.has((cell, digit))}
    return len(places) > 1 and places <= set(other)


def _corner_box(heard: Heard, board: SpokenBoard, digit: int) -> Heard:
    """The claim with the box that *the corner box* is: where the digit is a single, the nearest."""
    if CORNER_BOX not in heard.spots:
        return heard
    layout = board.position.layout
    spots = tuple(one for one in heard.spots if one != CORNER_BOX)
    boxes = corner_boxes(layout.canvas)
    if not boxes:
        return replace(heard, spots=spots)
    now = singles(board, digit)

    def far(box: str) -> tuple[bool, int]:
        cells = layout.scope(box)
        near = min((apart(cell, one, board) for cell in cells for one in board.last), default=0)
        return now.isdisjoint(cells), near

    return replace(heard, houses=(min(boxes, key=far),), spots=spots, implied=True)


def _another_box(heard: Heard, board: SpokenBoard, digit: int) -> Heard:
    """*The middle box at the top* is the box above the one in the middle, unless its top was meant."""
    if not heard.placed or len(heard.houses) != 1 or len(heard.spots) != 1:
        return heard
    layout = board.position.layout
    (box,), (side,) = heard.houses, heard.spots
    other = beside_box(layout.canvas, box, side)
    if not other:
        return heard
    scope = layout.scope(box)
    true = [cell for cell in scope if board.possible[cell] == 1 << digit]
    if any(fits(cell, heard, scope, board) for cell in true) and set(true) & singles(board, digit):
        return heard
    return replace(heard, houses=(other,), spots=())


def _here(heard: Heard, board: SpokenBoard, digit: int) -> Pointed:
    """The singles of a digit that a hand points at: the one in the house that goes on, else all."""
    now = singles(board, digit) | naked_singles(board, digit)
    if board.chain and heard.here != "this":
        within = now & set(board.position.layout.scope(board.chain))
        if len(within) == 1:
            return _one(heard, board, within.pop(), digit)
    return Pointed(tuple(_claim(heard, board, cell, digit) for cell in sorted(now)))


def one_rule(heard: Heard, board: SpokenBoard) -> Heard:
    """The claim with one rule that may be meant: the last spoken of, or most inside the houses."""
    if len(heard.rules) < 2:
        return heard
    layout = board.position.layout
    again = [rule for rule in heard.rules if rule in board.rules]
    if again and not heard.houses and len(board.rules) == 1:
        return replace(heard, rules=tuple(again))
    inside = set(scope_of(heard.houses, (), board))

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
    scope = scope_of(heard.houses, heard.rules, board)
    crossed = len(scope) == 1  # *the middle of row five in column three*
    cells = [cell for cell in scope if crossed or fits(cell, heard, scope, board)]
    cells = [
        cell for cell in those_beside(cells, heard, board) if not board.position.is_placed(cell)
    ]
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
                return replace(heard, houses=houses, implied=True)
    if board.rules and (heard.spots or heard.beside):
        parts = {"over": "top", "under": "bottom"}
        spots = (*heard.spots, *(parts[one] for one in heard.beside if one in parts))
        return replace(heard, rules=board.rules, spots=spots, beside=())
    if heard.technique and not heard.spots and board.named:
        return replace(heard, houses=(board.named,), implied=True)
    if board.house and (heard.spots or heard.beside):
        return replace(heard, houses=(board.house,), implied=True)
    return heard


def _one(heard: Heard, board: SpokenBoard, cell: int, digit: int) -> Pointed:
    return Pointed((_claim(heard, board, cell, digit),))


def _several(heard: Heard, board: SpokenBoard, cells: Iterable[int], digit: int) -> Pointed:
    """Of several cells, those in which the digit is a single now."""
    now = [cell for cell in cells if cell in singles(board, digit)]
    return Pointed(tuple(_claim(heard, board, cell, digit) for cell in now or cells))


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
        houses=houses or (() if heard.implied else heard.houses[:1]),
        rules=(),
    )


def _slip_of_place(heard: Heard, board: SpokenBoard, scope: Sequence[int], digit: int) -> Pointed:
    """The open cell that was meant, if the digit is not where it was said to be."""
    there = [cell for cell in scope if fits(cell, heard, scope, board)]
    there = [cell for cell in there if not board.position.is_placed(cell)]
    holding = [cell for cell in there if board.position.has((cell, digit))] or there
    return _one(heard, board, holding[0], digit) if holding else Pointed(())


def _elsewhere(
    heard: Heard, board: SpokenBoard, digit: int, suits: Callable[[int], bool]
) -> Pointed:
    """The nearest single in another house for which the other words hold."""
    layout = board.position.layout
    cells = {cell for cell in singles(board, digit) if suits(cell)}
    if not cells:
        return Pointed(())
    here = board.last or tuple(layout.scope(heard.houses[0]) if heard.houses else ())

    def far(cell: int) -> int:
        return min((apart(cell, one, board) for one in here), default=0)

    nearest = min(sorted(cells), key=far)
    claim = _claim(heard, board, nearest, digit)
    return Pointed((replace(claim, houses=() if heard.implied else heard.houses[:1]),))


def no_last_cell(digit: int, board: SpokenBoard) -> bool:
    """Whether no cell that is the last open one of a house has a digit."""
    cells = range(len(board.position.layout.cells))
    return not any(board.possible[cell] == 1 << digit and is_last(cell, board) for cell in cells)


def is_last(cell: int, board: SpokenBoard) -> bool:
    """Whether a cell is the last open one of a house."""
    layout = board.position.layout
    return not board.position.is_placed(cell) and any(
        all(board.position.is_placed(one) or one == cell for one in zone.cells)
        for zone in layout.zones
        if cell in zone.cells
    )


def _open_ones(cells: list[int], board: SpokenBoard) -> list[int]:
    return [cell for cell in cells if not board.position.is_placed(cell)] or cells
