"""The steps of a route as views, each on the position before it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from gridassay.verify.draw.premises import step_view
from gridassay.verify.draw.view import View

if TYPE_CHECKING:
    from gridassay.encodings.grid import Cell
    from gridassay.verify.position import Position
    from gridassay.verify.routes import Route


def step_views(route: Route) -> Iterator[View]:
    """A view of each step of a route, in order."""
    position = route.start.copy()
    layout = position.layout
    for step in route.steps:
        known = _candidates(position)
        placed = [cell for cell in known if position.is_placed(layout.index[cell])]
        given = {fact.variable for fact in route.puzzle.givens}
        yield step_view(
            route.puzzle,
            digits={cell: known[cell][0] for cell in placed if cell not in given},
            candidates={cell: known[cell] for cell in known if cell not in placed},
            premises=(*step.houses, *step.rules),
            cells=step.cells,
            cited=step.digits,
            removes=step.removes,
            places=dict(step.places),
        )
        for cell, digit in step.places:
            position.place(layout.index[cell], layout.digit_index[digit])
        for cell, digit in step.removes:
            position.remove(layout.index[cell], layout.digit_index[digit])


def _candidates(position: Position) -> dict[Cell, tuple[int, ...]]:
    """The candidates of every cell; of a placed one its digit alone."""
    # Imported here: the positions of a route are of no use to most questions.
    from gridassay.verify.position import members

    layout = position.layout
    return {
        cell: tuple(layout.digits[place] for place in members(mask))
        for cell, mask in zip(layout.cells, position.masks, strict=True)
    }
