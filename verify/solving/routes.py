"""The solving route: a puzzle's solution as a sequence of steps, each proved before it is shown.

At every position the techniques are tried in their order and the first that applies gives the step
(``walking.py``). If none does, the smallest reason of any open elimination does, so that every
puzzle with one solution has a route to its end. There is not
a table of scores: the profile counts techniques, and the crux is the step with the largest reason.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

from gridassay.encodings.lines import PuzzleError
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.budget import DEFAULT_SECONDS, Clock, OutOfTime, within_budget
from gridassay.verify.counting.verdict import Status
from gridassay.verify.in_short import InShort
from gridassay.verify.solving.board.position import Position, members
from gridassay.verify.solving.board.steps import Step
from gridassay.verify.solving.levels import GROUPS, group_named, level_of
from gridassay.verify.solving.reasons.proving import cell_premises
from gridassay.verify.solving.techniques import TECHNIQUES, Idea
from gridassay.verify.solving.techniques.names import all_techniques, technique_names
from gridassay.verify.solving.truth import truth_of
from gridassay.verify.solving.walking import RouteWalk, technique_order
from gridassay.verify.words import quantity


@dataclass(frozen=True, eq=False, repr=False)
class Route(InShort):
    """The steps of a puzzle from ``start`` to ``end``, and why it stops if it does.

    ``verdict`` is that of the puzzle; ``timed_out`` says that the budget ended the route;
    ``without`` names the techniques that were left out. ``level`` is the name of the lowest group
    of techniques that solves the puzzle, None if that is open; ``openings`` counts the conclusions
    of the crux's group that are open at the crux.
    """

    puzzle: Puzzle
    verdict: Status
    steps: tuple[Step, ...]
    start: Position = field(repr=False)
    end: Position = field(repr=False)
    timed_out: bool = False
    seconds: float = 0.0
    without: tuple[str, ...] = ()
    level: str | None = None
    openings: int | None = None

    def in_short(self) -> str:
        """The number of steps, and whether they lead to the end."""
        end = "solved" if self.solved else "cut short" if self.timed_out else "not solved"
        return f"{quantity(len(self.steps), 'step')}, {end}"

    @property
    def solved(self) -> bool:
        """Whether the last step leaves everything decided."""
        return self.end.solved

    @property
    def techniques(self) -> dict[str, int]:
        """The profile: how often each technique is used, in teaching order."""
        counts = Counter(step.technique for step in self.steps)
        order = {name: place for place, name in enumerate(technique_names())}
        return dict(sorted(counts.items(), key=lambda item: order.get(item[0], len(order))))

    @property
    def crux(self) -> int | None:
        """The index of the first step of the highest group; None if there are only singles.

        Stories are beyond all groups. For a route that was cut short, only the existing part counts.
        """
        groups = [group_named(step.technique, TECHNIQUES) for step in self.steps]
        highest = max(groups, default=0)
        return groups.index(highest) if highest else None

    @property
    def longest_story(self) -> int:
        """The links of the longest story; 0 if there is none."""
        return max((step.story.length for step in self.steps if step.story), default=0)

    @property
    def placements(self) -> int:
        """The number of digits that the steps place."""
        return sum(len(step.places) for step in self.steps)

    def to_json(self) -> dict[str, Any]:
        """The keys of the JSON contract."""
        result: dict[str, Any] = {
            "title": self.puzzle.title,
            "source": self.puzzle.source,
            "verdict": self.verdict,
            "solved": self.solved,
            "steps": [step.to_json() for step in self.steps],
            "techniques": self.techniques,
            "crux": self.crux,
            "level": self.level,
            "openings": self.openings,
            "longest_story": self.longest_story,
            "placements": self.placements,
            "seconds": round(self.seconds, 6),
        }
        if not self.solved:
            layout = self.end.layout
            result["candidates"] = {
                str(layout.unknowns[place]): self.end.candidates(place)
                for place in members(self.end.open_unknowns)
            }
        return result


@within_budget
def route(
    puzzle: Puzzle,
    *,
    without: str | Iterable[str] = (),
    order: str | Iterable[str] = (),
    promise_unique: bool = False,
    start: Position | None = None,
    most: int | None = None,
    every_step: bool = False,
    budget: float | Clock = DEFAULT_SECONDS,
) -> Route:
    """Solve a puzzle step by step, as a presenter would.

    The route is tidy: none of its eliminations can be left out. ``every_step`` returns it as it was
    found.

    ``without`` names one or more techniques to leave out; then only named techniques are used, and
    the route may stop early. ``order`` names techniques to try first. ``promise_unique`` allows
    those that rest on the promise of one solution. ``start`` is a position to begin from; ``most``
    the number of steps to stop after. A puzzle without a solution has no steps. The steps found
    before the budget ran out are returned.
    """
    clock = Clock.of(budget)
    began = clock.time_spent()
    names = all_techniques(without)
    techniques = technique_order(order, promise_unique=promise_unique)
    first = start.copy() if start else Position.start(puzzle)
    ideas: list[Idea] = []
    steps: list[Step] = []
    position, timed_out = first.copy(), False
    verdict: Status = "undecided"
    level = opened = None
    try:
        truth = truth_of(puzzle, clock)
        verdict = truth.verdict
        telling = None if names else truth
        walk = RouteWalk(puzzle, position, clock, techniques, names, telling)
        if verdict != "none":
            _consistent(walk)
        while verdict != "none" and not position.solved and len(steps) != most:
            idea = walk.next_idea()
            if idea is None and not names:
                idea = walk.next_reason(truth)
            if idea is None:
                break
            ideas.append(idea)
            steps.append(walk.take(idea))
        if position.solved and most is None and not every_step:
            steps = walk.tidy(first, ideas)
        if position.solved and not names:
            level = GROUPS[level_of(first, techniques, clock)]
            opened = walk.openings(first, steps)
    except OutOfTime:
        timed_out = True
    seconds = clock.time_spent() - began
    return Route(
        puzzle,
        verdict,
        tuple(steps),
        first,
        position,
        timed_out,
        seconds,
        names,
        level,
        opened,
    )


def _consistent(walk: RouteWalk) -> None:
    """Raise PuzzleError if the candidates leave no solution."""
    position = walk.position
    if walk.engine.solve(cell_premises(position, range(len(position.masks))), walk.clock) is None:
        raise PuzzleError("these candidates rule out every solution")
