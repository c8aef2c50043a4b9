"""Steps for a true claim that no named technique gives: each candidate struck for its smallest reason."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from gridassay.encodings.puzzle import Puzzle, Solution
from gridassay.verify.auditing.claims import Claim
from gridassay.verify.budget import Clock, OutOfTime
from gridassay.verify.solving.board.position import Mark, Position, members
from gridassay.verify.solving.board.steps import step_of
from gridassay.verify.solving.reasons.smallest import reason_idea
from gridassay.verify.solving.reasons.witnesses import ReasonBook

_SHARE = 0.2
"""The part of the time left that the reasons of one claim may take."""


def unnamed_reasons(
    puzzle: Puzzle, solution: Solution, position: Position, claim: Claim, clock: Clock
) -> tuple[str, ...]:
    """The lines of a steps file that give a claim on a board; none if they take too long."""
    clock = clock.share(_SHARE)
    try:
        return tuple(_lines(puzzle, solution, position.copy(), claim, clock))
    except OutOfTime:
        return ()


def _lines(
    puzzle: Puzzle, solution: Solution, board: Position, claim: Claim, clock: Clock
) -> Iterator[str]:
    book = ReasonBook(puzzle, clock)

    def strikes(marks: Sequence[Mark]) -> Iterator[str]:
        for mark in marks:
            idea = reason_idea(book, board, [mark], solution, clock) if board.has(mark) else None
            if idea is not None:
                yield step_of(idea, board).line(puzzle.canvas).partition("  # ")[0]
                board.conclude(idea.places, idea.removes)

    for cell, digit in claim.places:
        yield from strikes([(cell, one) for one in members(board.masks[cell]) if one != digit])
        if not board.is_placed(cell):
            name = board.layout.unknowns[cell]
            yield f"{name} = {board.layout.value_name((cell, digit))} because naked single: {name}"
            board.conclude([(cell, digit)], [])
    yield from strikes(claim.removes)
