"""Empty rectangle: a digit's places in a box lie on one row and one column, with a strong link beyond.

If a cell on that column held the digit, the box's place would lie on the row; the near end of the
strong link, which sees that row's places, would lose it, so its far end would hold it. A cell on the
column that also sees the far end therefore cannot. Rows and columns may be exchanged.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from gridassay.verify.position import Layout, Mark, Position, Zone, members
from gridassay.verify.techniques.base import Idea, cell_names, common_sight, marks_at, removal
from gridassay.verify.techniques.pairs import StrongLink, strong_links

NAME = "empty rectangle"


def find(position: Position) -> Iterator[Idea]:
    """For every digit, box, crossing of a row and a column in it, and strong link beyond."""
    layout = position.layout
    lines = [zone for zone in layout.full_zones if zone.kind in ("row", "column")]
    for digit, cells in enumerate(position.where):
        links = strong_links(position, digit)
        for box in layout.full_zones:
            spots = cells & box.bits & ~position.placed
            if box.kind != "area" or spots.bit_count() < 2:
                continue
            for line in lines:
                on_line = spots & line.bits
                off_line = spots & ~line.bits
                if not on_line or not off_line:
                    continue
                held = [z for z in lines if z.kind != line.kind and not off_line & ~z.bits]
                for other in held:
                    yield from _with_links(position, digit, box, (line, other), links)


def _with_links(
    position: Position, digit: int, box: Zone, lines: tuple[Zone, Zone], links: list[StrongLink]
) -> Iterator[Idea]:
    """The target lies on the first line; the strong link meets the second."""
    layout = position.layout
    line, other = lines
    spots = position.where[digit] & box.bits
    on_line, off_line = spots & line.bits, spots & ~line.bits
    for link in links:
        for near, far in link.ends():
            if box.bits >> near & 1 or box.bits >> far & 1:
                continue
            if link.zone.kind != line.kind or off_line & ~layout.sees[near]:
                continue
            cells = (
                line.bits & ~box.bits & layout.sees[far] & common_sight(layout, members(on_line))
            )
            removes = marks_at(position, cells & ~(1 << near), digit)
            if not removes:
                continue
            switches = list(layout.links(members(off_line), near))
            for target, _ in removes:
                switches += layout.links(members(on_line), target)
                switches.append(layout.link(far, target))
            yield Idea(
                NAME,
                removes=removes,
                spots=((digit, box), (digit, link.zone)),
                switches=tuple(dict.fromkeys(switches)),
                shown=(*members(spots), near, far),
                core=(near, far),
                digits=(digit,),
                say=partial(_say, layout, digit, box, (line, other), link, removes),
            )


def _say(
    layout: Layout,
    digit: int,
    box: Zone,
    lines: tuple[Zone, Zone],
    link: StrongLink,
    removes: tuple[Mark, ...],
) -> str:
    symbol = layout.symbol(digit)
    return (
        f"{symbol} in {box.name} lies on {lines[0].name} or {lines[1].name}, and in {link.zone.name} "
        f"it has only {cell_names(layout, (link.one, link.other))}: in {lines[0].name} beyond the box "
        f"it would leave no place in one of them, {removal(layout, removes)}"
    )
