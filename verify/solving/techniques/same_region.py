"""Same region: connected cells have no wall between them; two regions have one all along their border.

And no digit is twice in a region that may hold it once. This is read from the parts that say so of
a graph.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import lru_cache, partial

from gridassay.encodings.groups import Separated
from gridassay.encodings.on_graphs import DifferWithin
from gridassay.encodings.variables import Together
from gridassay.verify.engines.questions import Switch
from gridassay.verify.solving.board.ideas import Idea, word_list
from gridassay.verify.solving.board.layer_words import group_said, layer_conclusions
from gridassay.verify.solving.board.position import Layout, Mark, Position
from gridassay.verify.solving.techniques.maps import IN, OPEN, OUT, Map, as_placements, terrain_of

NAME, DIGIT = "same region", "digit in a region"


def find(position: Position) -> Iterator[Idea]:
    """Ways within a region and between two; digits that a region has already."""
    layout = position.layout
    for switch, said in _separations(layout):
        found = Map(terrain_of(layout, said.graph), position)
        if isinstance(said, Separated):
            yield from _within(found, switch)
            yield from _between(found, switch)
        else:
            yield from _digits(found, switch, said)


@lru_cache(maxsize=16)
def _separations(layout: Layout) -> tuple[tuple[Switch, Separated | DifferWithin], ...]:
    return tuple(
        ((name, number), part.constraint)
        for name, premise in layout.premises.items()
        for number, part in enumerate(premise.parts)
        if isinstance(part.constraint, Separated | DifferWithin) and part.constraint.stated
    )


def _ways(found: Map) -> Iterator[tuple[int, int, int, int]]:
    """Each way once, with its state."""
    for node, near in enumerate(found.around):
        for other, way, state in near:
            if node < other and way >= 0:
                yield node, other, way, state


def _mark(found: Map, way: int, on: int) -> Mark:
    domain = found.position.layout.domains[way]
    return way, next(value for value, number in enumerate(domain) if (number == 1) == bool(on))


def _within(found: Map, switch: Switch) -> Iterator[Idea]:
    for one, other, way, state in _ways(found):
        if state == OPEN and found.group_of[one] == found.group_of[other] >= 0:
            ties = found.tie(one, other)
            yield _idea(switch, ties, _mark(found, way, 1), partial(_say_within, found, ties, way))


def _between(found: Map, switch: Switch) -> Iterator[Idea]:
    walls: dict[tuple[int, int], tuple[int, int, int]] = {}
    for one, other, way, state in _ways(found):
        pair = sorted((found.group_of[one], found.group_of[other]))
        if state == OUT and pair[0] >= 0:
            walls.setdefault((pair[0], pair[1]), (one, other, way))
    for one, other, way, state in _ways(found):
        a, b = found.group_of[one], found.group_of[other]
        wall = walls.get((min(a, b), max(a, b)))
        if state == OPEN and wall is not None and a != b:
            ends = {found.group_of[node]: node for node in wall[:2]}
            ties = [wall[2], *found.tie(one, ends[a]), *found.tie(other, ends[b])]
            say = partial(_say_between, found, wall[2], way)
            yield _idea(switch, tuple(dict.fromkeys(ties)), _mark(found, way, 0), say)


def _idea(switch: Switch, cells: tuple[int, ...], place: Mark, say: Callable[[], str]) -> Idea:
    return Idea(NAME, places=(place,), cells=cells, switches=(switch,), shown=cells, say=say)


def _ends(found: Map, way: int) -> Together:
    variable = found.position.layout.unknowns[way]
    assert isinstance(variable, Together)
    return variable


def _say_within(found: Map, ties: Sequence[int], way: int) -> str:
    ways = [_ends(found, one) for one in ties]
    own = _ends(found, way)
    cells = word_list(map(str, sorted({cell for one in ways for cell in (one.first, one.second)})))
    return (
        f"{cells} are in one region of {own.layer}, so no wall stands between {own.first} and "
        f"{own.second}"
    )


def _say_between(found: Map, wall: int, way: int) -> str:
    known, own = _ends(found, wall), _ends(found, way)
    return (
        f"{known.first} and {known.second} lie in two regions of {own.layer}, so a wall stands between "
        f"{own.first} and {own.second} as well"
    )


def _digits(found: Map, switch: Switch, said: DifferWithin) -> Iterator[Idea]:
    """A digit that a region has leaves its other cells, and keeps out cells that have it."""
    position, layout = found.position, found.position.layout
    place = layout.digit_index.get(said.value)
    if place is None:
        return
    cells = [layout.index[variable] for variable in said.variables]
    having = [node for node, cell in enumerate(cells) if position.masks[cell] == 1 << place]
    for node in having:
        group = found.groups[found.group_of[node]]
        for other in group:
            if other != node and position.masks[cells[other]] >> place & 1:
                ties = (cells[node], *found.tie(node, other))
                yield _digit_idea(found, switch, said, node, ties, ((cells[other], place),))
        for one in group:
            for there, way, state in found.around[one]:
                if state != OPEN or found.state[there] != IN:
                    continue
                beyond = found.groups[found.group_of[there]]
                for other in beyond:
                    if other in having and other not in group:
                        ties = (
                            *(cells[node], cells[other]),
                            *found.tie(node, one),
                            *found.tie(there, other),
                        )
                        marks = (_mark(found, way, 1),)
                        yield _digit_idea(found, switch, said, node, ties, marks)


def _digit_idea(
    found: Map,
    switch: Switch,
    said: DifferWithin,
    node: int,
    ties: Sequence[int],
    removes: tuple[Mark, ...],
) -> Idea:
    cells = tuple(dict.fromkeys(ties))
    return Idea(
        DIGIT,
        places=as_placements(found.position, removes)[0],
        removes=as_placements(found.position, removes)[1],
        cells=cells,
        switches=(switch,),
        shown=cells,
        say=partial(_say_digit, found, said, node, removes),
    )


def _say_digit(found: Map, said: DifferWithin, node: int, removes: Sequence[Mark]) -> str:
    layout = found.position.layout
    symbol = layout.canvas.symbols[said.value]
    group = group_said(layout, said.graph, found.groups[found.group_of[node]])
    unknown = removes[0][0]
    if layout.is_cell(unknown):
        return (
            f"{layout.unknowns[node]} is {symbol}, and its region holds that once, so {symbol} can "
            f"be removed from {layout.unknowns[unknown]}"
        )
    gone = layer_conclusions(layout, found.position, (), removes)
    return f"{group} would get a second {symbol}, so {gone}"
