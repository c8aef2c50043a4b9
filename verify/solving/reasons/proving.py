"""Does a step follow from exactly the premises it names?

The premises of a step are houses, parts of rules, "the candidates of this cell are these" and "the
places of this digit in this house are these". The first two are switches of the compiled puzzle; the
others are denials: of the digits that are not candidates of the cell, and of the digit in the other cells
of the house. With only these assumed, and that every cell holds one digit, the step is
proved if the opposite of each of its conclusions has no solution.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from gridassay.verify.budget import Clock
from gridassay.verify.engines.questions import Assertion, Denial, Engine
from gridassay.verify.solving.board.ideas import Idea, Spot
from gridassay.verify.solving.board.position import Layout, Mark, Position, members
from gridassay.verify.solving.techniques.house_totals import adds_up
from gridassay.verify.solving.techniques.uniqueness import has_twin


def cell_premises(position: Position, cells: Iterable[int]) -> Iterator[Denial]:
    """The denials in "the candidates of these cells are these"."""
    layout = position.layout
    for cell in cells:
        for value in members(layout.full[cell] & ~position.masks[cell]):
            yield layout.denial((cell, value))


def spot_premises(position: Position, spots: Iterable[Spot]) -> Iterator[Denial]:
    """The denials in "the places of the digit in the zone are these", without the zone itself."""
    layout = position.layout
    for digit, zone in spots:
        for cell in members(zone.bits & ~position.where[digit]):
            yield Denial(layout.cells[cell], layout.digits[digit])


def contrary(layout: Layout, mark: Mark, *, placed: bool) -> Assertion:
    """The assertion that a conclusion is false."""
    return layout.denial(mark) if placed else layout.fact(mark)


def follows(engine: Engine, position: Position, idea: Idea, clock: Clock) -> bool:
    """Whether every conclusion of an idea follows from exactly its premises.

    An idea that rests on the promise of one solution is proved if the opposite leaves its deadly
    pattern, and that has a twin. An idea that rests on totals is proved by the sum itself, because
    clause solvers are bad at sums. Raises OutOfTime if the clock runs out.
    """
    assumed = [*cell_premises(position, idea.cells), *spot_premises(position, idea.spots)]
    switches = idea.all_switches
    conclusions = [
        *(contrary(position.layout, mark, placed=True) for mark in idea.places),
        *(contrary(position.layout, mark, placed=False) for mark in idea.removes),
    ]
    if idea.adding:
        return adds_up(position, idea)
    if idea.deadly:
        return has_twin(position, idea.deadly) and all(
            _leaves(engine, position, [*assumed, conclusion], idea, clock)
            for conclusion in conclusions
        )
    return all(
        engine.solve([*assumed, conclusion], clock, on=switches) is None
        for conclusion in conclusions
    )


def _leaves(
    engine: Engine, position: Position, assumed: list[Assertion], idea: Idea, clock: Clock
) -> bool:
    """Whether the assumptions leave every cell of the deadly pattern with its two digits only."""
    layout = position.layout
    return all(
        engine.solve(
            [
                *assumed,
                *(Denial(layout.cells[cell], layout.digits[digit]) for digit in members(pair)),
            ],
            clock,
            on=idea.all_switches,
        )
        is None
        for cell, pair in idea.deadly
    )
