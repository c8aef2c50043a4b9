"""The strikes of a rule with the houses of its cells: a line through a box repeats no digit there.

This is read from the rule's meaning, like its strikes by itself (``rule_meaning/strikes.py``), with
no more houses than each elimination needs.
"""

from __future__ import annotations

from collections.abc import Iterator

from gridassay.verify.solving.board.ideas import Idea, premise_name, word_list
from gridassay.verify.solving.board.position import ALL, Position
from gridassay.verify.solving.board.premise_words import premises_said
from gridassay.verify.solving.rule_meaning.strikes import RuleStrikes, reader_of
from gridassay.verify.solving.techniques.between_words import between_words
from gridassay.verify.solving.techniques.clash_words import LONG, SHORT, clash_words
from gridassay.verify.solving.techniques.facts import conclusion
from gridassay.verify.solving.techniques.joint_words import joint_words
from gridassay.verify.solving.techniques.rule_ideas import Cells, Marks, struck_idea
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
    return struck_idea(NAME, position, reading, _say)


def _say(
    position: Position,
    reading: RuleStrikes,
    cells: Cells,
    places: Marks,
    removes: Marks,
) -> str:
    layout, piece = position.layout, reading.piece
    rule = premise_name(layout, reading.switch)
    houses = word_list(dict.fromkeys(premise_name(layout, switch) for switch in reading.houses))
    struck = {cell for cell, _ in (*places, *removes)}
    strike = Strike.of(position, piece, reading.zones, cells, places, removes)
    own = set(piece.scope)
    if reading.spots or not own >= struck or not (own.issuperset(cells) or strike.total):
        sets, joined = joint_words(position, reading, cells, places, removes)
        if sets:
            sets = f"{rule}{no_repeats(rule, houses) if joined else ''}: {sets}"
            if not reading.spots:
                return sets
        # Where places of digits have to be said, an argument may be shorter.
        why = between_words(position, reading, places, removes) or clash_words(
            position, reading, cells, places, removes, (SHORT,) if sets else (SHORT, LONG)
        )
        if sets and not 0 < len(why) < len(sets) - len(rule):
            return sets
        if why:
            return f"{with_rest(rule, houses)}: {why}"
        given = premises_said(position, cells, reading.spots)
        seen = f": {word_list(given)}" if given else ""
        head = with_rest(rule, houses)
        return f"{head}{seen}, {conclusion(position, places, removes)}"
    numbers = strike.in_numbers()
    sums, _ = joint_words(position, reading, cells, places, removes)
    why = (
        (min(numbers, sums or numbers, key=len) if numbers else "")
        or between_words(position, reading, places, removes)
        or clash_words(position, reading, cells, places, removes)
    )
    return f"{rule}{no_repeats(rule, houses)}: {why or strike.bare()}"
