"""Cells that must be connected: dead ends, meeting places, and cells that are cut off.

Cells of one value that have to be connected, the links of one loop, groups that have to reach the
edge: if a group has only one way on, it takes it (*dead end*); if two groups can only join at one
cell, it belongs to them (*meeting place*); what no group can reach does not belong to them (*cut
off*). All this is read from what a part of a rule says of a graph, never from its kind.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import lru_cache, partial

from gridassay.encodings.groups import Connected
from gridassay.verify.engines.questions import Switch
from gridassay.verify.solving.board.ideas import Idea, word_list
from gridassay.verify.solving.board.layer_words import (
    group_said,
    layer_conclusions,
    thing_said,
    walls_said,
)
from gridassay.verify.solving.board.position import Layout, Mark, Position
from gridassay.verify.solving.techniques.maps import IN, OPEN, Map, as_placements, terrain_of

DEAD_END, MEETING_PLACE, CUT_OFF = "dead end", "meeting place", "cut off"

_Place = tuple[Switch, Connected]


def find(position: Position) -> Iterator[Idea]:
    """For every part that says that something is connected."""
    for switch, said in _places(position.layout):
        found = Map(terrain_of(position.layout, said.graph), position)
        yield from _cut_nodes(found, switch, said)
        yield from _cut_off(found, switch, said)


@lru_cache(maxsize=16)
def _places(layout: Layout) -> tuple[_Place, ...]:
    return tuple(
        ((name, number), part.constraint)
        for name, premise in layout.premises.items()
        for number, part in enumerate(premise.parts)
        if isinstance(part.constraint, Connected) and part.constraint.stated
    )


def _cut_nodes(found: Map, switch: Switch, said: Connected) -> Iterator[Idea]:
    """Nodes without which some that are in could not join, or not get out."""
    ins = {node for node, state in enumerate(found.state) if state == IN}
    if not ins:
        return
    for node in sorted(found.narrow()):
        if found.state[node] != OPEN:
            continue
        sides: list[list[int]] = []
        for other, _, _ in found.around[node]:
            if not any(other in side for side in sides):
                sides.append(found.reach([other], (node,)))
        sides = [side for side in sides if not ins.isdisjoint(side)]
        if said.outside is not None:
            sides = [side for side in sides if said.outside.isdisjoint(side)]
        elif len(sides) < 2:
            continue
        if sides:
            side = min(sides, key=lambda one: (len(found.shore(one, (node,))), len(one)))
            yield _idea_taken(found, switch, said, node, side, ins)


def _idea_taken(
    found: Map, switch: Switch, said: Connected, node: int, side: list[int], ins: set[int]
) -> Idea:
    layout = found.position.layout
    inner = next(one for one in side if one in ins)
    own = found.groups[found.group_of[inner]]
    beyond = () if said.outside is not None else (min(ins - set(side) - {node}),)
    shore = found.shore(side, (node,))
    ends = [found.terrain.unknowns[one] for one in (inner, *beyond)]
    places, removes = found.coming_in(node)
    cells = tuple(dict.fromkeys([*shore, *(one for one in ends if one is not None)]))
    dead = set(side) == set(own)
    return Idea(
        DEAD_END if dead else MEETING_PLACE,
        places=places,
        removes=removes,
        cells=cells,
        switches=(switch,),
        shown=cells,
        say=partial(
            _say_taken, layout, said, found, dead, (inner, *beyond), shore, (places, removes)
        ),
    )


def _say_taken(
    layout: Layout,
    said: Connected,
    found: Map,
    dead: bool,
    ends: Sequence[int],
    shore: Sequence[int],
    marks: tuple[Sequence[Mark], Sequence[Mark]],
) -> str:
    order = ends if dead or said.outside is not None else sorted(ends)
    groups = [found.groups[found.group_of[one]] for one in order]
    names = [group_said(layout, said.graph, group) for group in groups]
    conclusion = layer_conclusions(layout, found.position, *marks)
    past = walls_said(layout, shore, found.position.masks, "past")
    if said.outside is not None:
        return f"{names[0]} can only get out one way{past}, so {conclusion}"
    if dead:
        return f"{names[0]} must go on, and there is one way left{past}, so {conclusion}"
    return f"{names[0]} and {names[1]} can only come together in one place{past}, so {conclusion}"


def _cut_off(found: Map, switch: Switch, said: Connected) -> Iterator[Idea]:
    """Areas that nothing which is in can reach, or that do not reach the outside."""
    ins = [node for node, state in enumerate(found.state) if state == IN]
    if not ins and said.outside is None:
        return
    for area in found.areas():
        if any(found.state[node] == IN for node in area):
            continue
        if said.outside is not None and not said.outside.isdisjoint(area):
            continue
        shore = found.shore(area)
        beyond = found.terrain.unknowns[ins[0]] if said.outside is None else None
        cells = (*shore, *(() if beyond is None else (beyond,)))
        removes = found.staying_out(area)
        if removes:
            yield Idea(
                CUT_OFF,
                places=as_placements(found.position, removes)[0],
                removes=as_placements(found.position, removes)[1],
                cells=cells,
                switches=(switch,),
                shown=cells,
                say=partial(_say_lost, found, said, area, shore, removes, ins),
            )


def _say_lost(
    found: Map,
    said: Connected,
    area: Sequence[int],
    shore: Sequence[int],
    removes: Sequence[Mark],
    ins: Sequence[int],
) -> str:
    layout, position = found.position.layout, found.position
    from_what = "the edge"
    if said.outside is None:
        group = found.groups[found.group_of[ins[0]]]
        from_what = group_said(layout, said.graph, group)
    by = walls_said(layout, shore, position.masks, "by")
    it = "it is" if len(area) == 1 else "they are"
    return (
        f"{_area(layout, said, area)} cannot be reached from {from_what}: {it} cut off{by}, so "
        f"{layer_conclusions(layout, position, (), removes)}"
    )


def _area(layout: Layout, said: Connected, area: Sequence[int]) -> str:
    names = [
        thing_said(layout, layout.index[node.variable])
        for one in sorted(area)
        if (node := said.graph.nodes[one]) is not None
    ]
    return word_list(names)
