"""Fitting shape: the places left for a shape on a cell, or for one shape, agree on something.

It is read from the parts of a rule that list the places of shapes by the walls around and within them.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache, partial

from gridassay.encodings.constraints import AllOf, AnyOf, Constraint, HowMany, In
from gridassay.encodings.grid import Cell
from gridassay.encodings.rules.piece_words import at_origin, pieces_in_words
from gridassay.encodings.variables import Together
from gridassay.encodings.wording import quantity
from gridassay.verify.engines.questions import Switch
from gridassay.verify.solving.board.ideas import Idea
from gridassay.verify.solving.board.layer_words import layer_conclusions
from gridassay.verify.solving.board.position import ALL, Layout, Mark, Position, bits_of, members

NAME = "fitting shape"


@dataclass(frozen=True)
class _Place:
    """A place of a shape: its cells, and the ways that are open within it and walled around it.

    Ways are unknowns by index, in bit sets.
    """

    cells: tuple[Cell, ...]
    open: int
    walled: int


@dataclass(frozen=True)
class _Choice:
    """Places of which at least ``least`` are taken; ``cell`` lies in all if they are about a cell."""

    switch: Switch
    places: tuple[_Place, ...]
    least: int
    cell: Cell | None


def find(position: Position) -> Iterator[Idea]:
    """Things that the places that are left have in common, few places first."""
    found: list[tuple[int, Idea]] = []
    layout = position.layout
    known = [0, 0]
    for way in _ways(layout):
        if position.masks[way].bit_count() == 1:
            known[layout.domains[way][position.masks[way].bit_length() - 1]] |= 1 << way
    walled, opened = known
    for choice in _choices(layout):
        left = [p for p in choice.places if not (p.open & walled or p.walled & opened)]
        if len(left) < choice.least:
            continue
        on, off = ALL, ALL
        for place in left:
            on, off = on & place.open, off & place.walled
        if len(left) == choice.least:
            on = bits_of(way for place in left for way in members(place.open))
            off = bits_of(way for place in left for way in members(place.walled))
        on, off = on & ~opened, off & ~walled
        if on or off:
            found.append((len(left), _idea(position, choice, left, (on, off), (opened, walled))))
    yield from (idea for _, idea in sorted(found, key=lambda one: (one[0], len(one[1].cells))))


@lru_cache(maxsize=16)
def _ways(layout: Layout) -> tuple[int, ...]:
    return tuple(place for place, one in enumerate(layout.unknowns) if isinstance(one, Together))


@lru_cache(maxsize=16)
def _choices(layout: Layout) -> tuple[_Choice, ...]:
    found = []
    for name, premise in layout.premises.items():
        for number, part in enumerate(premise.parts):
            said = part.constraint
            if isinstance(said, AnyOf):
                least = 1
            elif isinstance(said, HowMany) and len(said.counts) == 1:
                (least,) = said.counts
            else:
                continue
            places = [_place(layout, one) for one in said.members]
            fitting = tuple(place for place in places if place is not None)
            if len(fitting) == len(said.members) and fitting:
                shared = set(fitting[0].cells).intersection(*(one.cells for one in fitting))
                cell = min(shared, default=None) if isinstance(said, AnyOf) else None
                found.append(_Choice((name, number), fitting, least, cell))
    return tuple(found)


def _place(layout: Layout, said: Constraint) -> _Place | None:
    """The place that a constraint describes; None if it says something else."""
    if not isinstance(said, AllOf) or not said.members:
        return None
    ways: tuple[list[Together], list[Together]] = [], []
    for one in said.members:
        if not (isinstance(one, In) and isinstance(one.variable, Together) and one.inside):
            return None
        (number,) = one.values if len(one.values) == 1 else (-1,)
        if number not in (0, 1):
            return None
        ways[number].append(one.variable)
    if ways[1]:
        cells = {cell for way in ways[1] for cell in (way.first, way.second)}
    else:
        cells = set.intersection(*({way.first, way.second} for way in ways[0]))
    walled, opened = (bits_of(layout.index[way] for way in some) for some in ways)
    return _Place(tuple(sorted(cells)), opened, walled)


def _idea(
    position: Position,
    choice: _Choice,
    left: Sequence[_Place],
    found: tuple[int, int],
    known: tuple[int, int],
) -> Idea:
    layout = position.layout
    places = tuple(
        (way, layout.domains[way].index(number))
        for number, bits in ((1, found[0]), (0, found[1]))
        for way in members(bits)
    )
    walls = _why_not(choice, left, known)
    return Idea(
        NAME,
        places=tuple(sorted(places)),
        cells=walls,
        switches=(choice.switch,),
        shown=walls,
        say=partial(_say, position, choice, left, walls, tuple(sorted(places))),
    )


def _why_not(choice: _Choice, left: Sequence[_Place], known: tuple[int, int]) -> tuple[int, ...]:
    """Known ways, few of them, that rule out all other places: those that rule out most come first."""
    opened, walled = known
    out = [(one.open & walled) | (one.walled & opened) for one in choice.places if one not in left]
    chosen: list[int] = []
    while out:
        times = Counter(way for bits in out for way in members(bits))
        best = min(times, key=lambda way: (-times[way], way))
        chosen.append(best)
        out = [bits for bits in out if not bits >> best & 1]
    return tuple(sorted(chosen))


def _past(position: Position, walls: Sequence[int]) -> str:
    """The known ways, as a clause; nothing if there are none."""
    layout = position.layout
    pairs: tuple[list[str], list[str]] = ([], [])
    for way in walls:
        ends = layout.unknowns[way]
        assert isinstance(ends, Together)
        number = layout.domains[way][position.masks[way].bit_length() - 1]
        pairs[number].append(f"{ends.first} and {ends.second}")
    told = (("together", pairs[1]), ("apart", pairs[0]))
    known = "; ".join(f"{word}: {', '.join(some)}" for word, some in told if some)
    return f" past what is known ({known})" if known else ""


def _say(
    position: Position,
    choice: _Choice,
    left: Sequence[_Place],
    walls: Sequence[int],
    places: Sequence[Mark],
) -> str:
    layout = position.layout
    past = _past(position, walls)
    conclusion = layer_conclusions(layout, position, places, ())
    layer = getattr(layout.unknowns[places[0][0]], "layer", "")
    shape = pieces_in_words([at_origin((c.row, c.column) for c in left[0].cells)], True, True)
    where = " and ".join(f"({' '.join(map(str, one.cells))})" for one in left)
    if choice.cell is not None and len(left) == 1:
        return f"only {shape} {where} fits on {choice.cell}{past}, so that is a region of {layer}"
    if choice.cell is not None:
        number = quantity(len(left), "place")
        return f"{number} are left for a shape on {choice.cell}{past}, and in each of them {conclusion}"
    number = quantity(len(left), "place")
    verb = "is" if len(left) == 1 else "are"
    if len(left) == choice.least:
        regions = "that is a region" if len(left) == 1 else "these are regions"
        return f"{number} {verb} left for {shape}{past}: {where}, so {regions} of {layer}"
    return f"{number} {verb} left for {shape}{past}, and in each of them {conclusion}"
