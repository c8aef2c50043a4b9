"""Everything that kin tells about one puzzle."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from gridassay.encodings.puzzle import Fact, Puzzle, Solution
from gridassay.verify.budget import DEFAULT_SECONDS, Clock
from gridassay.verify.kin.echoes import Echo, echoes
from gridassay.verify.kin.form import canonical, labelled
from gridassay.verify.kin.graph import templates
from gridassay.verify.kin.patterns import Look, looks, patterns
from gridassay.verify.kin.transformation import Transformation, between, from_nodes
from gridassay.verify.kin.turns import Turn
from gridassay.verify.verdict import check


@dataclass(frozen=True)
class Kin:
    """A puzzle's symmetries.

    ``automorphisms`` counts the ways, doing nothing among them, that take the puzzle onto itself;
    ``generators`` are some that make all the others. ``solution_automorphisms`` is the same for the
    solution as a grid of its own, without the rules: None when it was not asked for, is not the only
    one, or was not found in time.
    """

    puzzle: Puzzle
    patterns: tuple[Turn, ...]
    looks: tuple[Look, ...]
    echoes: tuple[Echo, ...]
    automorphisms: int
    generators: tuple[Transformation, ...]
    canonical: str
    solution_automorphisms: int | None = None

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


def kin(puzzle: Puzzle, *, solution: bool = True, budget: float | Clock = DEFAULT_SECONDS) -> Kin:
    """The symmetries of one puzzle and, with ``solution``, of its only solution.

    ``budget`` is in seconds, building included, or a clock already running. Raises OutOfTime when it
    runs out before the puzzle's own symmetries are known; labelling, which takes milliseconds on the
    largest canvas, is not interrupted.
    """
    clock = budget if isinstance(budget, Clock) else Clock(budget)
    form = canonical(puzzle, clock)
    seen = patterns(puzzle)
    count, generators = _automorphisms(puzzle, clock)
    return Kin(
        puzzle,
        seen,
        looks(puzzle, seen, clock) if count > 1 else (),
        echoes(puzzle),
        count,
        generators,
        form.text,
        _of_solution(puzzle, clock) if solution else None,
    )


def _automorphisms(puzzle: Puzzle, clock: Clock) -> tuple[int, tuple[Transformation, ...]]:
    """How many, and generators. Bliss counts them exactly; a reflected graph doubles them, or not."""
    said = templates(puzzle, clock)
    forms = [labelled(template, template.given_edges(puzzle)) for template in said]
    clock.check()
    first = forms[0]
    graph, colours = first.graph(), first.template.numbers
    count = int(graph.count_automorphisms(color=colours))
    images = graph.automorphism_group(color=colours) if count > 1 else []
    ways = [from_nodes(puzzle, first, puzzle, first, image) for image in images]
    if len(forms) > 1 and forms[1].text == first.text:
        count *= 2
        ways.append(between(puzzle, first, puzzle, forms[1]))
    return count, tuple(ways)


def solution_grid(puzzle: Puzzle, solution: Solution) -> Puzzle:
    """A solution as a puzzle of its own: all its digits given, and no rules."""
    facts = tuple(map(Fact, puzzle.canvas.cells, solution))
    return Puzzle(puzzle.canvas, facts, title=puzzle.title, source=puzzle.source)


def _of_solution(puzzle: Puzzle, clock: Clock) -> int | None:
    verdict = check(puzzle, budget=clock)
    if verdict.status != "unique":
        return None
    return _automorphisms(solution_grid(puzzle, verdict.solutions[0]), clock)[0]
