"""Closed too early: a line that would close a loop while another line belongs to it as well.

If no point has more than two lines, a chain whose ends would be joined is a whole loop by itself;
other lines that are known to be drawn could not belong to it. This is read from the part that says
that all of it is one loop, and the parts that say how many lines meet at a point.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache, partial

from gridassay.encodings.constraints import Variable
from gridassay.encodings.graphs import Graph
from gridassay.encodings.groups import Connected
from gridassay.encodings.variables import Edge, Link
from gridassay.verify.engines.questions import Switch
from gridassay.verify.solving.board.ideas import Idea
from gridassay.verify.solving.board.layer_words import group_said, layer_conclusions
from gridassay.verify.solving.board.position import Layout, Position
from gridassay.verify.solving.techniques.maps import as_placements

NAME = "closed too early"

_ON = 0b10
"""The candidates of a line that is drawn."""


@dataclass(frozen=True, slots=True, eq=False)
class OneLoop:
    """The part that says that lines are one loop, and the points at which no more than two meet."""

    switch: Switch
    graph: Graph
    ends: Mapping[int, tuple[int, int]]
    points: Sequence[Switch]


def find(position: Position) -> Iterator[Idea]:
    """For every line that would close a chain while others are known to be drawn."""
    for loop in _loops(position.layout):
        yield from _closing(position, loop)


@lru_cache(maxsize=16)
def _loops(layout: Layout) -> tuple[OneLoop, ...]:
    found = []
    for name, premise in layout.premises.items():
        whole = [
            (number, part.constraint)
            for number, part in enumerate(premise.parts)
            if isinstance(part.constraint, Connected) and part.constraint.outside is None
        ]
        for number, said in whole:
            lines = {node.variable for node in said.graph.nodes if node is not None}
            if said.stated and lines and all(isinstance(one, Link | Edge) for one in lines):
                points = _points(layout, name, lines)
                # In reading order: the order of a set of names is another one in each process.
                ends: dict[int, list[int]] = {
                    one: [] for one in sorted(map(layout.index.__getitem__, lines))
                }
                for at, (_, meeting) in enumerate(points):
                    for line in meeting:
                        ends[layout.index[line]].append(at)
                if all(len(both) == 2 for both in ends.values()):
                    two = {line: (both[0], both[1]) for line, both in ends.items()}
                    switches = [switch for switch, _ in points]
                    found.append(OneLoop((name, number), said.graph, two, switches))
    return tuple(found)


def _points(
    layout: Layout, name: str, lines: set[Variable]
) -> list[tuple[Switch, frozenset[Variable]]]:
    """The parts by which at most two lines meet at a point, with the lines."""
    found: list[tuple[Switch, frozenset[Variable]]] = []
    for number, part in enumerate(layout.premises[name].parts):
        meeting = frozenset(part.constraint.scope())
        if isinstance(part.constraint, Connected) or not meeting <= lines or len(meeting) > 4:
            continue
        values = dict.fromkeys(lines & meeting, 0)
        three = len(meeting) < 3 or not part.constraint.holds(
            values | dict.fromkeys(sorted(meeting, key=str)[:3], 1)
        )
        if three:
            found.append(((name, number), meeting))
    return found


def _closing(position: Position, loop: OneLoop) -> Iterator[Idea]:
    masks = position.masks
    drawn = [line for line in loop.ends if masks[line] == _ON]
    at: dict[int, list[int]] = {}
    for line in drawn:
        for point in loop.ends[line]:
            at.setdefault(point, []).append(line)
    seen: set[int] = set()
    for first in drawn:
        if first in seen:
            continue
        chain, points = [first], dict.fromkeys(loop.ends[first])
        for line in chain:
            for point in loop.ends[line]:
                points[point] = None
                chain += [one for one in at[point] if one not in chain]
        seen.update(chain)
        others = [line for line in drawn if line not in chain]
        if not others or len(chain) != len(points) - 1:
            continue
        for line, (one, other) in loop.ends.items():
            tips = one in points and other in points and len(at[one]) == 1 == len(at[other])
            if tips and masks[line] == 0b11:
                yield _idea(position, loop, line, chain, list(points), others[0])


def _idea(
    position: Position,
    loop: OneLoop,
    line: int,
    chain: Sequence[int],
    points: Sequence[int],
    other: int,
) -> Idea:
    return Idea(
        NAME,
        places=as_placements(position, ((line, 1),))[0],
        removes=as_placements(position, ((line, 1),))[1],
        cells=(*chain, other),
        switches=(loop.switch, *(loop.points[point] for point in points)),
        shown=(*chain, other),
        say=partial(_say, position, loop, line, other),
    )


def _say(position: Position, loop: OneLoop, line: int, other: int) -> str:
    layout = position.layout
    node = next(
        at
        for at, one in enumerate(loop.graph.nodes)
        if one is not None and layout.index[one.variable] == other
    )
    return (
        "that would close a loop too early, without "
        f"{group_said(layout, loop.graph, [node])}, so "
        f"{layer_conclusions(layout, position, (), ((line, 1),))}"
    )
