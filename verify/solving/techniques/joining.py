"""Kept apart and brought together: rules about two cells and their groups.

If two groups have to stay apart, as islands with a number each, a cell beside both belongs to
neither. If two cells have to be connected, the cells they cannot do without belong to them: a
*meeting place*.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import lru_cache, partial

from gridassay.encodings.groups import Joined
from gridassay.verify.engines.questions import Switch
from gridassay.verify.solving.board.ideas import Idea
from gridassay.verify.solving.board.layer_words import group_said, layer_conclusions, walls_said
from gridassay.verify.solving.board.position import Layout, Mark, Position
from gridassay.verify.solving.techniques.connection import MEETING_PLACE
from gridassay.verify.solving.techniques.maps import IN, OPEN, Map, as_placements, terrain_of

APART = "kept apart"


def find(position: Position) -> Iterator[Idea]:
    """For every two cells that a rule says are connected, or are not."""
    layout = position.layout
    maps: dict[int, Map] = {}
    for switch, said in _joinings(layout):
        terrain = terrain_of(layout, said.graph)
        found = maps.setdefault(id(terrain), Map(terrain, position))
        yield from (_together if said.stated else _apart)(found, switch, said)


@lru_cache(maxsize=16)
def _joinings(layout: Layout) -> tuple[tuple[Switch, Joined], ...]:
    return tuple(
        ((name, number), part.constraint)
        for name, premise in layout.premises.items()
        for number, part in enumerate(premise.parts)
        if isinstance(part.constraint, Joined)
    )


def _apart(found: Map, switch: Switch, said: Joined) -> Iterator[Idea]:
    at = [found.group_of[said.first], found.group_of[said.second]]
    if min(at) < 0 or at[0] == at[1]:
        return
    one, other = (set(found.groups[number]) for number in at)
    marks: list[Mark] = []
    ends: list[tuple[int, int]] = []
    for node in sorted({there for here in one for there, _, _ in found.around[here]}):
        touching = [near for near, _, way in found.around[node] if way == IN]
        ours = next((near for near in touching if near in one), None)
        theirs = next((near for near in touching if near in other), None)
        if found.state[node] == OPEN and ours is not None and theirs is not None:
            marks += found.staying_out([node])
            ends.append((ours, theirs))
    for here in sorted(one):
        for there, way, state in found.around[here]:
            if there in other and state == OPEN:
                bits = next(b for o, w, b in found.terrain.around[here] if w == way and o == there)
                marks.append((way, bits.bit_length() - 1))
                ends.append((here, there))
    if not marks:
        return
    ties = [
        *(tie for ours, _ in ends for tie in found.tie(said.first, ours)),
        *(tie for _, theirs in ends for tie in found.tie(said.second, theirs)),
    ]
    cells = tuple(dict.fromkeys(ties))
    yield Idea(
        APART,
        places=as_placements(found.position, tuple(sorted(set(marks))))[0],
        removes=as_placements(found.position, tuple(sorted(set(marks))))[1],
        cells=cells,
        switches=(switch,),
        shown=cells,
        say=partial(_say_apart, found, said, tuple(sorted(set(marks)))),
    )


def _names(found: Map, said: Joined) -> list[str]:
    layout = found.position.layout
    return [group_said(layout, said.graph, [node]) for node in (said.first, said.second)]


def _say_apart(found: Map, said: Joined, removes: Sequence[Mark]) -> str:
    one, other = _names(found, said)
    conclusion = layer_conclusions(found.position.layout, found.position, (), removes)
    return f"{one} and {other} belong to two groups, which may not join, so {conclusion}"


def _together(found: Map, switch: Switch, said: Joined) -> Iterator[Idea]:
    if found.state[said.first] != IN or found.state[said.second] != IN:
        return
    group = found.groups[found.group_of[said.first]]
    if said.second in group:
        return
    for node in sorted(found.narrow()):
        if found.state[node] != OPEN:
            continue
        side = found.reach(group, (node,))
        if said.second in side:
            continue
        shore = found.shore(side, (node,))
        ends = [found.terrain.unknowns[one] for one in (said.first, said.second)]
        places, removes = found.coming_in(node)
        cells = tuple(dict.fromkeys([*shore, *(one for one in ends if one is not None)]))
        yield Idea(
            MEETING_PLACE,
            places=places,
            removes=removes,
            cells=cells,
            switches=(switch,),
            shown=cells,
            say=partial(_say_together, found, said, shore, places, removes),
        )


def _say_together(
    found: Map,
    said: Joined,
    shore: Sequence[int],
    places: Sequence[Mark],
    removes: Sequence[Mark],
) -> str:
    layout = found.position.layout
    one, other = _names(found, said)
    past = walls_said(layout, shore, found.position.masks, "past")
    return (
        f"{one} and {other} can only come together in one place{past}, so "
        f"{layer_conclusions(layout, found.position, places, removes)}"
    )
