"""Everything that kin finds about one puzzle."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from gridassay.encodings.puzzle import Fact, Puzzle, Solution
from gridassay.encodings.wording import quantity
from gridassay.verify.budget import DEFAULT_SECONDS, Clock, OutOfTime, within_budget
from gridassay.verify.counting.verdict import check
from gridassay.verify.in_short import InShort
from gridassay.verify.kin.echoes import Echo, echoes
from gridassay.verify.kin.form import Form, forms
from gridassay.verify.kin.patterns import Symmetry, looks, patterns
from gridassay.verify.kin.transformation import Transformation, between, from_nodes
from gridassay.verify.kin.turns import Turn


@dataclass(frozen=True, repr=False)
class Symmetries(InShort):
    """A puzzle's symmetries.

    ``automorphisms`` counts the ways to map the puzzle onto itself, doing nothing included;
    ``generators`` are some that generate all the others. Cells that nothing refers to stay in
    place. ``solution_automorphisms`` is the same for the solution grid without the rules: None if
    it was not asked for, is not the only solution, or was not found in time.
    """

    puzzle: Puzzle
    patterns: tuple[Turn, ...]
    looks: tuple[Symmetry, ...]
    echoes: tuple[Echo, ...]
    automorphisms: int
    generators: tuple[Transformation, ...]
    canonical: str
    solution_automorphisms: int | None = None

    def in_short(self) -> str:
        """The patterns of the layout, and the number of ways the puzzle maps onto itself."""
        named = [turn.name for turn in self.patterns]
        return ", ".join([*named, quantity(self.automorphisms, "automorphism")])

    def to_json(self) -> dict[str, Any]:
        """The keys of the JSON contract."""
        return {
            "source": self.puzzle.source,
            "patterns": [turn.name for turn in self.patterns],
            "mirrored": [look.to_json() for look in self.looks],
            "echoes": [echo.to_json() for echo in self.echoes],
            "automorphisms": self.automorphisms,
            "generators": [way.to_json() for way in self.generators],
            "solution_automorphisms": self.solution_automorphisms,
            "canonical": self.canonical,
        }


@within_budget
def symmetries(
    puzzle: Puzzle, *, solution: bool = True, budget: float | Clock = DEFAULT_SECONDS
) -> Symmetries:
    """The symmetries of one puzzle and, with ``solution``, of its only solution.

    ``budget`` is in seconds, building included, or a clock already running. Raises OutOfTime when it
    runs out before the puzzle's own symmetries are known.
    """
    clock = Clock.of(budget)
    found, seen = forms(puzzle, budget=clock), patterns(puzzle)
    count, generators = _automorphisms(puzzle, found, clock)
    return Symmetries(
        puzzle,
        seen,
        looks(puzzle, clock) if count > 1 and (puzzle.givens or puzzle.rules) else (),
        echoes(puzzle),
        count,
        generators,
        min(form.text for form in found),
        _of_solution(puzzle, clock) if solution else None,
    )


def _automorphisms(
    puzzle: Puzzle, found: Sequence[Form], clock: Clock
) -> tuple[int, tuple[Transformation, ...]]:
    """How many, exactly, and generators. A reflected graph of the same form doubles them."""
    first = found[0]
    count = first.automorphisms(clock)
    images = first.generators(clock) if count > 1 else []
    ways = [from_nodes(puzzle, first, puzzle, first, image) for image in images]
    if len(found) > 1 and found[1].text == first.text:
        count *= 2
        ways.append(between(puzzle, first, puzzle, found[1]))
    return count, tuple(ways)


def solution_grid(puzzle: Puzzle, solution: Solution) -> Puzzle:
    """A solution as a puzzle: all its digits given, and no rules."""
    facts = tuple(map(Fact, puzzle.canvas.cells, solution))
    return Puzzle(puzzle.canvas, facts, title=puzzle.title, source=puzzle.source)


def _of_solution(puzzle: Puzzle, clock: Clock) -> int | None:
    if not puzzle.canvas.digits:
        return None
    verdict = check(puzzle, budget=clock)
    if verdict.status != "unique":
        return None
    grid = solution_grid(puzzle, verdict.solutions[0])
    try:
        return forms(grid, budget=clock)[0].automorphisms(clock)
    except OutOfTime:
        return None
