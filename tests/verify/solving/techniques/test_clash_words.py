"""Why a rule, perhaps with its houses, strikes a candidate: what it would lead to, seen by hand.

Every sentence of this kind on random positions is followed by ``telling/clash_sentences.py``. Common
practice, no published source.
"""

from __future__ import annotations

import pytest

from gridassay.verify.solving.board.position import Position
from gridassay.verify.solving.techniques import rule_alone, rule_with_houses

from .test_rules import puzzle_with

THERMOMETER = 'kind = "thermometer"\ncells = "r1c1 r1c2 r1c3"'
NOT_4 = "12356789"


def told(rule: str, candidates: dict[str, str], *, alone: bool = False) -> list[str]:
    """The sentences of a rule with its houses, after its strikes alone; or of these."""
    position = Position.start(puzzle_with(rule))
    layout = position.layout
    number = {str(cell): place for place, cell in enumerate(layout.cells)}
    for name, left in candidates.items():
        for digit in range(9):
            if layout.symbol(digit) not in left:
                position.remove(number[name], digit)
    first = list(rule_alone.find(position))
    if alone:
        return [idea.say() for idea in first]
    for idea in first:
        position.conclude(idea.places, idea.removes)
    return [idea.say() for idea in rule_with_houses.find(position)]


@pytest.mark.parametrize(
    ("rule", "candidates", "words"),
    [
        (
            THERMOMETER,
            {"r1c8": "23", "r1c9": "23"},
            "4 in r1c3 would make r1c2 2 or 3 and leave only 2 and 3 "
            "for r1c2, r1c8 and r1c9, so 4 can be removed from r1c3",
        ),
        (
            THERMOMETER,
            {f"r1c{column}": NOT_4 for column in range(4, 10)},
            "5, 6 or 7 in r1c1 would take 4 from r1c2 and r1c3, "
            "and leave 4 no place in row 1; 3 in r1c3 would take 4 from r1c1 and r1c2, and leave 4 no "
            "place in row 1, so r1c1 is at most 4; 3 can be removed from r1c3",
        ),
        (
            'kind = "whisper"\ncells = "r1c1 r1c2 r2c2"\ndifference = 5',
            {"r1c1": "149"},
            "9 in r2c2 would need 6, 7 or 8 in r1c1, where none is left, so 9 can be "
            "removed from r2c2",
        ),
    ],
)
def test_with_houses(rule: str, candidates: dict[str, str], words: str) -> None:
    assert any(text.endswith(f": {words}") for text in told(rule, candidates))


def test_alone() -> None:
    """Four digits in a row with a 6 among them: no 1 and no 2."""
    (text,) = told('kind = "renban"\ncells = "r1c1 r2c1 r3c1 r4c1"', {"r2c1": "6"}, alone=True)
    assert "1 in r1c1, r3c1 or r4c1 would need 2, 3 or 4 in r2c1, which is 6; " in text
    assert "2 in r1c1, r3c1 or r4c1 would need 5 or less in r2c1, which is 6; " in text


@pytest.mark.parametrize(
    ("rule", "candidates", "words"),
    [
        (
            'kind = "indexing"\nline = "c9"',
            {"r1c9": "8", "r1c8": "1469"},
            "1, 4 or 6 in r1c8 would rule out 8 in r1c9, so r1c8 is 9",
        ),
        (
            'kind = "entropic"\ncells = "r1c1 r1c2 r1c3"',
            {"r1c1": "456"},
            "4, 5 or 6 in r1c2 or r1c3 would rule out 4, 5 and 6 in r1c1, where nothing else is left, "
            "so 4, 5 and 6 can be removed from r1c2 and r1c3",
        ),
    ],
)
def test_values_that_are_ruled_out(rule: str, candidates: dict[str, str], words: str) -> None:
    """Where a cell could need too many values, those that it has are told."""
    (text,) = told(rule, candidates, alone=True)
    assert text.endswith(words)


def test_a_long_argument_is_told_if_there_are_no_other_words() -> None:
    """The three cells of the row that are over 6 leave the whole thermometer lower."""
    high = dict.fromkeys(("r1c7", "r1c8", "r1c9"), "789")
    (text,) = told('kind = "thermometer"\ncells = "r2c1 r1c1 r1c2 r1c3"', high)
    assert "leave only 7, 8 and 9 for r1c3, r1c7, r1c8 and r1c9; " in text


def test_all_cells_that_could_have_what_is_needed_are_named() -> None:
    """Between a 1 and a 9 that touch is nothing: the 9 is on either side of the 1."""
    rule = 'kind = "sandwich"\nline = "r1"\nsum = 0'
    texts = told(rule, {"r1c1": "2345678", "r1c3": "2345678"}, alone=True)
    assert "1 in r1c2 would need 9 in r1c1 or r1c3, where it is gone" in texts[0]
