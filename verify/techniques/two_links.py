"""Skyscraper and two-string kite: two strong links of a digit with one end of each in sight.

A digit has two places in each of two houses, and one end of the first link sees one end of the second:
they cannot both hold it, so one of the two far ends does, and cells that see both lose it. It is a
skyscraper when the links lie in two rows (or two columns), a two-string kite when they lie in a row
and a column that meet in a box. Other houses and meetings are found as X-chains.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from itertools import combinations

from gridassay.verify.position import Layout, Mark, Position
from gridassay.verify.techniques.base import Idea, cell_names, marks_at, removal
from gridassay.verify.techniques.pairs import StrongLink, sight_links, strong_links

SKYSCRAPER = "skyscraper"
KITE = "two-string kite"


def skyscrapers(position: Position) -> Iterator[Idea]:
    """Links in two rows or two columns."""
    return _find(position, SKYSCRAPER)


def kites(position: Position) -> Iterator[Idea]:
    """Links in a row and a column that meet in a box."""
    return _find(position, KITE)


def _find(position: Position, name: str) -> Iterator[Idea]:
    for digit in range(len(position.where)):
        for first, second in combinations(strong_links(position, digit), 2):
            kinds = {first.zone.kind, second.zone.kind}
            wanted = [{"row"}, {"column"}] if name == SKYSCRAPER else [{"row", "column"}]
            if kinds in wanted:
                yield from _join(position, name, digit, first, second)


def _join(
    position: Position, name: str, digit: int, first: StrongLink, second: StrongLink
) -> Iterator[Idea]:
    layout = position.layout
    for near, far in first.ends():
        for meeting, end in second.ends():
            if len({near, far, meeting, end}) < 4 or not layout.sees[near] >> meeting & 1:
                continue
            link = layout.link(near, meeting)
            in_area = isinstance(link, str) and link.startswith(("box", "region"))
            if in_area is not (name == KITE):
                continue
            removes = marks_at(position, layout.sees[far] & layout.sees[end], digit)
            if not removes:
                continue
            seen = [(near, meeting)]
            seen += [(cell, target) for target, _ in removes for cell in (far, end)]
            yield Idea(
                name,
                removes=removes,
                spots=((digit, first.zone), (digit, second.zone)),
                switches=sight_links(layout, seen),
                shown=(near, far, meeting, end),
                digits=(digit,),
                say=partial(
                    _say, layout, digit, (first, second), (near, meeting), (far, end), removes
                ),
            )


def _say(
    layout: Layout,
    digit: int,
    links: tuple[StrongLink, StrongLink],
    near: tuple[int, int],
    far: tuple[int, int],
    removes: tuple[Mark, ...],
) -> str:
    symbol = layout.symbol(digit)
    first, second = links
    return (
        f"{symbol} has two places in {first.zone.name} and two in {second.zone.name}, and "
        f"{cell_names(layout, near)} see each other, so one of {cell_names(layout, far)} is {symbol}, "
        f"{removal(layout, removes)}"
    )
