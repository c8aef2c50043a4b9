"""Views of reasons: a conflict of a puzzle, or one step of a route, from plain names.

Premises have the names that results use: a given ``r1c1=5``, a house ``row 3``, a rule or a
part of one. Those without a place in a picture (for example, that one solution is promised) are left out.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import replace

from gridassay.encodings.grid import Cell, House
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.draw.view import PLAIN, View


def premises_view(puzzle: Puzzle, premises: Iterable[str], base: View = PLAIN) -> View:
    """A view with premises pointed out: givens ringed, houses framed, all other rules faded."""
    givens = {str(fact): fact.variable for fact in puzzle.givens}
    houses = {house.name: house for house in puzzle.canvas.houses}
    rules = set(puzzle.rule_names)
    parts: Mapping[str, str] | None = None
    ringed: list[Cell] = []
    framed: list[House] = []
    stressed: list[str] = []
    for name in premises:
        if name in givens:
            cell = givens[name]
            if isinstance(cell, Cell):
                ringed.append(cell)
        elif name in houses:
            framed.append(houses[name])
        elif name in rules:
            stressed.append(name)
        else:
            parts = parts if parts is not None else _rules_of_parts(puzzle)
            if name in parts:
                stressed.append(parts[name])
    return replace(
        base,
        ringed=[*base.ringed, *ringed],
        houses=[*base.houses, *framed],
        rules=[*base.rules, *stressed],
    )


def step_view(
    puzzle: Puzzle,
    *,
    digits: Mapping[Cell, int],
    candidates: Mapping[Cell, Collection[int]],
    premises: Iterable[str] = (),
    cells: Collection[Cell] = (),
    cited: Collection[int] = (),
    removes: Collection[tuple[Cell, int]] = (),
    places: Mapping[Cell, int] | None = None,
    text: str = "",
) -> View:
    """A step of a route, drawn on the position before it.

    ``digits`` are those placed so far and ``candidates`` what remains in the open cells; ``premises``
    the houses and rules that the step names, ``cells`` the cells whose candidates it rests on, of
    which only the ``cited`` digits are ringed if there are any. ``removes`` and ``places`` are its
    conclusions, ``text`` its sentence.
    """
    ringed = [
        (cell, digit)
        for cell in cells
        for digit in candidates.get(cell, ())
        if not cited or digit in cited
    ]
    whole = [cell for cell in cells if cell not in candidates]
    base = View(
        digits=digits,
        candidates=candidates,
        ringed=whole,
        ringed_candidates=ringed,
        struck=removes,
        placed=places or {},
        caption=text,
    )
    return premises_view(puzzle, premises, base)


def _rules_of_parts(puzzle: Puzzle) -> dict[str, str]:
    return {
        part.label: premise.name
        for premise in puzzle.model.premises
        if premise.kind == "rule"
        for part in premise.parts
    }
