"""Words for clues as a presenter says them: a given as printed, a rule as "the 17 cage in box 1"."""

from __future__ import annotations

from gridassay.encodings.grid import Cell
from gridassay.encodings.puzzle import Fact, Puzzle


def as_printed(puzzle: Puzzle, clue: Fact | str) -> str:
    """A clue as a reader knows it: ``r1c1=A`` where the tenth digit is A, ``the 17 cage in box 1``."""
    if isinstance(clue, str):
        return puzzle.rule_phrases.get(clue, clue)
    if not isinstance(clue.variable, Cell):
        return str(clue)
    return f"{clue.variable}={puzzle.canvas.symbols[clue.value]}"


def quantity(number: int, one: str, several: str = "") -> str:
    """A number with its noun: ``1 step``, ``2 steps``."""
    return f"{number} {one if number == 1 else several or f'{one}s'}"
