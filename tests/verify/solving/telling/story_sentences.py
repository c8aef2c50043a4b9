"""Stories read back: each link held against a board on which only what was said has happened."""

from __future__ import annotations

import re

from gridassay.encodings.grid import Cell

from .board import Board
from .words import CELL, CELLS, DIGITS, Unreadable, cells_in, digits_in

LEFT = rf"({CELLS}) (?:is|are(?: each| both| all \w+)?) (not |at least |at most )?({DIGITS})"
_ONE = re.compile(LEFT)
_SINGLES = rf"\d+(?: is left)? for {CELLS}"
DIGIT_LEFT = rf"{_SINGLES}(?:(?:, so|, and|,| and) only {_SINGLES})*"


class Told:
    """The candidates of a story so far, and those before it."""

    def __init__(self, board: Board) -> None:
        self.board = board
        self.state = dict(board.candidates)
        self.placed = set(board.placed)
        self.rules: list[str] = []
        self.last: list[Cell] = []

    def decide(self, cell: Cell, digit: int) -> None:
        """A cell has a digit, which is cleared from all that it sees."""
        assert digit in self.state[cell], f"{digit} is gone from {cell}"
        self.state[cell] = frozenset({digit})
        self.placed.add(cell)
        for other in self.state:
            if self.board.plain.sees(cell, other):
                self.state[other] -= {digit}

    def rule(self, name: str) -> str:
        """The rule that is meant, whole or by its first words after it was named."""
        if name in self.board.plain.rules:
            self.rules.append(name)
            return name
        short = [one for one in self.rules if one.startswith(f"{name} from ")]
        if len(set(short)) != 1:
            raise Unreadable(f"no rule: {name!r}")
        return short[0]

    def ways(self, rule: str, known: dict[Cell, frozenset[int]]) -> list[dict[Cell, int]]:
        """The fillings of a rule with these candidates."""
        cells, fillings = self.board.plain.fillings(rule)
        every = frozenset(self.board.plain.digits)
        found = (dict(zip(cells, filling, strict=True)) for filling in fillings)
        return [way for way in found if all(d in known.get(c, every) for c, d in way.items())]


def _allowed(words: str, board: Board) -> dict[Cell, frozenset[int]]:
    """The digits that cells may have after what is said of them."""
    found: dict[Cell, frozenset[int]] = {}
    every = frozenset(board.plain.digits)
    rest = re.sub(LEFT, "", words)
    if re.sub(r", | and |and ", "", rest):
        raise Unreadable(words)
    for m in _ONE.finditer(words):
        cells, digits = cells_in(m[1]), frozenset(digits_in(m[3]))
        assert (" are " in m[0]) is (len(cells) > 1), words
        if m[2] == "not ":
            digits = every - digits
        elif m[2]:
            (limit,) = digits
            digits = frozenset(d for d in every if (d >= limit if "least" in m[2] else d <= limit))
        for cell in cells:
            assert cell not in found, f"{words}: {cell} twice"
            found[cell] = digits
    return found


def only_places(told: Told, text: str) -> None:
    """Digits with their only places, one after the other; a house goes on until another is named."""
    name = ""
    for place in re.split(r", and |, ", text.removeprefix("the only place ")):
        m = re.fullmatch(rf"for (\d+)(?: (?:in|on) (.+?))?(?: it)? is ({CELL})", place)
        if m is None:
            raise Unreadable(text)
        name = m[2] or name
        (cell,) = cells_in(m[3])
        places = {c for c in told.board.plain.houses[name] if int(m[1]) in told.state[c]}
        assert places == {cell}, f"{text}: {places}"
        told.last.append(cell)
        told.decide(cell, int(m[1]))


def only_digits(told: Told, text: str) -> None:
    """Cells that have one digit left; after *so* those to which another was left before."""
    for wave in text.split(", so only "):
        singles = [
            (cell, int(m[1]))
            for m in re.finditer(rf"(\d+) for ({CELLS})", wave)
            for cell in cells_in(m[2])
        ]
        for cell, digit in singles:
            assert told.state[cell] == {digit}, f"{text}: {cell} has {told.state[cell]}"
        for cell, digit in singles:
            told.last.append(cell)
            told.decide(cell, digit)


def _link(told: Told, text: str) -> None:
    board = told.board
    told.last = []
    if text.startswith("the only place "):
        only_places(told, text)
        return
    if m := re.fullmatch(rf"only ({DIGIT_LEFT})", text):
        only_digits(told, m[1].replace(" is left", "", 1))
        return
    m = re.fullmatch(r"(?:(.+?), so )?(.+), by (.+)", text)
    if m is None:
        raise Unreadable(text)
    names = re.split(", | and ", m[3])
    if all(name in board.plain.houses for name in names):
        _cleared(told, m[2], [board.plain.houses[name] for name in names])
        return
    causes = _allowed(m[1], board) if m[1] else {}
    concluded = _allowed(m[2], board)
    told.last = [*concluded]
    known = dict(board.candidates)
    known |= {cell: told.state[cell] for cell in {*told.placed, *concluded}}
    for limit in re.finditer(rf"({CELLS}) (?:is|are) at (?:least|most)", m[2]):
        # A bound is what the rule says, whatever the cell had lost.
        known |= dict.fromkeys(cells_in(limit[1]), frozenset(board.plain.digits))
    for cell, digits in causes.items():
        assert told.state[cell] <= digits, f"{text}: {cell} has {told.state[cell]}"
        assert cell not in told.placed, f"{text}: {cell} is known"
        known[cell] &= digits
    ways = told.ways(told.rule(m[3]), known)
    for cell, digits in concluded.items():
        assert {way[cell] for way in ways} <= digits, f"{text}: {cell}"
    for cell, digits in concluded.items():
        if len(digits) == 1:
            told.decide(cell, *digits)
        else:
            told.state[cell] &= digits


def _cleared(told: Told, text: str, houses: list[frozenset[Cell]]) -> None:
    """A digit that was placed in some houses has cleared others there."""
    for cell, digits in _allowed(text, told.board).items():
        gone = told.board.candidates[cell] - digits
        assert gone, text
        assert not gone & told.state[cell], text
        told.last.append(cell)
        for digit in gone:
            placed = {c for c in told.placed if told.state[c] == {digit}} - {cell}
            assert any(cell in house and house & placed for house in houses), text


def _end(told: Told, text: str) -> None:
    board = told.board
    if m := re.fullmatch(r"(\d+) has no place (?:in|on) (.+)", text):
        assert not any(int(m[1]) in told.state[cell] for cell in board.plain.houses[m[2]]), text
    elif m := re.fullmatch(rf"nothing is left for ({CELL})", text):
        assert not told.state[cells_in(m[1])[0]], text
    elif m := re.fullmatch(r"no way is left to fill (.+?)(?:, since (.+))?", text):
        known = _allowed(m[2], board) if m[2] else {cell: told.state[cell] for cell in told.last}
        assert known, text
        for cell, digits in known.items():
            assert told.state[cell] <= digits, f"{text}: {cell} has {told.state[cell]}"
        known = {cell: digits & board.candidates[cell] for cell, digits in known.items()}
        assert not told.ways(told.rule(m[1]), known), text
    else:
        raise Unreadable(text)


def _lead_to_nothing(told: Told, text: str) -> None:
    *links, end = text.split("; then ")
    for link in links:
        _link(told, link)
    _end(told, end)


def hold_story(board: Board, text: str) -> None:
    """Raise AssertionError if a story is not true, or does not end in its conclusion."""
    told = Told(board)
    if m := re.fullmatch(r"(?:(.+?)\. )?[Ii]f (.+)\. (?:Either way|Whichever it is), (.+)", text):
        _hold_either(board, m[1] or "", m[2].split(". If "), m[3])
        return
    if m := re.fullmatch(r"suppose (\d+) were in (.+)\. Then (.+)\. So (.+)", text):
        digit, cells = int(m[1]), cells_in(m[2])
        assert len(cells) > 1, text
        assert all(digit in board.candidates[cell] for cell in cells), text
        for other in told.state:
            if all(board.plain.sees(cell, other) for cell in cells):
                told.state[other] -= {digit}
        _lead_to_nothing(told, m[3])
        none = re.fullmatch(rf"(?:neither|none of) (.+) is {digit}", m[4])
        assert none, text
        assert cells_in(none[1]) == cells, text
        return
    m = re.fullmatch(rf"suppose ({CELL}) were ({DIGITS})\. Then (.+)\. So (.+)", text)
    if m is None:
        raise Unreadable(text)
    (cell,) = cells_in(m[1])
    supposed = frozenset(digits_in(m[2]))
    assert supposed <= board.candidates[cell], text
    if len(supposed) == 1:
        told.decide(cell, *supposed)
    else:
        told.state[cell] = supposed
    _lead_to_nothing(told, m[3])
    assert _allowed(m[4], board) == {cell: frozenset(board.plain.digits) - supposed}, text


def _hold_either(board: Board, cases: str, branches: list[str], concluded: str) -> None:
    """Every candidate of a cell, or every place of a digit, comes to the conclusions."""
    if m := re.fullmatch(r"(\d+) (?:in|on) (.+) is in (.+)", cases):
        digit = int(m[1])
        left = {(cell, digit) for cell in board.places(digit, board.plain.houses[m[2]])}
        assert {cell for cell, _ in left} == set(cells_in(m[3])), cases
    else:
        ((cell, digits),) = _allowed(cases, board).items()
        assert digits == board.candidates[cell], cases
        left = {(cell, digit) for digit in digits}
    wanted = _allowed(concluded, board)
    assert all(not board.candidates[cell] <= digits for cell, digits in wanted.items()), concluded
    named: list[str] = []
    for branch in branches:
        m = re.fullmatch(rf"({CELL}) is (\d+), then (.+)", branch)
        if m is None:
            raise Unreadable(branch)
        (cell,) = cells_in(m[1])
        left.remove((cell, int(m[2])))
        told = Told(board)
        told.rules = named
        told.decide(cell, int(m[2]))
        for link in m[3].split("; then "):
            _link(told, link)
        for cell, digits in wanted.items():
            assert told.state[cell] <= digits, f"{branch}: {cell} has {told.state[cell]}"
        assert set(wanted) <= set(told.last), branch
    assert not left, cases
