"""The result of a route: its steps, and how hard they are by their techniques."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field
from typing import Any

from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.counting.verdict import Status
from gridassay.verify.in_short import InShort
from gridassay.verify.solving.board.position import Position, members
from gridassay.verify.solving.board.steps import Step
from gridassay.verify.solving.levels import group_named
from gridassay.verify.solving.techniques import TECHNIQUES
from gridassay.verify.solving.techniques.names import technique_names
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
