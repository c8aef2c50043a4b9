"""Skyscraper and two-string kite: two strong links of a digit, with one end of each seeing the other.

A digit has two places in each of two houses, and one end of the first link sees one end of the second:
they cannot both hold it, so one of the two far ends does, and cells that see both lose it. It is a
skyscraper when the links lie in two rows (or two columns), a two-string kite when they lie in a row
and a column that meet in a box. Other houses and meetings are found as X-chains.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache, partial
from itertools import combinations
from typing import NamedTuple

from gridassay.verify.solving.board.ideas import Idea, cell_names, removal, zone_in
from gridassay.verify.solving.board.position import Layout, Mark, Position, members
from gridassay.verify.solving.techniques.pairs import StrongLink, sight_links, strong_links
from gridassay.verify.solving.techniques.sight_words import apart_said

SKYSCRAPER = "skyscraper"
KITE = "two-string kite"


def skyscrapers(position: Position) -> Iterator[Idea]:
    """Links in two rows or two columns."""
    return _find(position, SKYSCRAPER)


def kites(position: Position) -> Iterator[Idea]:
    """Links in a row and a column that meet in a box."""
    return _find(position, KITE)


class JoinedLinks(NamedTuple):
    """Two strong links: the ends that see each other, the far ends, and the cells that see these."""

    first: StrongLink
    second: StrongLink
    near: tuple[int, int]
    far: tuple[int, int]
    targets: int


def _find(position: Position, name: str) -> Iterator[Idea]:
    for digit in range(len(position.where)):
        for joined in _joins(position.layout, position.open_places(digit), name):
            yield _idea(position.layout, digit, name, joined)


@lru_cache(maxsize=1 << 12)
def _joins(layout: Layout, cells: int, name: str) -> tuple[JoinedLinks, ...]:
    """Every skyscraper or kite that these places of a digit make and that strikes something.

    Kept, since most steps leave most digits as they were.
    """
    wanted = [{"row"}, {"column"}] if name == SKYSCRAPER else [{"row", "column"}]
    found = []
    for first, second in combinations(strong_links(layout, cells), 2):
        if {first.zone.kind, second.zone.kind} not in wanted:
            continue
        for near, far in first.ends():
            for meeting, end in second.ends():
                targets = layout.sees[far] & layout.sees[end] & cells
                if (
                    targets
                    and layout.sees[near] >> meeting & 1
                    and len({near, far, meeting, end}) == 4
                    and _in_area(layout, near, meeting) is (name == KITE)
                ):
                    found.append(JoinedLinks(first, second, (near, meeting), (far, end), targets))
    return tuple(found)


def _in_area(layout: Layout, one: int, other: int) -> bool:
    link = layout.link(one, other)
    return isinstance(link, str) and link.startswith(("box", "region"))


def _idea(layout: Layout, digit: int, name: str, joined: JoinedLinks) -> Idea:
    first, second, near, far, targets = joined
    removes = tuple((cell, digit) for cell in members(targets))
    seen = [near, *((cell, target) for target, _ in removes for cell in far)]
    return Idea(
        name,
        removes=removes,
        spots=((digit, first.zone), (digit, second.zone)),
        switches=sight_links(layout, seen),
        shown=(near[0], far[0], near[1], far[1]),
        digits=(digit,),
        say=partial(_say, layout, digit, joined, removes),
    )


def _say(layout: Layout, digit: int, joined: JoinedLinks, removes: tuple[Mark, ...]) -> str:
    symbol = layout.symbol(digit)
    first, second = joined.first, joined.second
    targets = [cell for cell, _ in removes]
    return (
        f"{zone_in(layout, first.zone)}, {symbol} can only be in "
        f"{cell_names(layout, (first.one, first.other), 'or')}, and "
        f"{zone_in(layout, second.zone)} only in {cell_names(layout, (second.one, second.other), 'or')}; "
        f"{apart_said(layout, *joined.near)}, and not both {symbol}: one of "
        f"{cell_names(layout, joined.far)} is {symbol}, and {cell_names(layout, targets)} "
        f"{'see' if len(targets) > 1 else 'sees'} both, {removal(layout, removes)}"
    )
