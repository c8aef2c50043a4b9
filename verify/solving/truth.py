"""The truth about a puzzle, however it is found: its solution, or what its solutions have in common.

Routes and audits check their steps against this. It does not say why anything follows.
"""

from __future__ import annotations

from dataclasses import dataclass

from gridassay.encodings.puzzle import Puzzle, Solution
from gridassay.verify.budget import Clock, OutOfTime
from gridassay.verify.counting.possible import possible_values
from gridassay.verify.counting.verdict import Status, check
from gridassay.verify.engines import sat_engine_for
from gridassay.verify.engines.questions import Assertion
from gridassay.verify.solving.board.position import Mark, Position, bits_of, layout_of, members


@dataclass(frozen=True)
class Truth:
    """The verdict, one solution, and the values each unknown takes over all solutions, one bit each."""

    verdict: Status
    solution: Solution
    possible: tuple[int, ...]

    def false_candidates(self, position: Position) -> list[Mark]:
        """The open eliminations: candidates that no solution has, in reading order."""
        return [
            (cell, digit)
            for cell in members(position.open_unknowns)
            for digit in members(position.masks[cell] & ~self.possible[cell])
        ]


def truth_of(puzzle: Puzzle, clock: Clock, assuming: tuple[Assertion, ...] = ()) -> Truth:
    """The truth about a puzzle under some assumptions.

    A puzzle without a solution has no possible digit. Raises OutOfTime if the clock runs out.
    """
    layout = layout_of(puzzle)
    if not assuming:
        found = check(puzzle, budget=clock)
        if found.status == "undecided":
            raise OutOfTime
        if found.status != "multiple":
            if not found.solutions:
                return Truth("none", (), (0,) * len(layout.unknowns))
            known = zip(layout.unknowns, found.solutions[0], strict=True)
            masks = tuple(1 << layout.mark_of(one, value)[1] for one, value in known)
            return Truth("unique", found.solutions[0], masks)
    engine = sat_engine_for(puzzle, clock)
    held = [*puzzle.givens, *assuming]
    first = engine.solve(held, clock)
    if first is None:
        return Truth("none", (), (0,) * len(layout.unknowns))
    possible = possible_values(engine, held, clock)
    sets = [[layout.mark_of(one, value)[1] for value in possible[one]] for one in layout.unknowns]
    several = any(len(values) > 1 for values in possible.values())
    return Truth("multiple" if several else "unique", first, tuple(map(bits_of, sets)))
