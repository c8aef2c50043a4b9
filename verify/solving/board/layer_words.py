"""Unknowns of layers and doublers in words: "r4c2 is rock", "cruise runs from r1c1 to r1c2"."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from gridassay.encodings.constraints import Doubler
from gridassay.encodings.graphs import Graph
from gridassay.encodings.grid import Cell
from gridassay.encodings.notation import listing
from gridassay.encodings.variables import Edge, Link, Shade, Together, Variable, word
from gridassay.verify.solving.board.position import Layout, Mark, Position


def is_layered(variable: Variable) -> bool:
    """Whether it belongs to a layer."""
    return isinstance(variable, Shade | Edge | Link | Together)


def in_words(variable: Variable) -> bool:
    """Whether its values are told in words, not as digits or numbers: those of layers, and doublers."""
    return is_layered(variable) or isinstance(variable, Doubler)


def thing_said(layout: Layout, unknown: int) -> str:
    """An unknown of a layer as a noun: ``r4c2``, ``cruise between r1c1 and r1c2``."""
    variable = layout.unknowns[unknown]
    if isinstance(variable, Shade):
        return str(variable.cell) if variable.words else str(variable)
    if isinstance(variable, Link | Together):
        return f"{variable.layer} between {variable.first} and {variable.second}"
    if isinstance(variable, Edge):
        return f"{variable.layer} {_side(variable)}"
    return str(variable)


def _side(edge: Edge) -> str:
    if isinstance(edge.beyond, str):
        return f"at the {edge.beyond} of {edge.cell}"
    return f"between {edge.cell} and {edge.beyond}"


def values_said(layout: Layout, unknown: int, values: Sequence[int], *, by: str = "is") -> str:
    """The words for an unknown that has one of some values: ``r4c2 is rock or sand``."""
    variable = layout.unknowns[unknown]
    numbers = [layout.domains[unknown][value] for value in values]
    if isinstance(variable, Link | Edge) and len(numbers) == 1:
        verb = "runs" if numbers[0] else "does not run"
        verb = verb if by == "is" else ("ran" if numbers[0] else "did not run")
        return f"{variable.layer} {verb} {_where(variable)}"
    if isinstance(variable, Together) and len(numbers) == 1:
        where = "one region" if numbers[0] else "two regions"
        verb = "lie" if by == "is" else "lay"
        return f"{variable.first} and {variable.second} {verb} in {where} of {variable.layer}"
    if isinstance(variable, Doubler) and len(numbers) == 1:
        return f"{variable.cell} {by} {'' if numbers[0] else 'not '}a doubler"
    said = listing([str(word(variable, number)) for number in numbers], "or")
    return f"{thing_said(layout, unknown)} {by} {said}"


def _from_to(variable: Variable) -> str:
    assert isinstance(variable, Link)
    return f"from {variable.first} to {variable.second}"


def marks_said(layout: Layout, places: Iterable[Mark], left: Iterable[tuple[int, int]]) -> str:
    """The conclusions about layers: values placed, and the values left (a bit set) to others."""
    found: dict[str, list[int]] = {}
    for unknown, value in places:
        found.setdefault(repr([value]), []).append(unknown)
    for unknown, mask in left:
        values = [value for value in range(mask.bit_length()) if mask >> value & 1]
        found.setdefault(repr(values), []).append(unknown)
    said = []
    for text, unknowns in found.items():
        values = [int(one) for one in text.strip("[]").split(", ") if one]
        said.append(_together(layout, unknowns, values))
    return listing(said, "and")


def _together(layout: Layout, unknowns: Sequence[int], values: Sequence[int]) -> str:
    """The same for several unknowns of one layer, which is named once."""
    of_layer: dict[str, list[int]] = {}
    for one in unknowns:
        of_layer.setdefault(getattr(layout.unknowns[one], "layer", ""), []).append(one)
    return listing([_alike(layout, several, values) for several in of_layer.values()], "and")


def _alike(layout: Layout, unknowns: Sequence[int], values: Sequence[int]) -> str:
    first, *others = (layout.unknowns[one] for one in unknowns)
    if not values:
        return (
            f"nothing is left for {listing([thing_said(layout, one) for one in unknowns], 'and')}"
        )
    if not others:
        return values_said(layout, unknowns[0], values)
    numbers = [layout.domains[unknowns[0]][value] for value in values]
    if isinstance(first, Link | Edge):
        verb = "runs" if numbers[0] else "does not run"
        where = [_where(one) for one in (first, *others)]
        return f"{first.layer} {verb} {listing(where, 'and' if numbers[0] else 'or')}"
    if isinstance(first, Shade):
        names = listing([thing_said(layout, one) for one in unknowns], "and")
        return f"{names} are {listing([str(word(first, one)) for one in numbers], 'or')}"
    if isinstance(first, Doubler):
        cells = [str(one.cell) for one in (first, *others) if isinstance(one, Doubler)]
        return f"{listing(cells, 'and')} are {'' if numbers[0] else 'not '}doublers"
    if isinstance(first, Together) and len(numbers) == 1:
        pairs = [(one.first, one.second) for one in (first, *others) if isinstance(one, Together)]
        if numbers[0]:
            return _in_one(pairs, first.layer)
        where = [f"between {one} and {other}" for one, other in pairs]
        return f"walls of {first.layer} stand {listing(where, 'and')}"
    return listing([values_said(layout, one, values) for one in unknowns], "and")


def _in_one(pairs: Sequence[tuple[Cell, Cell]], layer: str) -> str:
    """Cells that lie in one region, those that are known to lie in the same together."""
    groups: list[set[Cell]] = []
    for pair in pairs:
        met = [group for group in groups if not group.isdisjoint(pair)]
        groups = [group for group in groups if group not in met] + [set(pair).union(*met)]
    first, *others = (listing([str(cell) for cell in sorted(group)], "and") for group in groups)
    return ", ".join([f"{first} lie in one region of {layer}", *(f"{o} in one" for o in others)])


def _where(variable: Variable) -> str:
    return _side(variable) if isinstance(variable, Edge) else _from_to(variable)


def layer_conclusions(
    layout: Layout, position: Position, places: Sequence[Mark], removes: Sequence[Mark]
) -> str:
    """Conclusions about layers in words, for unknowns left with one value or several."""
    left: dict[int, int] = {}
    for unknown, value in removes:
        left[unknown] = left.get(unknown, position.masks[unknown]) & ~(1 << value)
    return marks_said(layout, places, list(left.items()))


def known_said(layout: Layout, unknowns: Iterable[int], masks: Sequence[int]) -> str:
    """The known values of some unknowns, equal values together: ``r1c2 and r2c1 are rock``."""
    known = [one for one in unknowns if masks[one].bit_count() == 1]
    return marks_said(layout, [(one, masks[one].bit_length() - 1) for one in known], [])


_MANY = 6
"""The most walls of an area that are named one by one."""


def walls_said(layout: Layout, shore: Sequence[int], masks: Sequence[int], link: str) -> str:
    """The bounds of an area, as a clause: `` past what is known (r1c2 is rock)``, or nothing."""
    if not shore:
        return ""
    if len(shore) > _MANY:
        return f" {link} what is known all round"
    return f" {link} what is known ({known_said(layout, shore, masks)})"


def group_said(layout: Layout, graph: Graph, nodes: Sequence[int]) -> str:
    """A group by its first node: ``the deep cells at r1c1``, ``cruise at r1c1``, ``r1c1``."""
    node = graph.nodes[nodes[0]]
    if node is None:
        cell = layout.canvas.cells[nodes[0]]
        return str(cell) if len(nodes) == 1 else f"the region of {cell}"
    variable = node.variable
    if isinstance(variable, Shade):
        what = listing([str(word(variable, one)) for one in sorted(node.values)], "or")
        noun = "cell" if len(nodes) == 1 else "cells"
        return f"the {what} {noun} at {variable.cell}"
    if isinstance(variable, Link):
        return f"{variable.layer} at {variable.first}"
    if isinstance(variable, Edge):
        return f"{variable.layer} {_side(variable)}"
    return str(variable)
