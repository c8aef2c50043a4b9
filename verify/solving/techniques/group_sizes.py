"""Deductions from sizes: a group that is full stops, one that is too small goes on if it must.

Islands with a number, regions of a size, fleets: a *full group* takes nothing more, and two groups
that would be too large together stay apart; a group needs *room to grow*, and if there is only one
way to enough of it, it takes that way. Sizes are read off what the parts of rules say, never their
kind.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache, partial

from gridassay.encodings.graphs import Graph
from gridassay.encodings.groups import GroupSize, GroupSizes, Separated
from gridassay.verify.engines.questions import Switch
from gridassay.verify.solving.board.ideas import Idea
from gridassay.verify.solving.board.layer_words import group_said, layer_conclusions, walls_said
from gridassay.verify.solving.board.position import Layout, Mark, Position, members
from gridassay.verify.solving.techniques.maps import IN, OPEN, OUT, Map, as_placements, terrain_of

FULL, ROOM = "full group", "room to grow"


@dataclass(frozen=True, slots=True, eq=False)
class Sized:
    """The fact that groups have sizes: that of one node, or all; ``unknown`` tells the size."""

    switch: Switch
    graph: Graph
    sizes: frozenset[int]
    node: int | None = None
    unknown: int | None = None


@dataclass(frozen=True, slots=True, eq=False)
class _Span:
    """The least and the greatest size of a group here, and the unknowns that tell them."""

    least: int
    most: int
    by: tuple[int, ...]


def find(position: Position) -> Iterator[Idea]:
    """For every group of which a size is told."""
    layout = position.layout
    yield from _in_a_group(position)
    for sized in _sized_groups(layout):
        found = Map(terrain_of(layout, sized.graph), position)
        if sized.node is None:
            groups = found.groups
        elif found.state[sized.node] == OUT:
            continue
        else:
            at = found.group_of[sized.node]
            groups = [found.groups[at] if at >= 0 else [sized.node]]
        span = _span(position, sized)
        for group in groups:
            yield from _full(found, sized, span, group)
            if len(group) < span.least:
                yield from _room(found, sized, span, group)


def _in_a_group(position: Position) -> Iterator[Idea]:
    """Cells whose size is told are in a group, so they are in: the cells of one rule together."""
    waiting: dict[str, list[tuple[Switch, Mark]]] = {}
    for sized in _sized_groups(position.layout):
        if sized.node is None:
            continue
        terrain = terrain_of(position.layout, sized.graph)
        unknown, inside = terrain.unknowns[sized.node], terrain.inside[sized.node]
        if unknown is None or not position.masks[unknown] & ~inside:
            continue
        name = sized.switch if isinstance(sized.switch, str) else sized.switch[0]
        for value in members(position.masks[unknown] & ~inside):
            waiting.setdefault(name, []).append((sized.switch, (unknown, value)))
    for several in waiting.values():
        removes = tuple(mark for _, mark in several)
        yield Idea(
            ROOM,
            places=as_placements(position, removes)[0],
            removes=as_placements(position, removes)[1],
            switches=tuple(dict.fromkeys(switch for switch, _ in several)),
            say=partial(_say_in, position, removes),
        )


def _say_in(position: Position, removes: Sequence[Mark]) -> str:
    return (
        f"a size belongs to a group, so {layer_conclusions(position.layout, position, (), removes)}"
    )


@lru_cache(maxsize=16)
def _sized_groups(layout: Layout) -> tuple[Sized, ...]:
    found = []
    for name, premise in layout.premises.items():
        for number, part in enumerate(premise.parts):
            for said in (part.constraint, *getattr(part.constraint, "members", ())):
                switch = (name, number)
                if isinstance(said, GroupSizes) and said.stated and said.sizes:
                    found.append(Sized(switch, said.graph, frozenset(said.sizes)))
                elif (
                    isinstance(said, GroupSize) and said.stated and not _is_nested(part.constraint)
                ):
                    fixed = isinstance(said.sizes, frozenset)
                    found.append(
                        Sized(
                            switch,
                            said.graph,
                            said.sizes if isinstance(said.sizes, frozenset) else frozenset(),
                            said.node,
                            None if fixed else layout.index[said.sizes],  # type: ignore[index]
                        )
                    )
    return tuple(found)


def _is_nested(constraint: object) -> bool:
    return hasattr(constraint, "members")


def _span(position: Position, sized: Sized) -> _Span:
    if sized.unknown is None:
        return _Span(min(sized.sizes), max(sized.sizes), ())
    domain = position.layout.domains[sized.unknown]
    sizes = [domain[value] for value in members(position.masks[sized.unknown])] or [0]
    return _Span(min(sizes), max(sizes), (sized.unknown,))


def _full(found: Map, sized: Sized, span: _Span, group: Sequence[int]) -> Iterator[Idea]:
    """Cells that would make the group too large stay out of it."""
    if len(group) > span.most:
        return
    barred: dict[tuple[int, ...], list[Mark]] = {}
    own, masks = set(group), found.position.masks
    for node in group:
        for other, way, state in found.around[node]:
            if other in own:
                continue
            if found.state[other] == OPEN and state == IN:
                met = _groups_met(found, other, own)
                if len(group) + 1 + sum(len(found.groups[one]) for one in met) > span.most:
                    barred.setdefault(tuple(met), []).extend(found.staying_out([other]))
            elif found.state[other] == IN and state == OPEN:
                at = found.group_of[other]
                if len(group) + len(found.groups[at]) > span.most:
                    marks = [
                        (way, value) for value in members(masks[way]) if _is_on(found, way, value)
                    ]
                    barred.setdefault((at,), []).extend(marks)
    if len(group) == span.most and barred:
        every = [mark for marks in barred.values() for mark in marks]
        yield _idea_full(found, sized, span, group, (), every)
        return
    for meeting, some in barred.items():
        yield _idea_full(found, sized, span, group, meeting, some)


def _is_on(found: Map, way: int, value: int) -> bool:
    return found.position.layout.domains[way][value] == 1


def _groups_met(found: Map, node: int, own: set[int]) -> list[int]:
    """The sure groups that a node would bring in with it."""
    return sorted(
        {
            found.group_of[other]
            for other, _, state in found.around[node]
            if state == IN and found.state[other] == IN and other not in own
        }
    )


def _idea_full(
    found: Map,
    sized: Sized,
    span: _Span,
    group: Sequence[int],
    met: Sequence[int],
    marks: Sequence[Mark],
) -> Idea:
    ties = [*found.ties(group), *(one for at in met for one in found.ties(found.groups[at]))]
    # The size itself says that its own cell is in.
    own = None if sized.node is None else found.terrain.unknowns[sized.node]
    cells = tuple(dict.fromkeys([*(one for one in ties if one != own), *span.by]))
    removes = tuple(sorted(set(marks)))
    return Idea(
        FULL,
        places=as_placements(found.position, removes)[0],
        removes=as_placements(found.position, removes)[1],
        cells=cells,
        switches=(sized.switch,),
        shown=cells,
        say=partial(_say_full, found, sized, span, tuple(group), tuple(met), removes),
    )


def _say_full(
    found: Map,
    sized: Sized,
    span: _Span,
    group: Sequence[int],
    met: Sequence[int],
    removes: Sequence[Mark],
) -> str:
    layout = found.position.layout
    name = group_said(layout, sized.graph, group)
    conclusion = layer_conclusions(layout, found.position, (), removes)
    if len(group) == span.most:
        several = len(group) > 1 and sized.graph.nodes[group[0]] is not None
        be = "are" if several else "is"
        return f"{name} {be} a full group of {span.most}, so {conclusion}"
    others = [group_said(layout, sized.graph, found.groups[at]) for at in met]
    beside = f" with {' and '.join(others)}" if others else ""
    return f"{name}{beside} would make more than {span.most}, so {conclusion}"


def _room(found: Map, sized: Sized, span: _Span, group: Sequence[int]) -> Iterator[Idea]:
    """The cells that the group needs in order to become large enough."""
    near = found.reach(group, (), span.least)
    if len(near) < span.least:
        return
    for node in near:
        if found.state[node] == OPEN:
            side = found.reach(group, (node,), span.least)
            if len(side) < span.least:
                yield _idea_room(found, sized, span, group, side, (node,), found.coming_in(node))
    for at in dict.fromkeys(found.group_of[node] for node in near if node not in group):
        if at >= 0:
            yield from _room_by_ways(found, sized, span, group, found.groups[at])


def _room_by_ways(
    found: Map, sized: Sized, span: _Span, group: Sequence[int], other: Sequence[int]
) -> Iterator[Idea]:
    theirs = set(other)
    ways = [
        way
        for node in group
        for there, way, state in found.around[node]
        if there in theirs and state == OPEN
    ]
    if not ways:
        return
    side = found.reach(group, other, span.least)
    if len(side) >= span.least:
        return
    # If there is more than one way across, that the two are one region opens all between them.
    across = [
        way
        for node in side
        for there, way, state in found.around[node]
        if there in theirs and state != OUT
    ]
    switches: tuple[Switch, ...] = ()
    if len(across) > 1:
        walls = _separation(found.position.layout, sized.graph)
        if walls is None:
            return
        switches = (walls,)
    places = tuple(
        (way, value)
        for way in ways
        for value in members(found.position.masks[way])
        if _is_on(found, way, value)
    )
    more = (*found.ties(group), *found.ties(other)) if switches else ()
    yield _idea_room(found, sized, span, group, side, other, (places, ()), switches, more)


@lru_cache(maxsize=64)
def _separation(layout: Layout, graph: Graph) -> Switch | None:
    """The part that says that a closed way leads between two regions."""
    for name, premise in layout.premises.items():
        for number, part in enumerate(premise.parts):
            if isinstance(part.constraint, Separated) and part.constraint.graph == graph:
                return name, number
    return None


def _idea_room(
    found: Map,
    sized: Sized,
    span: _Span,
    group: Sequence[int],
    side: Sequence[int],
    beyond: Sequence[int],
    marks: tuple[tuple[Mark, ...], tuple[Mark, ...]],
    switches: tuple[Switch, ...] = (),
    more: Sequence[int] = (),
) -> Idea:
    shore = found.shore(side, beyond)
    own = None if sized.node is None else found.terrain.unknowns[sized.node]
    ties = found.tie(group[0], group[0])
    cells = tuple(dict.fromkeys([*(one for one in (*ties, *more) if one != own), *shore, *span.by]))
    return Idea(
        ROOM,
        places=marks[0],
        removes=marks[1],
        cells=cells,
        switches=(sized.switch, *switches),
        shown=cells,
        say=partial(_say_room, found, sized, span, tuple(group), tuple(side), shore, marks),
    )


def _say_room(
    found: Map,
    sized: Sized,
    span: _Span,
    group: Sequence[int],
    side: Sequence[int],
    shore: Sequence[int],
    marks: tuple[Sequence[Mark], Sequence[Mark]],
) -> str:
    layout = found.position.layout
    name = group_said(layout, sized.graph, group)
    past = walls_said(layout, shore, found.position.masks, "inside")
    room = (
        f"there is room for {len(side)} only" if len(side) > len(group) else "there is one way on"
    )
    return (
        f"{name} must grow to {span.least}, and{past} {room} without this, so "
        f"{layer_conclusions(layout, found.position, *marks)}"
    )
