"""The cells of digits that are only listed: *three and nine are left*, *the six cage is one and five*.

The board shows which cells are meant: as many as there are digits, in one of the houses and rules that
were said or last spoken of, which have just these digits and could not have others there.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from itertools import takewhile

from gridassay.verify.listening.adjoining import near
from gridassay.verify.listening.bearings import Bearing, Listing, Mention
from gridassay.verify.listening.heard import Heard
from gridassay.verify.listening.nearby import AS_SPOTS, core_of
from gridassay.verify.listening.spots import SpokenBoard, fits

_ELSEWHERE = frozenset({"house", "line", "side", "same", "rule", "nth", "not", "only"})
"""Parts that tell of other cells than those just spoken of."""
_UNSURE = _ELSEWHERE | {"unknown"}
_ALL_SPOTS = frozenset({"grid", "corner box", "bulb", "tip", "other"})
_PAIR = 2
_NEW = 4
"""The strength of a break after which something new begins."""

Frame = tuple[tuple[int, ...], bool]
"""Cells among which those are that have some digits, and whether they are those of a rule."""


def listed_cells(listing: Listing, board: SpokenBoard, group: Sequence[int]) -> tuple[int, ...]:
    """The cells that have the digits of a list, in the first frame that shows them; else none.

    ``group`` are the cells of the last list.
    """
    known = board.position.layout.digit_index
    if any(digit not in known for digit in listing.digits):
        return ()
    digits = sum(1 << known[digit] for digit in listing.digits)
    for cells, of_rule in _frames(listing, board, group):
        found = _having(digits, _open(cells, board), board, of_rule)
        if found and (not listing.either or of_rule):
            return found
    layout = board.position.layout
    rules = {_span(rule, board) for rule in layout.said if rule in layout.premises}
    fitting = {_having(digits, _open(cells, board), board, True) for cells in rules} - {()}
    return fitting.pop() if len(fitting) == 1 else ()


def _having(
    digits: int, cells: Sequence[int], board: SpokenBoard, of_rule: bool
) -> tuple[int, ...]:
    """The cells that have just some digits, one each, if the board shows it."""
    own = tuple(one for one in cells if not board.possible[one] & ~digits)
    held = 0
    for cell in own:
        held |= board.possible[cell]
    if len(own) != digits.bit_count() or held != digits:
        return ()
    masks = board.position.masks
    naked = not any(masks[one] & ~digits for one in own)
    hidden = not any(masks[one] & digits for one in cells if one not in own)
    return own if naked or hidden or (of_rule and len(own) == len(cells)) else ()


def _open(cells: Sequence[int], board: SpokenBoard) -> list[int]:
    return [one for one in cells if not board.stands(one)]


def _frames(listing: Listing, board: SpokenBoard, group: Sequence[int]) -> Iterator[Frame]:
    """The houses and rules that may be meant, the nearest first: of the words after it, and before."""
    after = [*takewhile(lambda one: one.kind != "stop", listing.after)]
    before = [*takewhile(lambda one: one.strength < _NEW, listing.before[::-1])]
    layout = board.position.layout
    boxes, lines = [], []
    for part in [*after, *before]:
        for frame in _frames_of(part, board):
            yield frame
            if part.said.startswith("box"):
                boxes.append(frame[0])
            elif not frame[1]:
                lines.append(frame[0])
    for box in boxes:
        for line in lines:
            yield tuple(one for one in box if one in line), False
    yield tuple(group), False
    for heading in listing.headings:
        yield tuple(layout.scope(heading)), False
    for rule in board.rules:
        yield _span(rule, board), True
    for zone in layout.zones:
        if board.last and {*board.last} <= {*zone.cells}:
            yield tuple(zone.cells), False


def _frames_of(part: Bearing, board: SpokenBoard) -> Iterator[Frame]:
    layout = board.position.layout
    if part.kind in ("house", "line", "side", "only") and part.said in {
        zone.name for zone in layout.zones
    }:
        yield tuple(layout.scope(part.said)), False
    elif part.kind == "same":
        for zone in layout.zones:
            if zone.kind == part.said and {*board.last} & {*zone.cells}:
                yield tuple(zone.cells), False
    elif part.kind == "rule":
        for rule in part.rules:
            yield _span(rule, board), True


def _span(rule: str, board: SpokenBoard) -> tuple[int, ...]:
    layout = board.position.layout
    return tuple(one for one in layout.span(rule) if layout.is_cell(one))


def one_of_them(
    mention: Mention,
    group: Sequence[int],
    board: SpokenBoard,
    since: int,
    gives: Callable[[int, int], bool],
) -> int | None:
    """The cell of *the top one is the nine*, *the other is a three*, among cells just spoken of.

    It is the one that the words point at; of two that were just listed also if its digit is that of the
    other. Else None. ``gives`` tells whether short steps place a digit in a cell.
    """
    digit = board.position.layout.digit_index.get(mention.digit)
    if digit is None or not board.last or not {*board.last} <= {*group}:
        return None
    own = [cell for cell in group if board.possible[cell] == 1 << digit]
    core = core_of(mention, since)
    if len(own) != 1 or any(one.kind in _ELSEWHERE for one in core):
        return None
    beside = [one for one in core if one.digits]
    if beside:
        return _beside(beside, own, group, board)
    at = [one for one in core if one.kind == "spot" and one.said not in _ALL_SPOTS]
    spots = [one.said for one in at]
    together = {*board.last} == {*group}
    if together:  # else *under it* is under the last one
        spots += [AS_SPOTS[one.said] for one in core if one.kind == "near" and one.said in AS_SPOTS]
    if not spots:
        rest = any(one.kind == "last" or one.said == "other" for one in core)
        return own[0] if rest and not board.stands(own[0]) and gives(own[0], digit) else None
    said = Heard("", 0, spots=tuple(spots))
    there = [cell for cell in group if fits(cell, said, group, board)]
    if len(there) != 1 or board.stands(there[0]):
        return None
    goes_on = takewhile(lambda one: one.strength < _NEW, mention.after)
    plain = len(spots) == len(at) and not any(one.wide for one in at)
    plain = plain and not any(one.kind in _UNSURE for one in (*core, *goes_on))
    both = together or ({*board.last} == {*own} and not board.stands(own[0]))
    if there != own and not (both and plain and len(group) == _PAIR):
        return None
    return there[0]


def _beside(
    parts: Sequence[Bearing], own: Sequence[int], group: Sequence[int], board: SpokenBoard
) -> int | None:
    """The one of two cells just listed that lies beside a digit: *five and nine, five after the one*."""
    there = [cell for cell in group if all(near(cell, one, board) != one.denied for one in parts)]
    pair = len(group) == _PAIR and {*board.last} == {*group}
    return there[0] if pair and len(there) == 1 and not board.stands(there[0]) else None
