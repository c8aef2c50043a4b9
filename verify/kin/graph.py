"""A puzzle as a coloured graph: cells, digits, unknowns, and the terms of its houses and rules.

Two puzzles are kin if their graphs are the same except for the names of the nodes, so questions
about kin are questions to a graph library. The graph without its givens depends on the model alone and
is kept as a *template*; a given is an edge between a cell and a digit, added last.

Digits are nodes of one colour if no term is numeric, and can then be renamed at will; otherwise
each has its own colour. A numeric model on cells alone has a second template, the *reflected* one,
in which every digit d is written as lowest + highest − d.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property

from gridassay.encodings.constraints import Constraint, Variable
from gridassay.encodings.grid import Canvas, Cell, Grid
from gridassay.encodings.model import Model
from gridassay.encodings.puzzle import Puzzle
from gridassay.encodings.variables import Layered
from gridassay.verify.budget import Clock
from gridassay.verify.kin.terms import Digit, Member, Term, reflect, term, term_of

Edge = tuple[int, int]


@dataclass(frozen=True, eq=False)
class Template:
    """The graph of a model without givens.

    Nodes are numbered: variables first, in the order of ``variables`` (cells in reading order, then
    unknowns), then digits, then terms; ``terms`` maps each statement to its node. ``colours`` names
    each node's colour, ``numbers`` the same as ranks of the sorted names. ``plain`` is the grid whose
    houses are all that is stated, if it is one with rows, columns and boxes. ``turn`` is lowest +
    highest digit in a reflected template. ``layer_values`` are the nodes of the values of layers, which
    are never exchanged.
    """

    variables: tuple[Variable, ...]
    digits: tuple[int, ...]
    terms: Mapping[Term, int]
    edges: tuple[Edge, ...]
    colours: tuple[str, ...]
    plain: Grid | None
    turn: int | None = None
    layer_values: Mapping[int, int] = field(default_factory=dict)

    @cached_property
    def numbers(self) -> list[int]:
        """The colours as numbers, for the graph library."""
        rank = {colour: place for place, colour in enumerate(sorted(set(self.colours)))}
        return [rank[colour] for colour in self.colours]

    @cached_property
    def idle(self) -> tuple[int, ...]:
        """The nodes of cells that no term refers to."""
        spoken = {below for _, below in self.edges}
        return tuple(
            number
            for number, variable in enumerate(self.variables)
            if isinstance(variable, Cell) and number not in spoken
        )

    @cached_property
    def node(self) -> dict[Variable, int]:
        """The node of each variable."""
        return {variable: number for number, variable in enumerate(self.variables)}

    @cached_property
    def digit_node(self) -> dict[int, int]:
        """The node of each digit as the puzzle writes it: in a reflected template, turned."""
        first = len(self.variables)
        nodes = {digit: first + place for place, digit in enumerate(self.digits)}
        return nodes if self.turn is None else {d: nodes[self.turn - d] for d in self.digits}

    def given_edges(self, puzzle: Puzzle) -> list[Edge]:
        """The edges that stand for the givens of a puzzle on this model."""
        node, digit_node, layer_node = self.node, self.digit_node, self.layer_values
        return [
            (node[variable], digit_node[value] if isinstance(variable, Cell) else layer_node[value])
            for variable, value in puzzle.givens
        ]


_MOST_BUILT = 64
_built: dict[tuple[Model, Canvas], tuple[Template, ...]] = {}
"""The templates of the last models. Not ``lru_cache``, which would tell clocks apart too."""


def templates(puzzle: Puzzle, clock: Clock) -> tuple[Template, ...]:
    """The template of a puzzle's model, and the reflected one if there is one.

    Raises OutOfTime when building outlasts the clock.
    """
    key = puzzle.model, puzzle.canvas
    found = _built.get(key)
    if found is None:
        found = _build(puzzle, clock)
        while len(_built) >= _MOST_BUILT:
            _built.pop(next(iter(_built)), None)
        _built[key] = found
    return found


def _build(puzzle: Puzzle, clock: Clock) -> tuple[Template, ...]:
    model, digits = puzzle.model, frozenset(puzzle.canvas.digits)
    plain = plain_grid(puzzle)
    turn = sum(puzzle.canvas.digits[:1] + puzzle.canvas.digits[-1:])
    terms = _stated_all(model, digits, clock)
    first = assemble(model.domains, puzzle.canvas.digits, terms, plain)
    whole = all(isinstance(variable, Cell) for variable in model.domains)
    numeric = any(one.numeric for one in terms)
    if not (numeric and whole and {turn - digit for digit in digits} == digits):
        return (first,)
    terms = _stated_all(model, digits, clock, turn)
    return first, assemble(model.domains, puzzle.canvas.digits, terms, plain, turn)


def _stated_all(
    model: Model, digits: frozenset[int], clock: Clock, turn: int | None = None
) -> frozenset[Term]:
    """Every definition and part as a term; those of an optional premise under one of their own."""

    def say(constraint: Constraint) -> Term:
        clock.check()
        return term_of(constraint if turn is None else reflect(constraint, turn), digits)

    terms = {say(constraint) for constraint in model.definitions}
    for premise in model.premises:
        parts = {say(part.constraint) for part in premise.parts}
        terms |= {term("optional", parts)} if premise.optional else parts
    return frozenset(terms)


def plain_grid(puzzle: Puzzle) -> Grid | None:
    """The grid of a puzzle that has one grid of rows and columns, boxes at most, and no rules."""
    canvas = puzzle.canvas
    if puzzle.rules or puzzle.doublers or len(canvas.grids) != 1:
        return None
    grid = canvas.grids[0]
    narrow = grid.box is not None and min(grid.box) == 1
    if grid.regions is not None or narrow or grid.size != len(canvas.digits):
        return None
    return grid if grid.cells == canvas.cells else None


def assemble(
    domains: Mapping[Variable, tuple[int, ...]],
    digits: Sequence[int],
    terms: frozenset[Term],
    plain: Grid | None = None,
    turn: int | None = None,
) -> Template:
    """Number the nodes and collect colours and edges."""
    variables = tuple(domains)
    numeric = any(one.numeric for one in terms)
    colours = [
        "cell" if isinstance(v, Cell) else f"{type(v).__name__} {domains[v]}" for v in variables
    ]
    colours += [f"digit {digit}" if numeric else "digit" for digit in digits]
    nodes: dict[Member, int] = {variable: place for place, variable in enumerate(variables)}
    nodes |= {Digit(digit): len(variables) + place for place, digit in enumerate(digits)}
    edges: list[Edge] = []

    def grow(whole: Term, depth: int) -> int:
        number = len(colours)
        colours.append(f"term {depth} {whole.colour}")
        for member in whole.members:
            below = grow(member, depth + 1) if isinstance(member, Term) else nodes[member]
            edges.append((number, below))
        return number

    edges += [
        (nodes[variable], nodes[cell])
        for variable in variables
        if isinstance(variable, Layered)
        for cell in variable
        if isinstance(cell, Cell) and cell in nodes
    ]
    roots = {one: grow(one, 0) for one in sorted(terms, key=repr)}
    layered = {n for v in variables if isinstance(v, Layered) for n in domains[v]}
    values = {number: len(colours) + place for place, number in enumerate(sorted(layered))}
    colours += [f"value {number}" for number in values]
    return Template(
        variables, tuple(digits), roots, tuple(edges), tuple(colours), plain, turn, values
    )
