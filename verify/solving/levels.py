"""The level of a puzzle: the lowest group of techniques that solves it.

All techniques up to a group are used until nothing more follows; so the level depends on the puzzle
alone, not on the order in which a route takes its steps.
"""

from __future__ import annotations

from collections.abc import Sequence

from gridassay.verify.budget import Clock
from gridassay.verify.solving.board.ideas import Idea, Technique
from gridassay.verify.solving.board.position import Position

GROUPS = (
    "singles",
    "rules and locked candidates",
    "sets",
    "fish",
    "wings",
    "chains",
    "locked sets",
    "beyond",
)
"""The names of the groups, in teaching order."""

_NUMBERED = {1: 0, 2: 0, 3: 0, 4: 1, 5: 2, 6: 3, 7: 4, 8: 5, 9: 6}


def group_of(technique: Technique) -> int:
    """The place of a technique's group among ``GROUPS``."""
    return _NUMBERED[technique.group]


def group_named(name: str, techniques: Sequence[Technique]) -> int:
    """The place of the group of a step's technique; that of stories and reasons is beyond all."""
    return next((group_of(one) for one in techniques if name in one.names), len(GROUPS) - 1)


def level_of(
    position: Position, techniques: Sequence[Technique], clock: Clock, ideas: Sequence[Idea]
) -> int:
    """The place of the level among ``GROUPS``, for a position that ``ideas`` solve. Raises OutOfTime.

    Steps by lower groups stay valid when the next group is added, so the board is kept. Of the ideas,
    those before the first of a higher group need not be found again.
    """
    board = position.copy()
    groups = [group_named(idea.technique, techniques) for idea in ideas]
    highest, taken = max(groups, default=0), 0
    for group in range(highest):
        while taken < len(ideas) and groups[taken] <= group:
            board.conclude(ideas[taken].places, ideas[taken].removes)
            taken += 1
        allowed = [one for one in techniques if group_of(one) <= group]
        while not board.solved and _round(board, allowed, clock):
            pass
        if board.solved:
            return group
    return highest


def _round(board: Position, techniques: Sequence[Technique], clock: Clock) -> bool:
    """Apply the first technique that gives anything; return whether one did."""
    for technique in techniques:
        clock.check()
        took = False
        for idea in list(technique.find(board)):
            for mark in idea.places:
                if not board.is_placed(mark[0]) and board.has(mark):
                    board.place(*mark)
                    took = True
            for mark in idea.removes:
                if board.has(mark):
                    board.remove(*mark)
                    took = True
        if took:
            return True
    return False


def openings(position: Position, techniques: Sequence[Technique], group: int) -> int:
    """The number of different conclusions that the techniques of a group give at a position."""
    found: set[object] = set()
    for technique in techniques:
        if group_of(technique) == group:
            ideas: list[Idea] = list(technique.find(position))
            found.update((idea.places, frozenset(idea.removes)) for idea in ideas)
    return len(found)
