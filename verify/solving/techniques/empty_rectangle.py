"""Empty rectangle: a digit's places in a box lie on one row and one column, with a strong link beyond.

If a cell on that column held the digit, the box's place would lie on the row; the near end of the
strong link, which sees that row's places, would lose it, so its far end would hold it. A cell on the
column that also sees the far end therefore cannot. Rows and columns may be exchanged.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import lru_cache, partial
from typing import NamedTuple

from gridassay.verify.solving.board.ideas import Idea, cell_names, common_sight, removal, zone_in
from gridassay.verify.solving.board.position import Layout, Mark, Position, Zone, members
from gridassay.verify.solving.techniques.pairs import StrongLink, strong_links
from gridassay.verify.solving.techniques.sight_words import sight_said, sights_said

NAME = "empty rectangle"


class BoxAndLink(NamedTuple):
    """A box whose places lie on two lines, the strong link that meets the second, and the targets."""

    box: Zone
    lines: tuple[Zone, Zone]
    link: StrongLink
    near: int
    far: int
    targets: int


def find(position: Position) -> Iterator[Idea]:
    """For every digit, box, crossing of a row and a column in it, and strong link beyond."""
    for digit in range(len(position.where)):
        cells = position.open_places(digit)
        for joined in _joins(position.layout, cells):
            yield _idea(position.layout, digit, cells, joined)


@lru_cache(maxsize=1 << 12)
def _joins(layout: Layout, cells: int) -> tuple[BoxAndLink, ...]:
    """Every one that these places of a digit make and that strikes something.

    Kept, since most steps leave most digits as they were.
    """
    lines = [zone for zone in layout.full_zones if zone.kind in ("row", "column")]
    links = strong_links(layout, cells)
    found: list[BoxAndLink] = []
    for box in layout.full_zones:
        spots = cells & box.bits
        if not box.is_area or not spots & (spots - 1):
            continue
        beyond = [link for link in links if not (1 << link.one | 1 << link.other) & box.bits]
        for line in lines:
            on_line, off_line = spots & line.bits, spots & ~line.bits
            if not on_line or not off_line:
                continue
            reach = cells & line.bits & ~box.bits & common_sight(layout, members(on_line))
            for other in lines:
                if reach and other.kind != line.kind and not off_line & ~other.bits:
                    found += _with_links(layout, box, (line, other), beyond, off_line, reach)
    return tuple(found)


def _with_links(
    layout: Layout,
    box: Zone,
    lines: tuple[Zone, Zone],
    links: Sequence[StrongLink],
    off_line: int,
    reach: int,
) -> Iterator[BoxAndLink]:
    """The targets lie on the first line, in ``reach``; the strong link meets the second."""
    for link in links:
        if link.zone.kind != lines[0].kind:
            continue
        for near, far in link.ends():
            targets = reach & layout.sees[far] & ~(1 << near)
            if targets and not off_line & ~layout.sees[near]:
                yield BoxAndLink(box, lines, link, near, far, targets)


def _idea(layout: Layout, digit: int, cells: int, joined: BoxAndLink) -> Idea:
    box, (line, _), link, near, far, targets = joined
    spots = cells & box.bits
    on_line, off_line = members(spots & line.bits), members(spots & ~line.bits)
    removes = tuple((cell, digit) for cell in members(targets))
    switches = list(layout.links(off_line, near))
    for target, _ in removes:
        switches += layout.links(on_line, target)
        switches.append(layout.link(far, target))
    return Idea(
        NAME,
        removes=removes,
        spots=((digit, box), (digit, link.zone)),
        switches=tuple(dict.fromkeys(switches)),
        shown=(*members(spots), near, far),
        core=(near, far),
        digits=(digit,),
        say=partial(_say, layout, digit, joined, members(spots), off_line, removes),
    )


def _say(
    layout: Layout,
    digit: int,
    joined: BoxAndLink,
    places: tuple[int, ...],
    off_line: tuple[int, ...],
    removes: tuple[Mark, ...],
) -> str:
    symbol, link = layout.symbol(digit), joined.link
    targets = [cell for cell, _ in removes]
    return (
        f"{symbol} {zone_in(layout, joined.box)} is confined to {cell_names(layout, places)}, and "
        f"{zone_in(layout, link.zone)} to {cell_names(layout, (link.one, link.other))}; with {symbol} in "
        f"{cell_names(layout, targets, 'or')} it would be in {cell_names(layout, off_line, 'or')}, and "
        f"as {sights_said(layout, (joined.near,), off_line)} and "
        f"{sight_said(layout, joined.far, targets)}, it would have no place "
        f"{zone_in(layout, link.zone)}, {removal(layout, removes)}"
    )
