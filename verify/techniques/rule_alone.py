"""What a rule strikes by itself: the bulb of a long thermometer "isn't 9".

Read off the rule's meaning and the candidates of its cells (``rule_reading.py``), for rules of every
kind alike. A rule of many cells, such as one of the whole grid, is read part by part.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from gridassay.verify.position import Mark, Position
from gridassay.verify.rule_reading import Reading, reader_of
from gridassay.verify.techniques.base import Idea, called
from gridassay.verify.techniques.facts import completed
from gridassay.verify.techniques.strikes import Strike

NAME = "rule alone"


def placing(position: Position) -> Iterator[Idea]:
    """What a rule strikes where that leaves a cell with one digit."""
    return (idea for idea in find(position) if idea.places)


def find(position: Position) -> Iterator[Idea]:
    """What each rule strikes, rule by rule; a cell left with one digit has it placed."""
    for reading in reader_of(position.layout).alone(position):
        places, removes, placed = completed(position, reading.removes)
        yield Idea(
            NAME,
            places=places,
            removes=removes,
            cells=tuple(dict.fromkeys((*reading.cells, *placed))),
            switches=(reading.switch,),
            shown=reading.cells,
            say=partial(_say, position, reading, places, removes),
        )


def _say(
    position: Position, reading: Reading, places: tuple[Mark, ...], removes: tuple[Mark, ...]
) -> str:
    strike = Strike.of(position, reading.piece, (), reading.cells, places, removes)
    return f"{called(position.layout, reading.switch)}: {strike.why()}"
