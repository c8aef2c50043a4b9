"""The canonical form: one text for all puzzles that are kin, and for no others.

The labels that a graph library gives to the nodes of a puzzle's graph are the same for all kin.
If there is nothing but houses, rows, columns and digits are put in the order of their labels, and
the form is a puzzle line, itself one of the kin: equal lines are kin by construction, whatever the
library does. For any other puzzle the form is a digest of the labelled graph.

Different libraries and releases label differently: ``FORM`` names the form, and only forms of the same
name are compared. Labelling is bliss (Junttila and Kaski, "Engineering an efficient canonical
labeling tool for large and sparse graphs", ALENEX 2007) as igraph ships it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from contextlib import AbstractContextManager, nullcontext
from dataclasses import dataclass
from functools import cache
from hashlib import sha256
from typing import TYPE_CHECKING

from gridassay.encodings.grid import Grid, squarest_box, symbol
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.budget import DEFAULT_SECONDS, Clock, within_budget
from gridassay.verify.in_short import InShort
from gridassay.verify.kin.graph import Edge, Template, templates
from gridassay.verify.kin.interrupt import interrupt_when_late
from gridassay.verify.kin.terms import term

if TYPE_CHECKING:
    from igraph import Graph

_OURS = 1
_SPLITTING = "fm"
"""Bliss's rule for which cell to split next: the first most connected one, the fastest here."""


@dataclass(frozen=True, repr=False)
class Form(InShort):
    """A canonical form, with the graph it was read from and the label of each node.

    ``colours`` are the numbers of the nodes' colours in this graph.
    """

    text: str
    template: Template
    edges: list[Edge]
    colours: list[int]
    labels: Sequence[int]

    def in_short(self) -> str:
        """The form as text."""
        return self.text

    def automorphisms(self, clock: Clock) -> int:
        """How many ways the graph maps onto itself, exactly. Raises OutOfTime."""
        graph = _graph(self.template, self.edges)
        with _guard(self.template, clock):
            return int(graph.count_automorphisms(color=self.colours))

    def generators(self, clock: Clock) -> list[list[int]]:
        """Ways that generate all others, each given as the image of every node. Raises OutOfTime."""
        graph = _graph(self.template, self.edges)
        with _guard(self.template, clock):
            images: list[list[int]] = graph.automorphism_group(color=self.colours)
            return images


@cache
def form_name() -> str:
    """The versions that decide a form: our own and the library's."""
    from igraph import __version__

    return f"{_OURS}, igraph {__version__}"


def _graph(template: Template, edges: list[Edge]) -> Graph:
    """The graph of a template and given edges in the library's terms."""
    # Imported here: the library takes longer to load than a hundred puzzles to label.
    from igraph import Graph

    return Graph(len(template.colours), [*template.edges, *edges])


def _guard(template: Template, clock: Clock) -> AbstractContextManager[None]:
    """Keep the library within the clock, but if it is always quick: houses and nothing else."""
    return nullcontext() if template.plain else interrupt_when_late(clock)


@within_budget
def canonical(puzzle: Puzzle, *, budget: float | Clock = DEFAULT_SECONDS) -> Form:
    """The canonical form of a puzzle; its ``source``, title and the like do not matter.

    Raises OutOfTime when the budget (seconds, or a clock already running) runs out.
    """
    return min(forms(puzzle, budget=budget), key=lambda form: form.text)


@within_budget
def forms(puzzle: Puzzle, *, budget: float | Clock = DEFAULT_SECONDS) -> list[Form]:
    """The form of a puzzle's graph and, if there is one, of its reflected graph.

    Raises OutOfTime.
    """
    clock = Clock.of(budget)
    found = []
    for template in templates(puzzle, clock):
        clock.check()
        found.append(form_of(template, template.given_edges(puzzle), clock))
    return found


def form_of(
    template: Template, edges: list[Edge], clock: Clock, pins: Mapping[int, int] | None = None
) -> Form:
    """The form of a graph with certain nodes pinned: each gets a number for its colour.

    Raises OutOfTime.
    """
    colours = template.numbers
    if pins or template.idle:
        colours = list(colours)
        for node, pin in (pins or _idle_pins(template, edges)).items():
            colours[node] = len(colours) + pin
    graph = _graph(template, edges)
    with _guard(template, clock):
        order = graph.canonical_permutation(sh=_SPLITTING, color=colours)
    # igraph 1 lists the nodes in canonical order (releases before listed each node's place in it).
    labels = [0] * len(order)
    for place, node in enumerate(order):
        labels[node] = place
    if template.plain and not pins:
        text = _line(template, template.plain, edges, labels)
    else:
        text = _digest(template, edges, labels, colours)
    return Form(text, template, edges, colours, labels)


def _idle_pins(template: Template, edges: list[Edge]) -> dict[int, int]:
    """Pins for cells that nothing refers to, in reading order.

    They could change places at will, which means nothing and is slow for thousands of them.
    """
    given = {cell for cell, _ in edges}
    return {node: pin for pin, node in enumerate(n for n in template.idle if n not in given)}


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
