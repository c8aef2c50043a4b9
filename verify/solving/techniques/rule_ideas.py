"""The strikes of a rule as an idea, by itself or with its houses."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from gridassay.verify.solving.board.ideas import Idea
from gridassay.verify.solving.board.position import Mark, Position
from gridassay.verify.solving.rule_meaning.strikes import RuleStrikes
from gridassay.verify.solving.techniques.facts import placements_and_removals

Cells = tuple[int, ...]
Marks = tuple[Mark, ...]
Saying = Callable[[Position, RuleStrikes, Cells, Marks, Marks], str]
"""The sentence, from the cells whose candidates count, the placements and the removals."""


def struck_idea(name: str, position: Position, reading: RuleStrikes, say: Saying) -> Idea:
    """The idea of a technique: a cell left with one digit gets that digit."""
    places, removes, placed = placements_and_removals(position, reading.removes)
    cells = tuple(dict.fromkeys((*reading.cells, *placed)))
    return Idea(
        name,
        places=places,
        removes=removes,
        cells=cells,
        spots=reading.spots,
        switches=(reading.switch, *reading.houses),
        shown=cells,
        digits=tuple(dict.fromkeys(digit for digit, _ in reading.spots)),
        group="" if cells or reading.spots else "opening",
        say=partial(say, position, reading, cells, places, removes),
    )
