"""The one doubler of a house: where a cage or line must hold it, and what that says of the others.

Two digits of a cage make at most 17: if they have to make 18, one of them counts double. If both lie in
one row, no other cell of that row is a doubler.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import partial

from gridassay.encodings.board import Part
from gridassay.encodings.constraints import CellValue, Constraint, Count, Doubler, Sum
from gridassay.verify.engines.by_thread import kept_by_thread
from gridassay.verify.engines.deletion import fewest
from gridassay.verify.engines.questions import Switch
from gridassay.verify.solving.board.ideas import Idea, premise_name, word_list
from gridassay.verify.solving.board.layer_words import marks_said
from gridassay.verify.solving.board.position import Layout, Mark, Position, bits_of, members
from gridassay.verify.solving.board.premise_words import as_given, candidates_said
from gridassay.verify.solving.rule_meaning.desks import RuleDesk, desks_of
from gridassay.verify.solving.rule_meaning.pieces import Piece
from gridassay.verify.solving.rule_meaning.sums import extent, total_in

_NO, _YES = 0, 1
_DOUBLERS = "doublers"
"""The name of the premise that there is one doubler in each house."""


@dataclass(frozen=True)
class _House:
    """A house with its doublers (bits), and the premise that one of them is a doubler."""

    name: str
    switch: Switch
    bits: int


@dataclass(frozen=True, eq=False)
class _Held:
    """A rule that must hold a doubler: the doublers among its unknowns, and the unknowns that say so."""

    desk: RuleDesk
    places: tuple[int, ...]
    cells: tuple[int, ...]


@kept_by_thread(16)
def _houses(layout: Layout) -> tuple[_House, ...]:
    """The houses of a puzzle with doublers, none of any other."""
    premise = layout.premises.get(_DOUBLERS)
    parts: Sequence[Part] = premise.parts if premise else ()
    found = []
    for number, house in enumerate(layout.canvas.houses[: len(parts)]):
        if isinstance(parts[number].constraint, Count):
            name = layout.said.get(house.name, house.name)
            bits = bits_of(layout.index[Doubler(cell)] for cell in house.cells)
            found.append(_House(name, (_DOUBLERS, number), bits))
    return tuple(found)


@kept_by_thread(16)
def _desks(layout: Layout) -> tuple[tuple[RuleDesk, int], ...]:
    """The rules that read doublers, with those that they read (bits)."""
    every = 0
    for house in _houses(layout):
        every |= house.bits
    return tuple(
        (desk, desk.bits & every)
        for desk in desks_of(layout)
        if desk.bits & every and desk.piece.premise.name != _DOUBLERS
    )


def find(position: Position, touched: int) -> Iterator[Idea]:
    """For every rule that must hold a doubler: the strikes in houses that have all its doublers."""
    layout = position.layout
    for desk, bits in _desks(layout) if _houses(layout) else ():
        if not desk.bits & touched:
            continue
        places = bits_of(one for one in members(bits) if position.masks[one] >> _YES & 1)
        if places & position.placed or not places & (places - 1):
            continue
        held: _Held | None = None
        for house in _houses(layout):
            others = house.bits & ~places & ~position.placed
            if places & ~house.bits or not others:
                continue
            held = held or _needing(position, desk, tuple(members(places)))
            if held is None:
                break
            yield _idea(position, held, house, tuple((one, _YES) for one in members(others)))


def of_house(position: Position, piece: Piece, struck: Sequence[Mark]) -> str:
    """Why a house with one doubler strikes: ``r3c7 is the doubler of row 3, so r3c2 is not a doubler``.

    Empty for any other rule, and for any other strikes.
    """
    layout = position.layout
    house = next((one for one in _houses(layout) if one.switch == piece.switch), None)
    if house is None:
        return ""
    end = marks_said(layout, [(one, 1 - gone) for one, gone in struck], [])
    can = [one for one in members(house.bits) if position.masks[one] >> _YES & 1]
    if [(one, _NO) for one in can] == [*struck]:
        return f"no other cell of {house.name} can be a doubler, so {end}"
    known = [one for one in can if position.is_placed(one)]
    if len(known) != 1 or not {(one, _YES) for one in can if one not in known} >= {*struck}:
        return ""
    return f"{_cell(layout, known[0])} is the doubler of {house.name}, so {end}"


def _needing(position: Position, desk: RuleDesk, places: tuple[int, ...]) -> _Held | None:
    """The doublers of a rule, if it cannot be filled without one; None if it can."""
    others = [one for one in desk.piece.scope if one not in places]

    def enough(cells: Sequence[int]) -> bool:
        left = {one: position.masks[one] for one in cells} | dict.fromkeys(places, 1 << _NO)
        return desk.alone.filling(left, desk.piece.scope, [desk.name]) is None

    if not enough(others):
        return None
    return _Held(desk, places, tuple(fewest(others, enough)))


def _idea(position: Position, held: _Held, house: _House, removes: tuple[Mark, ...]) -> Idea:
    # "In these cells" tells that the rule's other doublers are out.
    lost = [
        one
        for one in held.desk.piece.scope
        if isinstance(position.layout.unknowns[one], Doubler) and one not in held.places
    ]
    return Idea(
        "sure digit",
        removes=removes,
        cells=tuple(dict.fromkeys((*held.cells, *lost))),
        switches=(held.desk.piece.switch, house.switch),
        shown=held.desk.piece.scope,
        core=held.places,
        say=partial(_say, position, held, house, removes),
    )


def _say(position: Position, held: _Held, house: _House, removes: tuple[Mark, ...]) -> str:
    layout = position.layout
    places = [_cell(layout, one) for one in held.places]
    rule = premise_name(layout, held.desk.piece.switch)
    end = marks_said(layout, [(one, _NO) for one, _ in removes], [])
    most = _most(position, held)
    if most is None:
        where = word_list(places, "or")
        return f"{rule} must hold the doubler of {house.name}, in {where}, so {end}"
    given = as_given(candidates_said(layout, {one: position.masks[one] for one in held.cells}))
    return (
        f"{rule}: {given}without a doubler {word_list(places)} make at most {most}, so one of them is "
        f"the doubler of {house.name}, and {end}"
    )


def _cell(layout: Layout, unknown: int) -> str:
    doubler = layout.unknowns[unknown]
    assert isinstance(doubler, Doubler)
    return str(doubler.cell)


def _most(position: Position, held: _Held) -> int | None:
    """The most that the cells of a total make without a doubler, if that is less than the total."""
    layout, premise = position.layout, held.desk.piece.premise
    parts = tuple(replace(part, constraint=_by_digits(part.constraint)) for part in premise.parts)
    total = total_in(layout, replace(premise, parts=parts))
    if total is None or set(total.weights) != {1} or len(total.cells) != len(held.places):
        return None
    masks = [position.masks[c] if c in held.cells else layout.full[c] for c in total.cells]
    _, most = extent(total, masks, layout.domains)
    return most if most < total.amount else None


def _by_digits(constraint: Constraint) -> Constraint:
    """A sum of what cells count as, as one of their digits; any other constraint as it is."""
    if not isinstance(constraint, Sum):
        return constraint
    cells = (one.cell if isinstance(one, CellValue) else one for one in constraint.variables)
    return replace(constraint, variables=tuple(cells))
