"""The cell that was meant by what was said around a digit (``nearby_words.py``), if the board shows it.

Of the parts between two digits, those are taken that single out one open cell in which the digit is
true. All parts that are taken have to hold.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from itertools import product
from typing import NamedTuple

from gridassay.verify.listening.adjoining import near
from gridassay.verify.listening.bearings import Bearing, Kind, Mention
from gridassay.verify.listening.heard import Heard
from gridassay.verify.listening.numbered_houses import lines_by_place
from gridassay.verify.listening.spots import (
    SpokenBoard,
    box_around,
    fits,
    naked_singles,
    singles,
)

_TELLING = frozenset({"spot", "near", "line", "rule", "nth"})
_UNKNOWN_SPOTS = frozenset({"bulb", "tip", "corner box"})

AS_SPOTS = {"over": "top", "under": "bottom", "left of": "left", "right of": "right"}
_HOUSES = frozenset({"house", "line"})
_DOUBTFUL = frozenset({"unknown", "not", "rule", "side", "only", "last"})
_NEVER = 4
"""The strength of a break over which nothing is taken."""

Cells = frozenset[int]


class Meant(NamedTuple):
    """A cell, and the parts from which it was found."""

    cell: int
    parts: tuple[Bearing, ...]


def readings(mention: Mention, since: int) -> Iterator[tuple[Bearing, ...]]:
    """The parts that may belong to a mention, the nearest first, after where the last one ended."""
    before = [one for one in mention.before if one.kind == "stop" or one.end > since]
    befores = list(_growing(before[::-1]))
    afters = list(_growing(mention.after))
    own = [one for one in _first(before[::-1]) if one.kind in _HOUSES]
    options = [
        (cost + other, (*one[::-1], *more))
        for (cost, one), (other, more) in product(befores, afters)
    ]
    seen = set()
    for _, parts in sorted(options, key=lambda one: (one[0], -len(one[1]))):
        if parts and parts not in seen and all(one in parts for one in own):
            seen.add(parts)
            yield parts


def _all_readings(
    mention: Mention, since: int, board: SpokenBoard
) -> Iterator[tuple[Bearing, ...]]:
    """The parts that may belong to a mention, with each of what they may mean."""
    for parts in readings(mention, since):
        yield from _variants(parts, mention.headings, board)


def _variants(
    parts: tuple[Bearing, ...], headings: Sequence[str], board: SpokenBoard
) -> Iterator[tuple[Bearing, ...]]:
    """The parts, with each of what a loose or wide one may mean."""
    boxed = [one.said for one in parts if one.kind in ("house", "side", "same")]
    in_box = any(one.startswith("box") for one in boxed or headings[:1])
    lines = lines_by_place(board.position.layout.canvas)
    choices: list[list[Bearing]] = []
    for part in parts:
        other = [_other_kind(part)] if part.loose else []
        if part.wide and part.said in lines:
            other = [replace(part, kind="house", wide=False, said=lines[part.said])]
        both = [replace(part, loose=False, wide=False), *other]
        choices.append(both if in_box or not part.wide else both[::-1])
    yield from product(*choices)


def _other_kind(part: Bearing) -> Bearing:
    """The place in a house for one beside the last cell, and the reverse."""
    names = AS_SPOTS if part.kind == "near" else {spot: one for one, spot in AS_SPOTS.items()}
    kind: Kind = "spot" if part.kind == "near" else "near"
    return replace(part, kind=kind, said=names.get(part.said, part.said), loose=False)


def _first(parts: Sequence[Bearing]) -> Iterator[Bearing]:
    """The parts up to the first break."""
    for part in parts:
        if part.kind == "stop":
            return
        yield part


def _growing(parts: Sequence[Bearing]) -> Iterator[tuple[int, tuple[Bearing, ...]]]:
    """The first parts up to each break, with how much is broken; none at all, too."""
    yield 1, ()
    cost = 0
    for place, part in enumerate(parts):
        if part.kind == "stop":
            said = tuple(one for one in parts[:place] if one.kind != "stop")
            if said:
                yield cost, said
            if part.strength == _NEVER:
                return
            cost += part.strength if said else 0
    said = tuple(one for one in parts if one.kind != "stop")
    if said:
        yield cost, said


def meant(
    mention: Mention, board: SpokenBoard, since: int, gives: Callable[[int, int], bool]
) -> Meant | None:
    """The one cell that was meant; None if no cell fits, or several do.

    ``gives`` tells whether short steps place a digit in a cell.
    """
    digit = board.position.layout.digit_index.get(mention.digit)
    if digit is None:
        return None
    true = frozenset(
        cell
        for cell in range(len(board.position.layout.cells))
        if board.possible[cell] == 1 << digit and not board.stands(cell)
    )
    if not true:
        return None
    unsaid = {cell for cell, one in board.bridged if one == digit}
    now = (singles(board, digit) | naked_singles(board, digit)) & true
    free = frozenset(
        cell for cell in range(len(board.position.layout.cells)) if not board.stands(cell)
    )
    fitted: list[set[Bearing]] = []
    for parts in _all_readings(mention, since, board):
        if any(one.kind == "unknown" and one.said == "claim" for one in parts):
            continue
        if not {one.kind for one in parts} & _TELLING:
            continue
        if any({*parts} < more for more in fitted):  # all that was said fits somewhere else
            continue
        for cells, firm in _fitting(parts, mention, board, true):
            among = cells if len(cells) == 1 and firm else cells & now or cells & unsaid
            if len(among) == 1 and gives(min(among), digit):
                return Meant(min(among), parts)
            if firm and len(cells) == 1 and _only(cells, parts, mention, board, free):
                return Meant(min(cells), parts)
            if firm and cells:
                fitted.append({*parts})
            if cells:
                break
    return None


def _only(
    cells: Cells, parts: Sequence[Bearing], mention: Mention, board: SpokenBoard, free: Cells
) -> bool:
    """Whether no other open cell fits the first houses that may be meant, whatever its digit."""
    return next((one for one, _ in _fitting(parts, mention, board, free)), None) == cells


def named_cell(mention: Mention, board: SpokenBoard, since: int) -> int | None:
    """The one open cell that the words right around a digit name, whatever its digit; else None.

    A house has to be among them, which does not have the digit yet, and every word has to be known.
    """
    position = board.position
    digit = position.layout.digit_index.get(mention.digit)
    core = (*core_of(mention, since), *_after_breath(mention))
    kinds = {one.kind for one in core}
    if not kinds & {"house", "same"} or not kinds & {"spot", "nth"} or kinds & _DOUBTFUL:
        return None
    free = frozenset(
        cell for cell in range(len(position.layout.cells)) if not position.is_placed(cell)
    )
    for parts in _variants(core, mention.headings, board):
        for scope, said in _frames(parts, mention, board):
            told = [cell for cell in scope if (cell, digit) not in board.bridged]
            if said and digit is not None and any(board_has(cell, digit, board) for cell in told):
                return None
        for cells, _ in _fitting(parts, mention, board, free):
            return min(cells) if len(cells) == 1 else None
    return None


def board_has(cell: int, digit: int, board: SpokenBoard) -> bool:
    """Whether a digit stands in a cell."""
    return board.position.is_placed(cell) and board.position.has((cell, digit))


def drops(cell: int, mention: Mention, board: SpokenBoard, since: int, *, every: bool) -> bool:
    """Whether a cell does not lie beside what was said right before or after a digit.

    With ``every``, also whether it is not at the places that were said.
    """
    core = core_of(mention, since)
    beside = [one for one in core if one.kind == "near" and one.digits]
    if not all(_holds(cell, one, board) for one in beside):
        return True
    if not every:
        return False
    if any(one.kind == "not" for one in core):
        return True
    return not any(
        cell in cells
        for parts in _variants(core, mention.headings, board)
        for cells, _ in _fitting(parts, mention, board, frozenset({cell}))
    )


def tells_of_rule(mention: Mention, since: int) -> bool:
    """Whether the words right around a digit name a rule."""
    return any(one.kind == "rule" for one in core_of(mention, since))


def tells_where(mention: Mention, since: int) -> bool:
    """Whether the words right around a digit tell where it is."""
    return any(one.kind in _TELLING | _HOUSES | {"same"} for one in core_of(mention, since))


def said_around(mention: Mention) -> str:
    """The words of a digit, and of where it is."""
    parts = [one for one in core_of(mention, 0) if one.end]
    begin = min([mention.start, *(one.start for one in parts)])
    end = max([mention.end, *(one.end for one in parts)])
    return mention.text[begin:end].strip()


def core_of(mention: Mention, since: int) -> tuple[Bearing, ...]:
    """The parts around a digit up to the first break on either side."""
    before = [one for one in mention.before if one.kind == "stop" or one.end > since]
    return (*list(_first(before[::-1]))[::-1], *_first(mention.after))


def _after_breath(mention: Mention) -> tuple[Bearing, ...]:
    """The places right after a breath, where a house and nothing else stands before it.

    *Nine in the middle box | it's at the bottom right |*: another break parts them from what follows.
    """
    first = [*_first(mention.after)]
    rest = mention.after[len(first) :]
    if not rest or rest[0].strength > 1 or {one.kind for one in first} != {"house"}:
        return ()
    places = [*_first(rest[1:])]
    parted = len(places) + 1 < len(rest)
    told = parted and bool(places) and {one.kind for one in places} <= {"spot", "nth"}
    return tuple(places) if told else ()


def _fitting(
    parts: Sequence[Bearing], mention: Mention, board: SpokenBoard, among: Cells
) -> Iterator[tuple[Cells, bool]]:
    """The cells that fit in each of the houses that may be meant, and whether these were said."""
    spots = [one.said for one in parts if one.kind == "spot" and not one.denied]
    if _UNKNOWN_SPOTS & {*spots}:
        return
    fitting = frozenset(cell for cell in among if all(_holds(cell, one, board) for one in parts))
    anchored = any(one.kind in ("near", "rule") for one in parts)
    for frame, said in _frames(parts, mention, board):
        inside = fitting & frame
        if not inside:
            continue
        for scope in _scopes(frame, said, board):
            cells = frozenset(
                cell
                for cell in inside
                if fits(cell, _with_spots(spots), scope(cell), board)
                and all(_is_nth(cell, one, scope(cell)) for one in parts if one.kind == "nth")
            )
            if cells:
                yield cells, said or anchored
                break
        if said:
            return


def _frames(
    parts: Sequence[Bearing], mention: Mention, board: SpokenBoard
) -> Iterator[tuple[Cells, bool]]:
    """The cells of the houses that were said; if none was, those last spoken of, and at last all."""
    layout = board.position.layout
    everywhere = frozenset(range(len(layout.cells)))
    if any(one.kind == "spot" and one.said == "grid" for one in parts):
        yield everywhere, True
        return
    houses = [frozenset(layout.scope(one.said)) for one in parts if one.kind == "house"]
    kinds = {one.said.partition(" ")[0] for one in parts if one.kind == "house"}
    pointed = [one.said for one in parts if one.kind == "same" and one.said not in kinds]
    if pointed and not houses:
        for zone in _those(pointed[0], mention, board):
            yield zone, True
        return
    if not {"row", "column"} & kinds:
        houses += [frozenset(layout.scope(one.said)) for one in parts if one.kind == "side"]
    lines = [one for one in parts if one.kind == "line"]
    said = frozenset.intersection(everywhere, *houses)
    boxed = any(one.kind == "house" and one.said.startswith("box") for one in parts)
    boxed = boxed or any(one.kind == "same" and one.said == "box" for one in parts)
    if lines:
        straight = [frozenset(layout.scope(one.said)) for one in lines]
        counted = [_lines_in_boxes(one.said, board) for one in lines]
        boxed = boxed and not any(frozenset.intersection(said, one) for one in straight)
        for way in [counted, straight] if boxed else [straight, counted]:
            yield frozenset.intersection(said, *way), bool(houses) or way is straight
        return
    if houses:
        yield said, True
        return
    anchored = any(one.kind in ("near", "rule") for one in parts)
    for heading in mention.headings if anchored else mention.headings[:1]:
        yield frozenset(layout.scope(heading)), False
    for kind in ("box", "row", "column") if anchored else ("box",):
        zone = _zone(kind, board)
        if zone:
            yield zone, False
    if anchored:
        yield everywhere, False


def _those(kind: str, mention: Mention, board: SpokenBoard) -> Iterator[Cells]:
    """The houses that *that box* or *this row* may be: the one last named, and that of the last cell."""
    layout = board.position.layout
    heading = [house for house in mention.headings[:1] if house.startswith(kind)]
    zones = [*(frozenset(layout.scope(one)) for one in heading), _zone(kind, board)]
    yield from (one for one in (zones if kind == "box" else zones[::-1]) if one)


def _lines_in_boxes(house: str, board: SpokenBoard) -> Cells:
    """The cells of a row or column that is counted in each box: *the second row of that box*."""
    layout = board.position.layout
    kind, _, number = house.partition(" ")
    found = set()
    for zone in layout.zones:
        if zone.kind == "box" and number.isdigit():
            key = [
                layout.cells[cell].row if kind == "row" else layout.cells[cell].column
                for cell in zone.cells
            ]
            at = min(key) + int(number) - 1
            found |= {cell for cell, one in zip(zone.cells, key, strict=True) if one == at}
    return frozenset(found)


def _zone(kind: str, board: SpokenBoard) -> Cells:
    """The house of a kind in which the last cells lie."""
    for zone in board.position.layout.zones:
        if zone.kind == kind and board.last and set(board.last) <= set(zone.cells):
            return frozenset(zone.cells)
    return frozenset()


def _scopes(
    frame: Cells, said: bool, board: SpokenBoard
) -> Iterator[Callable[[int], Sequence[int]]]:
    """The cells among which a place may be meant, for each cell."""
    size = len(board.position.layout.cells)
    if len(frame) < size:
        yield lambda _: tuple(sorted(frame))
    yield lambda cell: box_around(cell, board)
    if len(frame) == size or not said:
        yield lambda _: range(size)


def _with_spots(spots: Sequence[str]) -> Heard:
    return Heard("", 0, spots=tuple(one for one in spots if one != "other"))


def _is_nth(cell: int, part: Bearing, scope: Sequence[int]) -> bool:
    """Whether a cell is the nth of a house."""
    place = int(part.said)
    return place <= len(scope) and sorted(scope)[place - 1] == cell


def _holds(cell: int, part: Bearing, board: SpokenBoard) -> bool:
    """Whether a cell lies beside what it was said to lie beside."""
    if part.kind == "near":
        return near(cell, part, board) != part.denied
    if part.kind == "rule":
        layout = board.position.layout
        rules = part.rules or [one for one in layout.said if one in layout.premises]
        spans = [set(layout.span(rule)) for rule in rules]
        return any(cell in span and span & set(board.last) - {cell} for span in spans)
    return True
