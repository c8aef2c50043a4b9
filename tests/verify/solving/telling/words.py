"""Pieces of sentences that every form is made of: cells, digits, conclusions."""

from __future__ import annotations

import re
from collections.abc import Iterable

from gridassay.encodings.grid import Cell

from .board import Board

CELL = r"r\d+c\d+"
CELLS = rf"{CELL}(?:, {CELL})*(?: (?:and|or) {CELL})?"
DIGITS = r"\d+(?:, \d+)*(?: (?:and|or) \d+)?"
_VALUE = r"\d+(?: to \d+)?"
LEFT = rf"(?:not )?{_VALUE}(?:, {_VALUE})*(?: or {_VALUE})?"
HAS = rf"{CELLS} (?:is|are(?: each)?) {LEFT}"
SPOT = rf"(\d+) (?:(?:in|on) (?!r\d)([\w ]+?) is )?in ({CELLS})"
SPOTS = rf"\d+ (?:in|on) (?!r\d)[\w ]+? is in {CELLS}(?:(?:, | and )\d+ in {CELLS})*"
_ONE = rf"(?:{HAS}|{SPOTS})"
GOING = rf"{DIGITS} can be removed from {CELLS}(?:(?:,? and|,) {DIGITS} from {CELLS})*"
GIVEN = rf"{_ONE}(?:, {_ONE})*(?: and {_ONE})?"

Marks = set[tuple[Cell, int]]


class Unreadable(AssertionError):
    """A sentence, or a part of one, of no form that is known."""


def cells_in(text: str) -> list[Cell]:
    """The cells that are named, in order."""
    found = [Cell(int(row), int(column)) for row, column in re.findall(r"r(\d+)c(\d+)", text)]
    assert len(set(found)) == len(found), f"{text}: a cell twice"
    return found


def digits_in(text: str) -> list[int]:
    """The digits that are listed."""
    return [int(word) for word in re.findall(r"\d+", text)]


def left_in(board: Board, text: str) -> frozenset[int]:
    """The digits that are left: ``2, 3 or 6``, ``1 or 4 to 8``, ``not 2 or 9``."""
    digits: set[int] = set()
    for first, last in re.findall(r"(\d+)(?: to (\d+))?", text):
        digits |= set(range(int(first), int(last or first) + 1))
    assert digits <= {*board.plain.digits}, text
    return frozenset(board.plain.digits) - digits if text.startswith("not ") else frozenset(digits)


def given_in(board: Board, text: str) -> dict[Cell, frozenset[int]]:
    """Cells with their candidates, which are those of the board: ``r1c1 is 2 to 5 and r1c2 is 5``."""
    found: dict[Cell, frozenset[int]] = {}
    for clause in re.findall(HAS, re.sub(SPOTS, "", text)):
        cells, left = re.split(r" (?:is|are each|are) ", clause)
        for cell in cells_in(cells):
            assert cell not in found, f"{text}: {cell} twice"
            found[cell] = left_in(board, left)
            assert board.candidates[cell] == found[cell], f"{clause}: {board.candidates[cell]}"
    return found


def spots_in(text: str) -> list[tuple[int, str, frozenset[Cell]]]:
    """Digits with a house and their places there: ``3 in box 1 is in r1c1 or r2c3``."""
    found = []
    home = ""
    for several in re.findall(SPOTS, text):
        for digit, name, cells in re.findall(SPOT, several):
            home = name or home
            found.append((int(digit), home, frozenset(cells_in(cells))))
    return found


def conclusion(
    board: Board, text: str, besides: Iterable[Cell] | None = None
) -> tuple[Marks, Marks]:
    """The placements and removals at the end of a sentence.

    The rest of a house is the house without the cells ``besides``, which were named before.
    """
    places: Marks = set()
    removes: Marks = set()
    text = text.removeprefix("so ")
    for part in filter(None, re.split(r"; (?:so )?", text)):
        going = re.fullmatch(GOING, part)
        limit = re.fullmatch(
            rf"({CELLS}) (?:is|are) (?:at least (\d+))?(?: and )?(?:at most (\d+))?", part
        )
        digit = re.fullmatch(rf"({CELLS}) (?:is|are) (\d+)", part)
        each = re.fullmatch(rf"{CELL} is \d+(?:, {CELL} is \d+)* and {CELL} is \d+", part)
        left_with = re.fullmatch(rf"({CELLS}) (?:is|are each) (\d+(?:, \d+)* or \d+)", part)
        rest = re.fullmatch(rf"({DIGITS}) can be removed from the rest of (.+)", part)
        if rest and besides is not None:
            houses = named(each_house(rest[2]), board.plain.houses)
            others = set().union(*(board.plain.houses[one] for one in houses)) - {*besides}
            lost = {(c, d) for c in others for d in digits_in(rest[1]) if d in board.candidates[c]}
            assert len({c for c, _ in lost}) > 3, f"{part}: these cells can be named"
            removes |= lost
        elif going:
            for digits, cells in re.findall(
                rf"({DIGITS})(?: can be removed)? from ({CELLS})", part
            ):
                lost = {(c, d) for c in cells_in(cells) for d in digits_in(digits)}
                assert all(d in board.candidates[c] for c, d in lost), f"{part}: it is gone already"
                assert not lost & removes, f"{part}: said twice"
                removes |= lost
        elif each:
            for cell, number in re.findall(rf"({CELL}) is (\d+)", part):
                places |= {(cells_in(cell)[0], int(number))}
        elif digit:
            places |= {(cell, int(digit[2])) for cell in cells_in(digit[1])}
        elif left_with:
            digits = set(digits_in(left_with[2]))
            for cell in cells_in(left_with[1]):
                assert digits < board.candidates[cell], f"{part}: not what is left"
                removes |= {(cell, d) for d in board.candidates[cell] - digits}
        elif limit and (limit[2] or limit[3]):
            least, most = int(limit[2] or 0), int(limit[3] or 99)
            removes |= {
                (c, d)
                for c in cells_in(limit[1])
                for d in board.candidates[c]
                if not least <= d <= most
            }
        else:
            raise Unreadable(f"no conclusion: {part!r}")
    return places, removes


def each_house(text: str) -> str:
    """Houses one by one: ``rows 2 and 3`` as ``row 2 and row 3``, ``rows 1 to 3`` as three rows."""

    def apart(m: re.Match[str]) -> str:
        kind = "box" if m[1] == "boxes" else m[1].removesuffix("s")
        numbers = digits_in(m[2])
        if " to " in m[2]:
            numbers = [*range(numbers[0], numbers[-1] + 1)]
            assert len(numbers) > 2, text
        return ", ".join(f"{kind} {number}" for number in numbers)

    return re.sub(r"(rows|columns|boxes|regions) (\d+ to \d+|\d+(?:, \d+)* and \d+)", apart, text)


def named(text: str, names: Iterable[str]) -> list[str]:
    """Names of houses and rules in a row: ``row 3, the renban in box 2 and column 1``."""
    found, left = [], text
    ordered = sorted(names, key=len, reverse=True)
    while left:
        name = next((name for name in ordered if left.startswith(name)), None)
        if name is None:
            raise Unreadable(f"no house or rule: {left!r}")
        found.append(name)
        left = re.sub(r"^(, | and | or )", "", left[len(name) :])
    assert len(set(found)) == len(found), f"{text}: one twice"
    return found
