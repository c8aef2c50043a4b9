"""Remote pairs: a chain of cells with the same two candidates, each seeing the next.

They alternate, so of two cells an odd number of steps apart one holds each digit, and a cell that
sees both loses the two. Two cells one step apart are a naked pair.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from itertools import pairwise

from gridassay.verify.solving.board.ideas import Idea, cell_names, digit_names, removal
from gridassay.verify.solving.board.position import Layout, Mark, Position, bits_of, members
from gridassay.verify.solving.techniques.pairs import sight_links

NAME = "remote pairs"


def find(position: Position) -> Iterator[Idea]:
    """For every two cells joined by a shortest chain of an odd number of steps, three or more."""
    masks = position.masks
    same: dict[int, list[int]] = {}
    for cell in members(position.open_bits):
        if masks[cell].bit_count() == 2:
            same.setdefault(masks[cell], []).append(cell)
    for mask, cells in same.items():
        if len(cells) < 4:
            continue
        for start in cells:
            for path in _paths(position, start, bits_of(cells)):
                if path[0] < path[-1]:
                    yield from _idea(position, mask, path)


def _paths(position: Position, start: int, cells: int) -> Iterator[tuple[int, ...]]:
    """Shortest paths from a cell to those an odd number of steps away, three at least."""
    seen = 1 << start
    reached: list[tuple[int, ...]] = [(start,)]
    while reached:
        further = []
        for path in reached:
            for cell in members(position.layout.sees[path[-1]] & cells & ~seen):
                seen |= 1 << cell
                further.append((*path, cell))
        yield from (path for path in further if len(path) >= 4 and len(path) % 2 == 0)
        reached = further


def _idea(position: Position, mask: int, path: tuple[int, ...]) -> Iterator[Idea]:
    layout = position.layout
    both = layout.sees[path[0]] & layout.sees[path[-1]] & ~bits_of(path)
    removes = tuple(
        (cell, digit) for digit in members(mask) for cell in members(both & position.where[digit])
    )
    if not removes:
        return
    seen = list(pairwise(path))
    seen += [(end, target) for target, _ in removes for end in (path[0], path[-1])]
    yield Idea(
        NAME,
        removes=removes,
        cells=path,
        switches=sight_links(layout, seen),
        shown=path,
        digits=members(mask),
        say=partial(_say, layout, path, members(mask), removes),
    )


def _say(
    layout: Layout, path: tuple[int, ...], digits: tuple[int, ...], removes: tuple[Mark, ...]
) -> str:
    return (
        f"{cell_names(layout, path)} alternate between {digit_names(layout, digits)}, and the two "
        f"ends differ, {removal(layout, removes)}"
    )
