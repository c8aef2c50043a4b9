"""A position that is written in a file, as candidates or as the steps that lead to it."""

from __future__ import annotations

import re

from gridassay.encodings.lines import PuzzleError
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify.budget import looking_at_arguments
from gridassay.verify.solving.board.candidates_file import read_candidates
from gridassay.verify.solving.board.position import Position
from gridassay.verify.solving.board.steps_file import read_steps


@looking_at_arguments
def position_from(text: str, puzzle: Puzzle, source: str = "") -> Position:
    """The position that a candidates file shows, or that the steps of a steps file lead to.

    Raises PuzzleError if the file cannot be read, or a step of it contradicts the position.
    """
    if not re.search(r"(?m)^[^#\n]*(=|\bnot\b|≠)", text):
        return read_candidates(text, puzzle, source)
    position = Position.start(puzzle)
    layout = position.layout
    for step in read_steps(text, puzzle):
        if step.trouble:
            raise PuzzleError(step.trouble, source, step.line)
        for one in step.places:
            mark = layout.mark_of(*one)
            if not position.has(mark):
                said = f"{one.unknown} cannot be {layout.value_name(mark)} any more"
                raise PuzzleError(said, source, step.line)
            position.place(*mark)
        for one in step.removes:
            position.remove(*layout.mark_of(*one))
    return position
