"""Colouring, of one digit and of several: strong links coloured in turn.

Candidates joined by strong links on both of whose ends exactly one is true (houses with two places,
and for several digits cells with two candidates) take two colours: one colour is true throughout. A
candidate that is weakly linked to both colours goes; if two candidates of one colour are weakly
linked, that colour is false.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import partial

from gridassay.verify.engines.questions import Switch
from gridassay.verify.solving.board.ideas import Idea, cell_names, removal
from gridassay.verify.solving.board.position import Layout, Mark, Position, members
from gridassay.verify.solving.techniques.chains import ChainGraph, Strong

ONE = "colouring"
SEVERAL = "colouring of several digits"

Tree = dict[int, tuple[int, Strong | None]]


def one_digit(position: Position) -> Iterator[Idea]:
    """Colouring of each digit by itself."""
    for digit in range(len(position.where)):
        yield from _find(ChainGraph(position).add_places(digit), ONE)


def several_digits(position: Position) -> Iterator[Idea]:
    """Colouring of all digits together."""
    graph = ChainGraph(position).add_cells()
    for digit in range(len(position.where)):
        graph.add_places(digit)
    yield from _find(graph, SEVERAL)


def _find(graph: ChainGraph, name: str) -> Iterator[Idea]:
    seen: set[int] = set()
    for start in range(len(graph.nodes)):
        if start in seen:
            continue
        tree, colours = _colour(graph, start)
        seen.update(tree)
        if len(tree) < 4:
            continue
        clash = next(filter(None, (_clash(graph, colour) for colour in colours)), None)
        if clash:
            yield _wrap(graph, name, tree, colours, clash)
            continue
        yield from _traps(graph, name, tree, colours)


def _colour(graph: ChainGraph, start: int) -> tuple[Tree, tuple[list[int], list[int]]]:
    """The nodes joined to one, each with the node and link it was reached by, and their colours."""
    tree: Tree = {start: (start, None)}
    colours: tuple[list[int], list[int]] = ([start], [])
    frontier, turn = [start], 1
    while frontier:
        further = []
        for number in frontier:
            for strong in graph.strong[number]:
                if strong.to not in tree:
                    tree[strong.to] = (number, strong)
                    colours[turn].append(strong.to)
                    further.append(strong.to)
        frontier, turn = further, 1 - turn
    return tree, colours


def _clash(graph: ChainGraph, colour: Sequence[int]) -> tuple[int, int] | None:
    """Two nodes of a colour that are weakly linked."""
    for place, one in enumerate(colour):
        kills = graph.kills(one)
        for other in colour[place + 1 :]:
            if graph.nodes[other].bits & kills:
                return one, other
    return None


def _path(tree: Tree, one: int, other: int) -> tuple[list[int], list[Strong]]:
    """The nodes and links between two nodes of a tree."""

    def up(number: int) -> list[int]:
        line = [number]
        while tree[line[-1]][1] is not None:
            line.append(tree[line[-1]][0])
        return line

    first, second = up(one), up(other)
    while len(first) > 1 and len(second) > 1 and first[-2] == second[-2]:
        first.pop()
        second.pop()
    nodes = [*first, *reversed(second[:-1])]
    links = [tree[number][1] for number in (*first[:-1], *second[:-1])]
    return nodes, [link for link in links if link]


def _traps(
    graph: ChainGraph, name: str, tree: Tree, colours: tuple[list[int], list[int]]
) -> Iterator[Idea]:
    """Candidates weakly linked to both colours, by the two nodes with the shortest way between."""
    left = -1
    for number in tree:
        left &= ~graph.nodes[number].bits
    found = []
    for one in colours[0]:
        for other in colours[1]:
            if graph.kills(one) & graph.kills(other) & left:
                length = len(_path(tree, one, other)[1])
                if length > 1:
                    found.append((length, one, other))
    for _, one, other in sorted(found):
        struck = graph.kills(one) & graph.kills(other) & left
        if not struck:
            continue
        left &= ~struck
        nodes, links = _path(tree, one, other)
        removes = graph.marks(struck)
        switches: list[Switch] = []
        for cell, digit in removes:
            for end in (one, other):
                switches += graph.weak_switches(graph.nodes[end], cell, digit)
        say = partial(_say_trap, graph, nodes, removes)
        yield _idea(graph, name, removes, nodes, links, switches, say)


def _wrap(
    graph: ChainGraph,
    name: str,
    tree: Tree,
    colours: tuple[list[int], list[int]],
    clash: tuple[int, int],
) -> Idea:
    """The colour that contradicts itself goes."""
    colour = next(colour for colour in colours if clash[0] in colour)
    bits = 0
    for number in colour:
        bits |= graph.nodes[number].bits
    removes = graph.marks(bits)
    links = [link for _, link in tree.values() if link]
    one, other = (graph.nodes[number] for number in clash)
    switches = list(graph.weak_switches(one, members(other.cells)[0], other.digit))
    say = partial(_say_wrap, graph, colours, clash, removes)
    return _idea(graph, name, removes, list(tree), links, switches, say)


def _idea(
    graph: ChainGraph,
    name: str,
    removes: tuple[Mark, ...],
    nodes: Sequence[int],
    links: Sequence[Strong],
    switches: Sequence[Switch],
    say: partial[str],
) -> Idea:
    marked = [graph.nodes[number] for number in nodes]
    return Idea(
        name,
        removes=removes,
        cells=tuple(dict.fromkeys(link.cell for link in links if link.cell is not None)),
        spots=tuple(dict.fromkeys(link.spot for link in links if link.spot is not None)),
        switches=tuple(dict.fromkeys(switches)),
        shown=tuple(dict.fromkeys(cell for node in marked for cell in members(node.cells))),
        digits=tuple(dict.fromkeys(node.digit for node in marked)),
        say=say,
    )


def _node(graph: ChainGraph, number: int) -> str:
    layout: Layout = graph.layout
    node = graph.nodes[number]
    return f"{layout.symbol(node.digit)} in {cell_names(layout, members(node.cells))}"


def _say_trap(graph: ChainGraph, nodes: Sequence[int], removes: tuple[Mark, ...]) -> str:
    named = ", ".join(_node(graph, number) for number in nodes)
    return f"colour in turn {named}: the two ends differ, {removal(graph.layout, removes)}"


def _say_wrap(
    graph: ChainGraph,
    colours: tuple[list[int], list[int]],
    clash: tuple[int, int],
    removes: tuple[Mark, ...],
) -> str:
    one, other = (_node(graph, number) for number in clash)
    false, true = colours if clash[0] in colours[0] else colours[::-1]
    ways = [", ".join(_node(graph, number) for number in colour) for colour in (false, true)]
    return (
        f"colour one way {ways[0]}; and the other way {ways[1]}: {one} and {other}, of one colour, "
        f"cannot both be true, {removal(graph.layout, removes)}"
    )
