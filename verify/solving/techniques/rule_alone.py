"""What a rule strikes by itself: the bulb of a long thermometer "isn't 9".

Read off the rule's meaning and the candidates of its cells (``rule_meaning/strikes.py``), for rules of
every kind alike. A rule of many cells, such as one of the whole grid, is read part by part.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from gridassay.verify.solving.board.ideas import Idea, called, listed
from gridassay.verify.solving.board.position import Position
from gridassay.verify.solving.rule_meaning.strikes import Reading, reader_of
from gridassay.verify.solving.techniques.bounds import bounds

NAME = "rule alone"


def find(position: Position) -> Iterator[Idea]:
    """What each rule strikes, rule by rule."""
    for reading in reader_of(position.layout).alone(position):
        yield Idea(
            NAME,
            removes=reading.removes,
            cells=reading.cells,
            switches=(reading.switch,),
            shown=reading.cells,
            say=partial(_say, position, reading),
        )


def _say(position: Position, reading: Reading) -> str:
    layout = position.layout
    given = [f"{layout.unknowns[cell]} ({position.candidates(cell)})" for cell in reading.cells]
    seen = f", with {listed(given)}" if given else ""
    return f"{called(layout, reading.switch)} by itself{seen}: {bounds(position, reading.removes)}"
