"""Sentences about cells that are equal, take turns or hold what others hold."""

from __future__ import annotations

import re

from .board import Board
from .fillings import Reading
from .forms import zone
from .words import CELL, CELLS, DIGITS, Marks, cells_in, conclusion, digits_in, named


def alternation(board: Board, text: str) -> tuple[Marks, Marks] | None:
    """Check a sentence about cells that take turns; None for any other."""
    m = re.fullmatch(rf"({CELL}) is (.+?), and along (.+?) take turns, so (.+)", text)
    if m is None:
        return None
    (cell,) = cells_in(m[1])
    digits = sorted(board.plain.digits)
    half, third = len(digits) // 2, len(digits) // 3
    rules = [phrase for phrase in board.plain.rules if m[3].startswith(phrase + " ")]
    phrase = max(rules, key=len)
    names = m[3][len(phrase) + 1 :]

    thirds = "middle and" in names or ", middle" in names

    def of(name: str) -> set[int]:
        if name in ("odd", "even"):
            return {d for d in digits if d % 2 == (name == "odd")}
        if name.startswith("one of "):
            return set(digits_in(name))
        cut = third if thirds else half
        return {"low": {*digits[:cut]}, "high": {*digits[-cut:]}}.get(name, {*digits[cut:-cut]})

    assert board.candidates[cell] <= of(m[2]), text
    reading = Reading(board, *board.plain.fillings(phrase))
    reading.has(cell, board.candidates[cell])
    said: tuple[Marks, Marks] = (set(), set())
    for cells, name in re.findall(rf"({CELLS}) (?:is|are) (.+?)(?=(?:, | and ){CELL}|$)", m[4]):
        for other in cells_in(cells):
            said[1].update((other, d) for d in board.candidates[other] - of(name))
    reading.hold(said, text)
    return said


def equal(board: Board, text: str) -> tuple[Marks, Marks] | None:
    """Check a sentence about equal cells; None for any other."""
    m = re.fullmatch(
        rf"({CELLS}) equals? ({CELL}) by (.+?), "
        rf"(?:so (?:it is|they are) (\d+)|and {CELL} is not {DIGITS}, (so .+))",
        text,
    )
    if m is None:
        return None
    others, (cell,) = cells_in(m[1]), cells_in(m[2])
    cells, fillings = board.plain.fillings(m[3])
    for other in others:
        assert all(f[cells.index(other)] == f[cells.index(cell)] for f in fillings), text
    reading = Reading(board, cells, sorted(fillings))
    reading.has(cell, board.candidates[cell])
    said: tuple[Marks, Marks] = (
        ({(other, int(m[4])) for other in others}, set()) if m[4] else conclusion(board, m[5])
    )
    reading.hold(said, text)
    return said


def leftovers(board: Board, text: str) -> tuple[Marks, Marks] | None:
    """Check a sentence about cells left over on two sides; None for any other."""
    m = re.fullmatch(
        rf"(.+?) against (.+?): ({CELLS}) left over on one side and ({CELLS}) on the other hold the same "
        r"digits, (so .+)",
        text,
    )
    if m is None:
        return None
    sides = [[zone(board, name) for name in named(m[n], board.plain.houses)] for n in (1, 2)]
    one, other = ([cell for house in side for cell in house] for side in sides)
    assert len(sides[0]) == len(sides[1]), text
    assert len(one) == len(set(one)), text
    assert len(other) == len(set(other)), text
    left, right = set(one) - set(other), set(other) - set(one)
    assert (left, right) == (set(cells_in(m[3])), set(cells_in(m[4]))), text
    said = conclusion(board, m[5])
    for cell, digit in said[1]:
        against = right if cell in left else left
        assert cell in left | right, text
        assert not board.places(digit, sorted(against)), text
    return said
