"""Stories for claims: of a supposition said aloud, or of a claim that no named technique gives."""

from __future__ import annotations

from collections.abc import Iterable

from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.budget import Clock, OutOfTime
from gridassay.verify.solving.board.ideas import Idea
from gridassay.verify.solving.board.position import Mark, Position
from gridassay.verify.solving.stories.search import StoryTeller

_SHARE = 0.2
"""The part of the time left that one story may take."""


class Stories:
    """Looks for stories on the boards of one puzzle."""

    def __init__(self, puzzle: Puzzle, clock: Clock) -> None:
        self._puzzle = puzzle
        self._clock = clock

    def against(self, position: Position, marks: Iterable[Mark]) -> Idea | None:
        """The shortest story that strikes one of some candidates; None if none is found in time."""
        try:
            return StoryTeller(self._puzzle, self._clock.share(_SHARE)).story(
                position, targets=marks
            )
        except OutOfTime:
            return None
