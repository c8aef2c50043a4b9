"""Sentences about digits that a rule must hold, and of rules that use up the digits of a house."""

from __future__ import annotations

import re
from itertools import combinations, product

from gridassay.encodings.grid import Cell

from .board import Board
from .fillings import (
    CAN_BE,
    IN_ORDER,
    OF_HEADS,
    SETS,
    Reading,
    can_be,
    heads,
    in_order,
    of_heads,
    rule_of,
    said_sets,
)
from .forms import zone
from .words import (
    CELL,
    CELLS,
    DIGITS,
    GIVEN,
    Marks,
    Unreadable,
    cells_in,
    conclusion,
    digits_in,
    named,
)


def sure(board: Board, text: str) -> tuple[Marks, Marks] | None:
    """Check a sentence about digits that a rule must hold; None for any other."""
    ending = rf"({DIGITS})(?: (?:is|are))?,? in ({CELLS}), (so .+)"
    m = re.fullmatch(rf"(.+?): ()(.+); its {ending}", text)
    m = m or re.fullmatch(rf"(.+?)(,)?() must hold {ending}", text)
    found = rule_of(board, text)
    if m is None or found is None:
        return None
    phrase = found[0]
    reading = Reading(board, *board.plain.fillings(phrase))
    names = [*board.plain.houses, *board.plain.rules]
    if apart := re.search(r", no digit twice in (.+?)(?=, must hold|: )", text):
        reading.apart([zone(board, name) for name in named(apart[1], names)])
    if m[3]:
        _held(reading, m[3], text)
    for cell in reading.cells:
        reading.has(cell, board.candidates[cell])
    said = conclusion(board, m[6], cells_in(m[5]))
    where: set[Cell] = set()
    for digit in digits_in(m[4]):
        assert all(digit in filling for filling in reading.left), text
        places = {c for c in reading.cells if digit in board.candidates[c]}
        where |= places
        for cell in {cell for cell, d in said[1] if d == digit}:
            assert all(board.plain.sees(cell, place) for place in places), text
    assert where == set(cells_in(m[5])), text
    assert {digit for _, digit in said[1]} == set(digits_in(m[4])), text
    return said


_MISSED = (
    rf"({CELLS}|they) make at (least|most) (\d+) without (\d+), "
    rf"(?:(?:more|less) than (\d+)|and ({CELL}) is (?:at (?:least|most) )?(\d+))"
)


def _missed(reading: Reading, clause: re.Match[str], whole: str) -> None:
    """Without the digit some cells make too much, or too little, for the total or the other cell."""
    digit, number, least = int(clause[4]), int(clause[3]), clause[2] == "least"
    ((head, body),) = [one for one in heads(reading) if (one[0] is None) is bool(clause[5])]
    who = reading.told if clause[1] == "they" else {*cells_in(clause[1])}
    assert {reading.cells[place] for place in body} == who, whole
    limit = int(clause[5] or clause[7])
    assert number > limit if least else number < limit, whole
    if head is None:
        assert {sum(f) for f in reading.every} == {limit}, whole
    else:
        assert [reading.cells[head]] == cells_in(clause[6]), whole
        others = reading.board.candidates[reading.cells[head]] - {digit}
        assert max(others) <= limit if least else min(others) >= limit, whole
    free = [sorted(reading.board.candidates[reading.cells[p]] - {digit}) for p in body]
    cells = [reading.cells[place] for place in body]
    for way in product(*free):
        apart = not any(
            way[a] == way[b] and reading.differ(cells[a], cells[b])
            for a, b in combinations(range(len(way)), 2)
        )
        if apart:
            assert sum(way) >= number if least else sum(way) <= number, f"{whole}: {way}"


def _held(reading: Reading, ways: str, whole: str) -> None:
    """Check the sets of digits that are left to a rule, or the ways to fill it."""
    if lead := re.match(rf"as ({GIVEN}), ", ways):
        reading.given(lead[1])
        ways = ways[lead.end() :]
    if clause := re.fullmatch(IN_ORDER, ways):
        in_order(reading, clause, whole)
        return
    if re.fullmatch(OF_HEADS, ways):
        of_heads(reading, ways, whole)
        return
    if clause := re.fullmatch(CAN_BE, ways):
        can_be(reading, clause, whole)
        return
    if clause := re.fullmatch(_MISSED, ways):
        _missed(reading, clause, whole)
        return
    if lead := re.match(rf"({DIGITS}) (?:is|are) gone from (?:both|all \w+), so ", ways):
        _gone(reading, lead[1], whole)
        ways = ways[lead.end() :]
    first = re.match(rf"(\d+) in (\w+) cells is ({SETS})", ways)
    assert first, whole
    assert said_sets(first[3]) == reading.sets(reading.left), whole
    ways = ways[first.end() :]
    if more := re.fullmatch(rf"; as ({GIVEN}), it is ({SETS})", ways):
        reading.given(more[1])
        assert said_sets(more[2]) == reading.sets(reading.left), whole
    elif more := re.fullmatch(
        rf"; ({DIGITS}) (?:is|are) gone from (?:both|all \w+), so it is ({SETS})", ways
    ):
        _gone(reading, more[1], whole)
        assert said_sets(more[2]) == reading.sets(reading.left), whole
    elif ways:
        raise Unreadable(ways)


def _gone(reading: Reading, digits: str, text: str) -> None:
    lost = frozenset(digits_in(digits))
    for cell in reading.cells:
        assert not reading.board.candidates[cell] & lost, text
        reading.has(cell, frozenset(reading.board.plain.digits) - lost)


def used_up(board: Board, text: str) -> tuple[Marks, Marks] | None:
    """Check a sentence about rules that use up digits of a house; None for any other."""
    m = re.fullmatch(
        rf"(.+?) must (?:each )?hold ({DIGITS})(?:, and ({CELLS}) (?:is one|are two) of these)?: "
        rf"together they use up ({DIGITS}) in (.+?), (so .+)",
        text,
    )
    if m is None:
        return None
    digits, house = set(digits_in(m[2])), zone(board, m[5])
    assert digits == set(digits_in(m[4])), text
    rules = named(m[1], board.plain.rules)
    cells = cells_in(m[3] or "")
    held: list[set[Cell]] = [{cell} for cell in cells]
    for cell in cells:
        assert board.candidates[cell] <= digits, text
    for phrase in rules:
        reading = Reading(board, *board.plain.fillings(phrase))
        reading.apart(list(board.plain.houses.values()))
        for cell in reading.cells:
            reading.has(cell, board.candidates[cell])
        assert all(digits & set(filling) for filling in reading.left), text
        held.append({c for c in reading.cells if digits & board.candidates[c]})
    assert len(held) == len(digits), text
    assert set().union(*held) <= house, text
    assert sum(map(len, held)) == len(set().union(*held)), text
    said = conclusion(board, m[6])
    for cell, digit in said[1]:
        assert cell in house - set().union(*held), text
        assert digit in digits, text
    return said
