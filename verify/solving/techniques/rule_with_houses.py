"""The strikes of a rule with the houses of its cells: a line through a box repeats no digit there.

This is read from the rule's meaning, like its strikes by itself (``rule_meaning/strikes.py``), with
no more houses than each elimination needs.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from gridassay.verify.solving.board.ideas import Idea, premise_name, premises_said, word_list
from gridassay.verify.solving.board.position import ALL, Mark, Position
from gridassay.verify.solving.rule_meaning.strikes import RuleStrikes, reader_of
from gridassay.verify.solving.techniques.clash_words import clash_words
from gridassay.verify.solving.techniques.facts import conclusion, placements_and_removals
from gridassay.verify.solving.techniques.joint_words import joint_words
from gridassay.verify.solving.techniques.strike_words import Strike
from gridassay.verify.solving.techniques.struck import no_repeats, with_rest

NAME = "rule with its houses"


def find(position: Position, touched: int = ALL) -> Iterator[Idea]:
    """The strikes of each rule with one or more of its houses, rule by rule.

    Only with rules or houses in which something was ``touched``.
    """
    for reading in reader_of(position.layout).with_houses(position, touched):
        yield joint_idea(position, reading)


def joint_idea(position: Position, reading: RuleStrikes) -> Idea:
    """The strikes of a rule with houses as an idea."""
    places, removes, placed = placements_and_removals(position, reading.removes)
    cells = tuple(dict.fromkeys((*reading.cells, *placed)))
    return Idea(
        NAME,
        places=places,
        removes=removes,
        cells=cells,
        spots=reading.spots,
        switches=(reading.switch, *reading.houses),
        shown=cells,
        digits=tuple(dict.fromkeys(digit for digit, _ in reading.spots)),
        group="" if cells or reading.spots else "opening",
        say=partial(_say, position, reading, cells, places, removes),
    )


def _say(
    position: Position,
    reading: RuleStrikes,
    cells: tuple[int, ...],
    places: tuple[Mark, ...],
    removes: tuple[Mark, ...],
) -> str:
    layout, piece = position.layout, reading.piece
    rule = premise_name(layout, reading.switch)
    houses = word_list(dict.fromkeys(premise_name(layout, switch) for switch in reading.houses))
    struck = {cell for cell, _ in (*places, *removes)}
    strike = Strike.of(position, piece, reading.zones, cells, places, removes)
    own = set(piece.scope)
    if reading.spots or not own >= struck or not (own.issuperset(cells) or strike.total):
        sets = joint_words(position, reading, cells, places, removes)
        if sets:
            return f"{rule}{sets}"
        why = clash_words(position, reading, cells, places, removes)
        if why:
            return f"{with_rest(rule, houses)}: {why}"
        given = premises_said(position, cells, reading.spots)
        seen = f", with {word_list(given)}" if given else ""
        head = with_rest(rule, houses)
        return f"{head}{seen}, {conclusion(position, places, removes)}"
    why = strike.in_numbers() or clash_words(position, reading, cells, places, removes)
    return f"{rule}{no_repeats(rule, houses)}: {why or strike.bare()}"
