"""The layout of a puzzle without its values: where the givens are, and the shapes of its rules.

Two puzzles have the same layout if one can be moved onto the other, houses onto houses, so that givens
fall on givens and shapes on shapes of their kind. Marks outside the grid count by the cells that
they are next to, not by the side, so a few layouts that are only alike count as the same.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from typing import TYPE_CHECKING

from gridassay.encodings.constraints import Variable
from gridassay.encodings.grid import Canvas, Cell
from gridassay.encodings.model import house_premises
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.budget import DEFAULT_SECONDS, Clock, within_budget
from gridassay.verify.kin.form import form_of
from gridassay.verify.kin.graph import Template, assemble, plain_grid
from gridassay.verify.kin.terms import Member, Term, in_order, term, term_of

if TYPE_CHECKING:
    from gridassay.encodings.rules.base import Shape


@within_budget
def layout(puzzle: Puzzle, *, budget: float | Clock = DEFAULT_SECONDS) -> str:
    """The canonical form of a puzzle's layout; a line with 1 for every given if that says everything.

    Raises OutOfTime when the budget (seconds, or a clock already running) runs out.
    """
    clock = Clock.of(budget)
    template = _template(puzzle) if puzzle.rules else _bare_template(puzzle.canvas)
    given = len(template.variables)
    node = template.node
    return form_of(template, [(node[fact.variable], given) for fact in puzzle.givens], clock).text


@lru_cache(maxsize=16)
def _bare_template(canvas: Canvas) -> Template:
    return _template(Puzzle(canvas))


def _template(puzzle: Puzzle) -> Template:
    canvas, digits = puzzle.canvas, frozenset(puzzle.canvas.digits)
    terms = {
        term_of(part.constraint, digits)
        for premise in house_premises(canvas)
        for part in premise.parts
    }
    shapes = {
        drawing_term(rule.kind, shape, shape.cells)
        for rule in puzzle.rules
        for shape in rule.shapes(puzzle.board)
    }
    cells: dict[Variable, tuple[int, ...]] = dict.fromkeys(canvas.cells, canvas.digits)
    return assemble(cells, (1,), frozenset(terms | shapes), plain_grid(puzzle))


def drawing_term(colour: str, shape: Shape, cells: Sequence[Cell]) -> Term:
    """A shape on cells as a term, without its label, so that equal drawings are equal terms.

    Only lines and outside marks have an order; a line with equal ends reads from either.
    """
    members: Sequence[Member] = cells
    if shape.form == "line" and shape.closed:
        members = [term("next", pair) for pair in zip(cells, [*cells[1:], cells[0]], strict=True)]
    elif shape.form in ("line", "outside"):
        same_ends = shape.form == "line" and shape.first_end == shape.last_end
        members = in_order(cells, both_ways=same_ends)
    ends = f"{shape.first_end}/{shape.last_end}"
    return term(f"drawn {colour} {shape.form} {ends} {shape.closed}", members)
