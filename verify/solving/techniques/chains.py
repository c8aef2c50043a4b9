"""Alternating chains: what colouring, X-chains, XY-chains and inference chains have in common.

A *node* is a candidate, or a group of candidates of one digit that lie together. A *strong* link
says that at least one of two nodes is true (a cell with two candidates; a house with two places, or
two groups of places, for a digit); a *weak* link that at most one is (same cell, or same digit in
sight). Begin at a node that is false, go strong, weak, strong, …: the last node is true. So of the
two ends one is true, and what is weakly linked to both goes. If the ends themselves are weakly
linked, the chain is a closed loop, and every weak link in it has this effect.

Candidates are kept in bit sets, digit by digit: bit ``digit × cells + cell``.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from gridassay.verify.engines.questions import Switch
from gridassay.verify.solving.board.ideas import (
    Idea,
    Spot,
    cell_names,
    common_sight,
    removal,
    word_list,
    zone_said,
)
from gridassay.verify.solving.board.position import Layout, Mark, Position, Zone, members
from gridassay.verify.solving.techniques.facts import every
from gridassay.verify.solving.techniques.sight_words import way_said

MOST_LINKS = 12
"""The most strong links of a chain."""


@dataclass(frozen=True, slots=True)
class ChainNode:
    """A digit in a cell or in one of a group of cells; ``bits`` are its candidates."""

    digit: int
    cells: int
    bits: int


@dataclass(frozen=True, slots=True)
class Strong:
    """A strong link to a node, and the premise it rests on: a cell, or a digit in a zone."""

    to: int
    cell: int | None = None
    spot: Spot | None = None


class ChainGraph:
    """Nodes, the strong links between them, and what each node's truth strikes."""

    def __init__(self, position: Position) -> None:
        self.position = position
        self.layout = position.layout
        self.count = len(position.masks)
        self.nodes: list[ChainNode] = []
        self.strong: list[list[Strong]] = []
        self._number: dict[tuple[int, int], int] = {}
        self._kills: dict[int, int] = {}
        self._weak: dict[int, list[int]] = {}

    def node(self, digit: int, cells: int) -> int:
        """The number of a node, made when first asked for."""
        key = (digit, cells)
        if key not in self._number:
            self._number[key] = len(self.nodes)
            self.nodes.append(ChainNode(digit, cells, cells << digit * self.count))
            self.strong.append([])
        return self._number[key]

    def link(self, one: int, other: int, cell: int | None = None, spot: Spot | None = None) -> None:
        """Add a strong link, both ways."""
        self.strong[one].append(Strong(other, cell, spot))
        self.strong[other].append(Strong(one, cell, spot))

    def add_cells(self) -> ChainGraph:
        """Add the cells with two candidates."""
        for cell in members(self.position.open_bits):
            mask = self.position.masks[cell]
            if mask.bit_count() == 2:
                first, second = members(mask)
                self.link(self.node(first, 1 << cell), self.node(second, 1 << cell), cell=cell)
        return self

    def add_places(self, digit: int) -> ChainGraph:
        """Add the zones with two places for a digit."""
        cells = self.position.where[digit] & ~self.position.placed
        for zone in self.layout.full_zones:
            spots = cells & zone.bits
            if spots.bit_count() == 2:
                first, second = (1 << cell for cell in members(spots))
                self.link(self.node(digit, first), self.node(digit, second), spot=(digit, zone))
        return self

    def add_groups(self, digit: int) -> ChainGraph:
        """Add the zones whose places for a digit fall into two groups, each in another zone."""
        cells = self.position.where[digit] & ~self.position.placed
        for zone in self.layout.full_zones:
            spots = cells & zone.bits
            if spots.bit_count() < 3:
                continue
            groups = {spots & other.bits for other in self._across(zone) if spots & other.bits}
            groups |= {1 << cell for cell in members(spots)}
            for group in groups:
                rest = spots & ~group
                if rest in groups and group < rest:
                    self.link(self.node(digit, group), self.node(digit, rest), spot=(digit, zone))
        return self

    def _across(self, zone: Zone) -> Iterator[Zone]:
        for other in self.layout.full_zones:
            if other is not zone and (other.bits & zone.bits).bit_count() > 1:
                yield other

    def kills(self, number: int) -> int:
        """The candidates that are false when a node is true."""
        known = self._kills.get(number)
        if known is None:
            node = self.nodes[number]
            cells = members(node.cells)
            seen = common_sight(self.layout, cells) & self.position.where[node.digit]
            known = seen << node.digit * self.count
            if len(cells) == 1:
                for digit in members(self.position.masks[cells[0]] & ~(1 << node.digit)):
                    known |= 1 << digit * self.count + cells[0]
            self._kills[number] = known
        return known

    def weak(self, number: int) -> list[int]:
        """The nodes that are false when a node is true."""
        known = self._weak.get(number)
        if known is None:
            kept = ~self.kills(number)
            known = [
                other
                for other, node in enumerate(self.nodes)
                if not node.bits & kept and other != number
            ]
            self._weak[number] = known
        return known

    def marks(self, bits: int) -> tuple[Mark, ...]:
        """The candidates of a bit set, in reading order."""
        found = [(bit % self.count, bit // self.count) for bit in members(bits)]
        return tuple(sorted(found))

    def weak_switches(self, one: ChainNode, cell: int, digit: int) -> tuple[Switch, ...]:
        """The premises by which a node strikes a candidate; none inside one cell."""
        if digit != one.digit:
            return ()
        return self.layout.links(members(one.cells), cell)


@dataclass(frozen=True, slots=True)
class Chain:
    """A chain: its nodes (the false one first), the strong links between them, and what it removes."""

    nodes: tuple[int, ...]
    links: tuple[Strong, ...]
    removes: int
    loop: bool


def shortest_chain(graph: ChainGraph) -> Chain | None:
    """The chain with the fewest strong links that removes something; the first such in node order."""
    best: Chain | None = None
    most = MOST_LINKS
    for start in range(len(graph.nodes)):
        if graph.strong[start]:
            found = _from(graph, start, most)
            if found:
                best, most = found, len(found.links) - 1
    return best


def _from(graph: ChainGraph, start: int, most: int) -> Chain | None:
    """The shortest chain of up to ``most`` strong links from a node that is false."""
    kills, own = graph.kills(start), graph.nodes[start].bits
    came: dict[int, tuple[int, Strong, int]] = {}
    off = {start: -1}
    frontier = [start]
    for length in range(1, most + 1):
        turned_on = []
        for number in frontier:
            for strong in graph.strong[number]:
                if strong.to in came:
                    continue
                came[strong.to] = (number, strong, off[number])
                turned_on.append(strong.to)
        for number in turned_on:
            its = graph.kills(number)
            removes, loop = kills & its, not own & ~its
            if removes or loop:
                chain = _chain(graph, came, number, removes, loop)
                if chain.removes:
                    return chain
        if length == most:
            return None
        frontier = []
        for number in turned_on:
            for other in graph.weak(number):
                if other not in off and graph.strong[other]:
                    off[other] = number
                    frontier.append(other)
        if not frontier:
            return None
    return None


def _chain(
    graph: ChainGraph, came: dict[int, tuple[int, Strong, int]], end: int, removes: int, loop: bool
) -> Chain:
    nodes: list[int] = []
    links: list[Strong] = []
    number = end
    while number >= 0:
        before, strong, earlier = came[number]
        nodes += [number, before]
        links.append(strong)
        number = earlier
    nodes.reverse()
    links.reverse()
    if loop and len(links) > 1:
        for one, other in zip(nodes[1::2], [*nodes[2::2], nodes[0]], strict=True):
            removes |= graph.kills(one) & graph.kills(other)
    return Chain(tuple(nodes), tuple(links), removes, loop and len(links) > 1)


def chain_idea(graph: ChainGraph, chain: Chain, technique: str) -> Idea:
    """A chain as an idea, with the sentence that follows it from end to end."""
    nodes = [graph.nodes[number] for number in chain.nodes]
    removes = graph.marks(chain.removes)
    switches: list[Switch] = []
    weak = list(zip(nodes[1::2], nodes[2::2], strict=False))
    if chain.loop:
        weak.append((nodes[-1], nodes[0]))
    for one, other in weak:
        for cell in members(other.cells):
            switches += graph.weak_switches(one, cell, other.digit)
    for cell, digit in removes:
        bit = 1 << digit * graph.count + cell
        pairs = weak if chain.loop else [(nodes[0], nodes[-1])]
        pair = next(
            (one, other)
            for one, other in [(nodes[0], nodes[-1]), *pairs]
            if graph.kills(_number(graph, one)) & graph.kills(_number(graph, other)) & bit
        )
        for node in pair:
            switches += graph.weak_switches(node, cell, digit)
    shown = list(dict.fromkeys(cell for node in nodes for cell in members(node.cells)))
    return Idea(
        technique,
        removes=removes,
        cells=tuple(dict.fromkeys(s.cell for s in chain.links if s.cell is not None)),
        spots=tuple(dict.fromkeys(s.spot for s in chain.links if s.spot is not None)),
        switches=tuple(dict.fromkeys(switches)),
        shown=tuple(shown),
        digits=tuple(dict.fromkeys(node.digit for node in nodes)),
        say=lambda: _say(graph, nodes, chain, removes),
    )


def _number(graph: ChainGraph, node: ChainNode) -> int:
    return graph.node(node.digit, node.cells)


def _say(
    graph: ChainGraph, nodes: Sequence[ChainNode], chain: Chain, removes: tuple[Mark, ...]
) -> str:
    layout = graph.layout
    hops = []
    for place, strong in enumerate(chain.links):
        false, true = nodes[2 * place], nodes[2 * place + 1]
        before = nodes[2 * place - 1] if place else None
        gone, follows = _false_words(layout, false, before), _follows(layout, true, strong)
        hops.append(f"then {gone}, so {follows}" if place else f"if {gone}, {follows}")
    if chain.loop:
        end = "and back to the start: a closed loop"
    else:
        end = _ends(layout, nodes[0], nodes[-1], removes)
    return f"{'; '.join(hops)}; {end}, {removal(layout, removes)}"


def _false_words(layout: Layout, node: ChainNode, before: ChainNode | None) -> str:
    """A node that is false, and how it sees the one before it if that is not in a house."""
    cells, symbol = members(node.cells), layout.symbol(node.digit)
    if len(cells) > 1:
        return f"{symbol} is not in {cell_names(layout, cells, 'or')}"
    way = ""
    if before and before.digit == node.digit:
        ways = {way_said(layout, layout.link(cell, cells[0])) for cell in members(before.cells)}
        if len(ways) == 1 and not ways <= _in_houses(layout):
            way = f", {ways.pop()},"
    return f"{layout.cells[cells[0]]}{way} is not {symbol}"


def _in_houses(layout: Layout) -> set[str]:
    """The ways to see a cell in a house, which a listener finds for himself."""
    houses = [zone for zone in layout.full_zones if isinstance(zone.switch, str)]
    return {way_said(layout, zone.switch) for zone in houses}


def _follows(layout: Layout, node: ChainNode, strong: Strong) -> str:
    """A node that is true since the one before it is false: ``column 3 has its 2 in r5c3``."""
    symbol, names = layout.symbol(node.digit), cell_names(layout, members(node.cells), "or")
    if strong.spot is None:
        return f"it is {symbol}"
    return f"{zone_said(layout, strong.spot[1])} has its {symbol} in {names}"


def _ends(layout: Layout, first: ChainNode, last: ChainNode, removes: Sequence[Mark]) -> str:
    """The two ends, of which one is true, and that either strikes the candidates."""
    targets = list(dict.fromkeys(cell for cell, _ in removes))
    digit = first.digit
    if digit == last.digit and all(one == digit for _, one in removes):
        cells = sorted({*members(first.cells), *members(last.cells)})
        see = "see" if len(targets) > 1 else "sees"
        return (
            f"one of {cell_names(layout, cells)} is {layout.symbol(digit)}, and "
            f"{cell_names(layout, targets)} {see} {every(len(cells))}"
        )
    one, other = (
        f"{cell_names(layout, members(node.cells), 'or')} is {layout.symbol(node.digit)}"
        for node in (first, last)
    )
    lost = word_list(
        f"{layout.cells[cell]} is not {layout.symbol(digit)}" for cell, digit in removes
    )
    return f"{one} or {other}, and either way {lost}"
