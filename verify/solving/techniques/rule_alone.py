"""The strikes of a rule by itself: the bulb of a long thermometer "isn't 9".

This is read from the rule's meaning and the candidates of its cells (``rule_meaning/strikes.py``),
for rules of every kind alike. A rule of many cells, such as one of the whole grid, is read part by
part.
"""

from __future__ import annotations

from collections.abc import Container, Iterator

from gridassay.verify.engines.questions import Switch
from gridassay.verify.solving.board.ideas import Idea, premise_name
from gridassay.verify.solving.board.position import ALL, Position
from gridassay.verify.solving.rule_meaning.strikes import RuleStrikes, reader_of
from gridassay.verify.solving.techniques.between_words import between_words
from gridassay.verify.solving.techniques.clash_words import clash_words
from gridassay.verify.solving.techniques.rule_ideas import Cells, Marks, struck_idea
from gridassay.verify.solving.techniques.strike_words import Strike
from gridassay.verify.solving.techniques.sure_doubler import of_house

NAME = "rule alone"


def placing(position: Position) -> Iterator[Idea]:
    """The strikes of a rule that leave a cell with one digit."""
    return (idea for idea in find(position) if idea.places)


def find(position: Position, touched: int = ALL, known: Container[Switch] = ()) -> Iterator[Idea]:
    """The candidates that each rule removes, rule by rule. A cell left with one digit gets that digit.

    Only rules about ``touched`` unknowns are read, except those in ``known``.
    """
    for reading in reader_of(position.layout).alone(position, touched, known):
        yield rule_idea(position, reading)


def rule_idea(position: Position, reading: RuleStrikes) -> Idea:
    """The strikes of a rule as an idea."""
    return struck_idea(NAME, position, reading, _say)


def _say(
    position: Position,
    reading: RuleStrikes,
    cells: Cells,
    places: Marks,
    removes: Marks,
) -> str:
    strike = Strike.of(position, reading.piece, (), cells, places, removes)
    why = (
        of_house(position, reading.piece, removes)
        or strike.in_numbers()
        or between_words(position, reading, places, removes)
        or clash_words(position, reading, cells, places, removes)
    )
    return f"{premise_name(position.layout, reading.switch)}: {why or strike.bare()}"
