"""Totals that would mend a puzzle with several solutions: those of cages that give none."""

from __future__ import annotations

from dataclasses import replace
from typing import NamedTuple

from gridassay.encodings.board import Part
from gridassay.encodings.puzzle import Premise, Puzzle, Solution
from gridassay.verify.budget import Clock
from gridassay.verify.engines.sat import SatEngine


class Total(NamedTuple):
    """A cage by its name, and the total that leaves one solution."""

    rule: str
    total: int


def missing_totals(puzzle: Puzzle, solution: Solution, clock: Clock) -> tuple[Total, ...]:
    """The cages without a total whose total in a solution would by itself leave that solution alone."""
    filled = puzzle.filled(solution)
    open_cages = [
        (name, rule.where(), sum(filled.values(rule.where())))
        for name, rule in zip(puzzle.rule_names, puzzle.rules, strict=True)
        # Told by kind and by what is written at it, so that a line of givens needs no rules.
        if rule.kind == "cage" and not rule.sign() and not rule.optional
    ]
    if not open_cages:
        return ()
    model = puzzle.model
    extra = tuple(
        Premise(
            own,
            "rule",
            tuple(Part(name, constraint) for constraint in puzzle.board.total(cells, "==", total)),
            optional=True,
        )
        for own, (name, cells, total) in zip(model.spare_names("total"), open_cages, strict=False)
    )
    engine = SatEngine(replace(model, premises=(*model.premises, *extra)), clock)
    on = [premise.name for premise in model.premises if not premise.optional]
    other = engine.forbid(solution)
    found = []
    for premise, (name, _, total) in zip(extra, open_cages, strict=True):
        clock.check()
        with_total = [*on, premise.name]
        if engine.solve(puzzle.givens, clock, on=with_total, demands=[other]) is None:
            found.append(Total(name, total))
    return tuple(found)
