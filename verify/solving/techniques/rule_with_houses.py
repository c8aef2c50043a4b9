"""What a rule strikes with the houses its cells share: a line through a box repeats no digit there.

Read off the rule's meaning like what it strikes by itself (``rule_meaning/strikes.py``), with no
more houses than each elimination needs.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from gridassay.verify.solving.board.ideas import Idea, called, listed, premises_said
from gridassay.verify.solving.board.position import Position
from gridassay.verify.solving.rule_meaning.strikes import Reading, reader_of
from gridassay.verify.solving.techniques.bounds import bounds

NAME = "rule with its houses"


def find(position: Position) -> Iterator[Idea]:
    """What each rule strikes with one or more of its houses, rule by rule."""
    for reading in reader_of(position.layout).with_houses(position):
        yield Idea(
            NAME,
            removes=reading.removes,
            cells=reading.cells,
            spots=reading.spots,
            switches=(reading.switch, *reading.houses),
            shown=reading.cells,
            digits=tuple(dict.fromkeys(digit for digit, _ in reading.spots)),
            say=partial(_say, position, reading),
        )


def _say(position: Position, reading: Reading) -> str:
    layout = position.layout
    given = premises_said(position, reading.cells, reading.spots)
    seen = f", given {listed(given)}" if given else ""
    houses = listed(dict.fromkeys(called(layout, switch) for switch in reading.houses))
    rule, left = called(layout, reading.switch), bounds(position, reading.removes)
    own = set(layout.scope(layout.premise_of(reading.switch).name))
    if reading.spots or not own.issuperset(
        (*reading.cells, *(cell for cell, _ in reading.removes))
    ):
        return f"{rule} together with {houses}{seen}: {left}"
    return f"{rule}, no digit twice in {houses}{seen}: {left}"
