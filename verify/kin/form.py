"""The canonical form: one text for all puzzles that are kin, and for no others.

The labels that a graph library gives to the nodes of a puzzle's graph are the same for all kin.
Where houses are all there is, rows, columns and digits are put in the order of their labels and the
form is a puzzle line, itself one of the kin: equal lines are kin by construction, whatever the
library does. For any other puzzle the form is a digest of the labelled graph.

Libraries, and their releases, label differently: ``FORM`` names the form, and forms are compared
under one name only. Labelling is bliss (Junttila and Kaski, "Engineering an efficient canonical
labeling tool for large and sparse graphs", ALENEX 2007) as igraph ships it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from hashlib import sha256
from typing import TYPE_CHECKING

from gridassay.encodings.grid import Grid, squarest_box, symbol
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.budget import DEFAULT_SECONDS, Clock
from gridassay.verify.kin.graph import Edge, Template, templates
from gridassay.verify.kin.terms import term

if TYPE_CHECKING:
    from igraph import Graph

_OURS = 1
_SPLITTING = "fm"
"""Bliss's rule for which cell to split next: the first most connected one, the fastest here."""


@dataclass(frozen=True)
class Form:
    """A canonical form, with the graph it was read from and the label of each node."""

    text: str
    template: Template
    edges: list[Edge]
    labels: Sequence[int]

    def graph(self) -> Graph:
        """The graph in the library's terms."""
        return graph_of(self.template, self.edges)


@cache
def form_name() -> str:
    """What decides a form: our own version and the library's."""
    from igraph import __version__

    return f"{_OURS}, igraph {__version__}"


def graph_of(template: Template, edges: list[Edge]) -> Graph:
    """The graph of a template and given edges in the library's terms."""
    # Imported here: the library takes longer to load than a hundred puzzles to label.
    from igraph import Graph

    return Graph(len(template.colours), [*template.edges, *edges])


def canonical(puzzle: Puzzle, budget: float | Clock = DEFAULT_SECONDS) -> Form:
    """The canonical form of a puzzle, its ``source``, title and the like left out of account.

    Raises OutOfTime when the budget (seconds, or a clock already running) runs out.
    """
    return min(forms(puzzle, budget), key=lambda form: form.text)


def forms(puzzle: Puzzle, budget: float | Clock = DEFAULT_SECONDS) -> list[Form]:
    """The form of a puzzle's graph and, where there is one, of its reflected graph.

    Raises OutOfTime.
    """
    clock = budget if isinstance(budget, Clock) else Clock(budget)
    found = []
    for template in templates(puzzle, clock):
        clock.check()
        found.append(labelled(template, template.given_edges(puzzle)))
    return found


def labelled(template: Template, edges: list[Edge], numbers: list[int] | None = None) -> Form:
    """The form of a graph; ``numbers`` stand in for the template's colours where they are given."""
    colours = numbers or template.numbers
    order = graph_of(template, edges).canonical_permutation(sh=_SPLITTING, color=colours)
    # igraph 1 lists the nodes in canonical order (releases before listed each node's place in it).
    labels = [0] * len(order)
    for place, node in enumerate(order):
        labels[node] = place
    if template.plain and numbers is None:
        return Form(_line(template, template.plain, edges, labels), template, edges, labels)
    return Form(_digest(template, edges, labels, colours), template, edges, labels)


def _digest(
    template: Template, edges: list[Edge], labels: Sequence[int], colours: list[int]
) -> str:
    ends = sorted(
        (labels[a], labels[b]) if labels[a] < labels[b] else (labels[b], labels[a])
        for a, b in (*template.edges, *edges)
    )
    names = sorted(zip(labels, colours, template.colours, strict=True))
    told = [(colour, name) for _, colour, name in names]
    return "kin-" + sha256(repr((told, ends)).encode()).hexdigest()[:40]


def _line(template: Template, grid: Grid, edges: list[Edge], labels: Sequence[int]) -> str:
    """The puzzle laid out in the order of labels, its digits numbered as they appear.

    Boxes lie wide; square ones, and none, are turned so that the least label is a row's.
    """
    size = grid.size
    rows, columns = ([labels[node] for node in nodes] for nodes in _lines(template))
    high, wide = grid.box or (size, size)
    turned = high > wide or (high == wide and min(columns) < min(rows))
    down, right = _ranks(rows, high), _ranks(columns, wide)
    laid: list[int | None] = [None] * (size * size)
    for cell, digit in edges:
        row, column = down[cell // size], right[cell % size]
        laid[column * size + row if turned else row * size + column] = digit
    seen: dict[int | None, str] = {None: "."}
    text = "".join([seen.get(digit) or seen.setdefault(digit, symbol(len(seen))) for digit in laid])
    shape = (min(grid.box), max(grid.box)) if grid.box else None
    if shape == squarest_box(size):
        return text
    return f"{text} boxes {shape[0]}x{shape[1]}" if shape else f"{text} no boxes"


@cache
def _lines(template: Template) -> tuple[list[int], list[int]]:
    """The nodes of the rows and of the columns of a plain template."""
    assert template.plain is not None
    nodes, grid = template.terms, template.plain
    return (
        [nodes[term("each digit once", cells)] for cells in grid.rows],
        [nodes[term("each digit once", cells)] for cells in grid.columns],
    )


def _ranks(labels: Sequence[int], width: int) -> list[int]:
    """The place of each row when bands of ``width`` go by their least label, rows within by theirs."""
    bands = sorted(sorted(labels[at : at + width]) for at in range(0, len(labels), width))
    place = {label: number for number, label in enumerate(label for b in bands for label in b)}
    return [place[label] for label in labels]
