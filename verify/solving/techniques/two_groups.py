"""Two connected groups on one board part each other: *crossed square* and *edge in two*.

In no square do two connected groups lie crosswise, since the way that joins the one would part the other;
and round the edge of the board each of them stands in one run. Read from what two members say together
(``encodings/parting.py``), so no kind of rule is named here.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import lru_cache, partial
from itertools import combinations

from gridassay.encodings.groups import Connected
from gridassay.encodings.parting import Parting, parting
from gridassay.encodings.variables import word
from gridassay.verify.engines.questions import Switch
from gridassay.verify.solving.board.ideas import Idea
from gridassay.verify.solving.board.layer_words import known_said, layer_conclusions, thing_said
from gridassay.verify.solving.board.position import Layout, Mark, Position
from gridassay.verify.solving.techniques.maps import as_placements

CROSSED = "crossed square"
EDGE = "edge in two"
_MOST_NAMED = 6
"""The most cells of a run that are named one by one."""


class _Board:
    """Two values on a board by the unknowns of a layout, and the parts that connect them."""

    def __init__(self, layout: Layout, switches: tuple[Switch, Switch], found: Parting) -> None:
        self.switches = switches
        cells = [layout.index[variable] for variable in found.variables]
        self.squares = [tuple(cells[node] for node in square) for square in found.squares]
        self.edge = [cells[node] for node in found.edge]
        self.values = [layout.domains[cells[0]].index(value) for value in found.values]


def find(position: Position) -> Iterator[Idea]:
    """Crossed squares in reading order, then the runs round each edge."""
    for board in _boards(position.layout):
        for first, second in (board.values, board.values[::-1]):
            for a, b, c, d in board.squares:
                yield from _crossings(position, board, (a, d), (b, c), first, second)
        for first, second in (board.values, board.values[::-1]):
            yield from _runs(position, board, first, second)


@lru_cache(maxsize=16)
def _boards(layout: Layout) -> tuple[_Board, ...]:
    members = [
        ((name, number), part.constraint)
        for name, premise in layout.premises.items()
        for number, part in enumerate(premise.parts)
        if isinstance(part.constraint, Connected)
    ]
    domains = dict(zip(layout.unknowns, layout.domains, strict=True))
    boards = []
    for (switch, one), (other_switch, other) in combinations(members, 2):
        found = parting(one, other, domains)
        if found is None:
            continue
        own = {domains[variable] for variable in found.variables}
        if len(own) == 1 and {*found.values} <= {*own.pop()}:
            boards.append(_Board(layout, (switch, other_switch), found))
    return tuple(boards)


def _crossings(
    position: Position,
    board: _Board,
    falling: tuple[int, int],
    rising: tuple[int, int],
    first: int,
    second: int,
) -> Iterator[Idea]:
    """The first value on the falling diagonal, the second on the rising one, and one cell still open."""
    masks = position.masks
    wanted = [*((cell, first) for cell in falling), *((cell, second) for cell in rising)]
    left = [(cell, value) for cell, value in wanted if masks[cell] != 1 << value]
    # If all four are as they may not be, in a story, it ends at the last of them.
    open_ones = left or wanted[-1:]
    if len(open_ones) != 1 or not masks[open_ones[0][0]] >> open_ones[0][1] & 1:
        return
    known = sorted(cell for cell, value in wanted if (cell, value) != open_ones[0])
    yield _idea(position, CROSSED, board, open_ones, known, _cross_said)


def _runs(position: Position, board: _Board, first: int, second: int) -> Iterator[Idea]:
    """Open cells between two of the first value, where one of the second stands on the other side."""
    masks, edge = position.masks, board.edge
    has = [place for place, cell in enumerate(edge) if masks[cell] == 1 << first]
    others = [place for place, cell in enumerate(edge) if masks[cell] == 1 << second]
    if len(has) < 2 or not others:
        return
    for start, end in zip(has, [*has[1:], has[0] + len(edge)], strict=True):
        between = [place % len(edge) for place in range(start + 1, end)]
        outside = [place for place in others if place not in between]
        if not between or not outside:
            continue
        beyond = min(outside, key=lambda place: (place - end) % len(edge))
        marks = sorted((edge[one], second) for one in between if masks[edge[one]] >> second & 1)
        if not marks:
            continue
        known = [edge[start], edge[end % len(edge)], edge[beyond]]
        yield _idea(position, EDGE, board, marks, known, _edge_said)


def _idea(
    position: Position,
    name: str,
    board: _Board,
    marks: Sequence[Mark],
    known: Sequence[int],
    say: Callable[[Position, Sequence[int], Sequence[Mark]], str],
) -> Idea:
    places, removes = as_placements(position, marks)
    return Idea(
        name,
        places=places,
        removes=removes,
        cells=tuple(sorted(known)),
        switches=board.switches,
        shown=tuple(known),
        say=partial(say, position, tuple(known), tuple(marks)),
    )


def _cross_said(position: Position, known: Sequence[int], marks: Sequence[Mark]) -> str:
    ((cell, value),) = marks
    layout = position.layout
    named = word(layout.unknowns[cell], layout.domains[cell][value])
    return (
        f"{known_said(layout, known, position.masks)}, and if {thing_said(layout, cell)} were {named}, "
        f"the two would cross in this square and could not both be connected, "
        f"so {layer_conclusions(layout, position, (), marks)}"
    )


def _edge_said(position: Position, known: Sequence[int], marks: Sequence[Mark]) -> str:
    layout = position.layout
    start, end, beyond = (thing_said(layout, one) for one in known)
    value = layout.value_name((known[0], position.masks[known[0]].bit_length() - 1))
    if len(marks) > _MOST_NAMED and {position.masks[one].bit_count() for one, _ in marks} == {2}:
        run = f"the {len(marks)} open cells of the edge between {start} and {end}, away from {beyond},"
        concluded = f"{run} are {value}"
    else:
        concluded = layer_conclusions(layout, position, (), marks)
    return (
        f"round the edge each of two connected groups stands in one run, and "
        f"{known_said(layout, known, position.masks)}, so {concluded}"
    )
