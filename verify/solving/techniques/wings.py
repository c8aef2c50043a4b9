"""XY-wing, XYZ-wing and WXYZ-wing: a pivot and pincers with one digit that has no way out.

Two, three or four cells hold as many digits and one more between them in such a way that every digit
but one, *z*, is kept apart: all the cells that could hold it see one another. Then some cell holds z,
and cells that see every z of the pattern lose it. In an XY-wing the pivot {a,b} sees the pincers {a,z}
and {b,z}; in an XYZ-wing the pivot has z as well; in a WXYZ-wing a pivot sees three pincers, the four
cells holding four digits.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from itertools import combinations

from gridassay.verify.solving.board.ideas import (
    Idea,
    common_sight,
    marks_at,
    removal,
)
from gridassay.verify.solving.board.position import Layout, Mark, Position, bits_of, members
from gridassay.verify.solving.board.premise_words import left_said
from gridassay.verify.solving.techniques.pairs import sight_links

COUNTS = {3: "three", 4: "four"}
XY, XYZ, WXYZ = "XY-wing", "XYZ-wing", "WXYZ-wing"


def xy_wings(position: Position) -> Iterator[Idea]:
    """Three cells with two candidates each."""
    for pivot in _with_count(position, 2):
        mask = position.masks[pivot]
        pincers = [
            cell
            for cell in members(position.layout.sees[pivot] & ~position.placed)
            if position.masks[cell].bit_count() == 2
            and (position.masks[cell] & mask).bit_count() == 1
        ]
        for pair in combinations(pincers, 2):
            one, other = (position.masks[cell] for cell in pair)
            shared = one & other & ~mask
            if shared and one & mask != other & mask:
                yield from _idea(position, XY, pivot, pair, shared.bit_length() - 1)


def xyz_wings(position: Position) -> Iterator[Idea]:
    """A pivot with three candidates and two pincers with two of them each."""
    for pivot in _with_count(position, 3):
        mask = position.masks[pivot]
        pincers = [
            cell
            for cell in members(position.layout.sees[pivot] & ~position.placed)
            if position.masks[cell].bit_count() == 2 and not position.masks[cell] & ~mask
        ]
        for pair in combinations(pincers, 2):
            one, other = (position.masks[cell] for cell in pair)
            if one != other:
                yield from _idea(position, XYZ, pivot, pair, (one & other).bit_length() - 1)


def wxyz_wings(position: Position) -> Iterator[Idea]:
    """A pivot and three cells that it sees, with four candidates between them."""
    masks, sees = position.masks, position.layout.sees
    small = [c for c in members(position.open_bits) if 1 < masks[c].bit_count() <= 4]
    small_bits = bits_of(small)

    def loose(one: int, other: int) -> int:
        """The digits that two pincers could both be, since they do not see each other."""
        return 0 if sees[one] >> other & 1 else masks[one] & masks[other]

    for pivot in small:
        around = members(sees[pivot] & small_bits)
        for place, one in enumerate(around):
            two = masks[pivot] | masks[one]
            if two.bit_count() > 4:
                continue
            for further, other in enumerate(around[place + 1 :], place + 2):
                three = two | masks[other]
                if three.bit_count() > 4 or (apart := loose(one, other)).bit_count() > 1:
                    continue
                for third in around[further:]:
                    if (three | masks[third]).bit_count() != 4:
                        continue
                    z = apart | loose(one, third) | loose(other, third)
                    if z.bit_count() == 1:
                        pincers = (one, other, third)
                        yield from _idea(position, WXYZ, pivot, pincers, z.bit_length() - 1)


def _with_count(position: Position, count: int) -> Iterator[int]:
    for cell in members(position.open_bits):
        if position.masks[cell].bit_count() == count:
            yield cell


def _idea(
    position: Position, name: str, pivot: int, pincers: tuple[int, ...], z: int
) -> Iterator[Idea]:
    layout = position.layout
    cells = (pivot, *pincers)
    holders = [cell for cell in cells if position.has((cell, z))]
    removes = marks_at(position, common_sight(layout, holders), z)
    if not removes:
        return
    seen = [
        (one, other)
        for one, other in combinations(cells, 2)
        if position.masks[one] & position.masks[other] & ~(1 << z) and layout.sees[one] >> other & 1
    ]
    seen += [(cell, target) for target, _ in removes for cell in holders]
    yield Idea(
        name,
        removes=removes,
        cells=cells,
        switches=sight_links(layout, seen),
        shown=cells,
        digits=(z,),
        say=partial(_say, position, pivot, pincers, z, removes),
    )


def _say(
    position: Position, pivot: int, pincers: tuple[int, ...], z: int, removes: tuple[Mark, ...]
) -> str:
    layout: Layout = position.layout

    def digits(cell: int) -> str:
        return left_said(layout, cell, position.masks[cell])

    *others, last = [f"{layout.cells[cell]}, which is {digits(cell)}" for cell in pincers]
    return (
        f"pivot {layout.cells[pivot]} is {digits(pivot)} and sees {', '.join(others)}, and {last}: "
        f"whatever it is, one of the {COUNTS[len(pincers) + 1]} is {layout.symbol(z)}, "
        f"{removal(layout, removes)}"
    )
