"""Stories about doublers read back, link by link, on a board of digits and doublers.

Each house has one doubler, and no two doublers have the same digit. A link or an end is decided by every
way to fill the cells of the rules and houses that it names, from what has been said of them.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from itertools import combinations, product

from gridassay.encodings.board import Filled
from gridassay.encodings.grid import Cell
from gridassay.encodings.puzzle import Puzzle
from gridassay.encodings.variables import Doubler
from gridassay.verify.solving.board.position import Position, members

from .story_sentences import DIGIT_LEFT, LEFT, only_digits, only_places
from .words import CELLS, DIGITS, Unreadable, cells_in, digits_in, named

Digits = dict[Cell, frozenset[int]]
Twice = dict[Cell, frozenset[bool]]

_BOTH = rf"({CELLS}) (?:is|are)( each| both| all \w+)? ({DIGITS}) and not (?:a doubler|doublers)"
_TWICE = rf"({CELLS}) (?:is|are) (not )?(?:a doubler|doublers)"
_RULES = "the doublers"
_OVER_HOUSES = "sure digit|locked candidates|naked pair|hidden pair"
EITHER = frozenset({False, True})


class Houses:
    """The board as anybody sees it: houses, and cages by what they are called."""

    def __init__(self, puzzle: Puzzle) -> None:
        self.puzzle = puzzle
        self.digits = frozenset(puzzle.canvas.digits)
        self.houses = {house.name: frozenset(house.cells) for house in puzzle.canvas.houses}
        phrases = [puzzle.rule_phrases[name] for name in puzzle.rule_names]
        self.rules = dict(zip(phrases, puzzle.rules, strict=True))

    @property
    def plain(self) -> Houses:
        """Itself, as other readers ask a board for its houses."""
        return self

    def sees(self, one: Cell, other: Cell) -> bool:
        """Whether two cells share a house or a cage, so that they differ."""
        apart = (*self.houses.values(), *(frozenset(rule.where()) for rule in self.rules.values()))
        return one != other and any({one, other} <= cells for cells in apart)


@dataclass
class Told:
    """The board of a story: all that each cell may be by now, and could be before it."""

    board: Houses
    state: Digits
    twice: Twice
    first: tuple[Digits, Twice]
    known: set[Cell]
    last: list[Cell] = field(default_factory=list)

    @classmethod
    def of(cls, board: Houses, position: Position) -> Told:
        """The candidates of a position."""
        layout = position.layout
        state = {
            cell: frozenset(layout.digits[place] for place in members(position.masks[number]))
            for number, cell in enumerate(layout.cells)
        }
        twice = {
            cell: frozenset(map(bool, members(position.masks[layout.index[Doubler(cell)]])))
            for cell in state
        }
        placed = {c for n, c in enumerate(layout.cells) if position.is_placed(n)}
        return cls(board, dict(state), dict(twice), (state, twice), placed)

    def decide(self, cell: Cell, digit: int) -> None:
        """A cell has a digit, which is cleared from its houses."""
        assert digit in self.state[cell], f"{digit} is gone from {cell}"
        self.state[cell] = frozenset({digit})
        self.known.add(cell)
        for other in self.state:
            if self.board.sees(cell, other):
                self.state[other] -= {digit}

    def conclude(self, digits: Digits, twice: Twice) -> None:
        """Take what was concluded as known."""
        for cell, left in digits.items():
            if len(left) == 1:
                self.decide(cell, *left)
            else:
                self.state[cell] &= left
        for cell, is_one in twice.items():
            self.twice[cell] &= is_one


def _said(words: str, board: Houses) -> tuple[Digits, Twice]:
    """All that is said of the digits of cells, and of whether they are doublers."""
    digits: Digits = {}
    twice: Twice = {}

    def both(m: re.Match[str]) -> str:
        twice.update(dict.fromkeys(cells_in(m[1]), frozenset({False})))
        return f"{m[1]} {'are' if len(cells_in(m[1])) > 1 else 'is'}{m[2] or ''} {m[3]}"

    def doublers(m: re.Match[str]) -> str:
        assert not twice.keys() & set(cells_in(m[1])), words
        twice.update(dict.fromkeys(cells_in(m[1]), frozenset({not m[2]})))
        return ""

    def cells(m: re.Match[str]) -> str:
        told = frozenset(digits_in(m[3]))
        if m[2] == "not ":
            told = board.digits - told
        elif m[2]:
            (limit,) = told
            least = "least" in m[2]
            told = frozenset(d for d in board.digits if (d >= limit if least else d <= limit))
        for cell in cells_in(m[1]):
            assert cell not in digits, words
            digits[cell] = told
        return ""

    rest = re.sub(LEFT, cells, re.sub(_TWICE, doublers, re.sub(_BOTH, both, words)))
    if re.sub(r",|and| ", "", rest):
        raise Unreadable(words)
    return digits, twice


def _ways(
    board: Houses, names: list[str], digits: Mapping[Cell, frozenset[int]], twice: Twice
) -> Iterator[dict[Cell, tuple[int, bool]]]:
    """The ways to fill the cells of some houses and rules from what they may be."""
    houses = [board.houses[name] for name in names if name in board.houses]
    if _RULES in names:
        yield from _doubled(board, digits, twice)
        return
    rules = [board.rules[name] for name in names if name in board.rules]
    scope = list(
        dict.fromkeys([*(c for r in rules for c in r.where()), *(c for h in houses for c in h)])
    )
    counted = {cell for rule in rules for cell in rule.where()}

    def go(place: int, way: dict[Cell, tuple[int, bool]]) -> Iterator[dict[Cell, tuple[int, bool]]]:
        if place == len(scope):
            yield dict(way)
            return
        cell = scope[place]
        for digit in digits.get(cell, board.digits):
            if any(
                cell in h and o in h and d == digit for h in houses for o, (d, _) in way.items()
            ):
                continue
            for is_one in twice.get(cell, EITHER) if cell in counted else (False,):
                way[cell] = digit, is_one
                done = [r for r in rules if cell in r.where() and {*r.where()} <= way.keys()]
                if all(_holds(board, rule, way) for rule in done):
                    yield from go(place + 1, way)
                del way[cell]

    yield from go(0, {})


def _holds(board: Houses, rule: object, way: Mapping[Cell, tuple[int, bool]]) -> bool:
    numbers = {
        **{cell: digit for cell, (digit, _) in way.items()},
        **{Doubler(cell): int(is_one) for cell, (_, is_one) in way.items()},
    }
    return bool(rule.holds(Filled(board.puzzle.board, numbers)))  # type: ignore[attr-defined]


def _doubled(
    board: Houses, digits: Mapping[Cell, frozenset[int]], twice: Twice
) -> Iterator[dict[Cell, tuple[int, bool]]]:
    """The ways to place a doubler in every house, all with different digits."""
    rows = [house for name, house in board.houses.items() if name.startswith("row ")]
    free = [[cell for cell in sorted(row) if True in twice.get(cell, EITHER)] for row in rows]
    for chosen in product(*free):
        if any(len(house & {*chosen}) != 1 for house in board.houses.values()):
            continue
        if any(False not in twice.get(cell, EITHER) for cell in {*twice} - {*chosen}):
            continue
        for way in product(*(digits.get(cell, board.digits) for cell in chosen)):
            if len({*way}) == len(way):
                digit = dict(zip(chosen, way, strict=True))
                yield {cell: (digit.get(cell, 0), cell in digit) for row in rows for cell in row}
                break


def _by(told: Told, causes: str, concluded: str, names: list[str]) -> None:
    """The conclusion follows from the rules and houses, and from what is said of their cells."""
    text = f"{causes}, so {concluded}, by {names}"
    more = _said(causes, told.board) if causes else ({}, {})
    digits, twice = _said(concluded, told.board)
    assert digits or twice, text
    told.last = list(dict.fromkeys([*digits, *twice]))
    by_houses = not any(name in told.board.rules for name in names)
    base, based = (told.state, told.twice) if by_houses or len(names) > 1 else told.first
    known = dict(base)
    known |= {cell: told.state[cell] for cell in {*told.known, *digits}}
    doubled = dict(based) | {c: v for c, v in told.twice.items() if len(v) == 1 or c in twice}
    for cell, left in more[0].items():
        assert told.state[cell] <= left, f"{text}: {cell} has {told.state[cell]}"
        known[cell] = known[cell] & left
    for cell, is_one in more[1].items():
        assert told.twice[cell] <= is_one, text
    for cell, left in digits.items():
        # A bound is what the rule says, whatever the cell had lost.
        bound = re.search(rf"{cell}[^;]*? at (?:least|most)", concluded)
        tried = (told.board.digits if bound else known[cell] & told.state[cell]) - left
        way = _ways(told.board, names, {**known, cell: tried}, doubled)
        assert not tried or next(way, None) is None, f"{text}: {cell}"
    for cell, is_one in twice.items():
        other = EITHER - is_one
        way = _ways(told.board, names, known, {**doubled, cell: other})
        assert next(way, None) is None, f"{text}: {cell}"
    told.conclude(digits, twice)


def _link(told: Told, text: str) -> None:
    told.last = []
    if text.startswith("the only place "):
        only_places(told, text)
    elif m := re.fullmatch(rf"only ({DIGIT_LEFT})", text):
        only_digits(told, m[1].replace(" is left", "", 1))
    else:
        m = re.fullmatch(rf"(?:(.+?), so )?(.+), by (?:(?:{_OVER_HOUSES}) in )?(.+)", text)
        if m is None:
            raise Unreadable(text)
        names = [*told.board.houses, *told.board.rules, _RULES]
        _by(told, m[1] or "", m[2], named(m[3], names))


def _end(told: Told, text: str) -> None:
    board = told.board
    if m := re.fullmatch(r"(\d+) has no place in (.+)", text):
        assert not any(int(m[1]) in told.state[cell] for cell in board.houses[m[2]]), text
    elif m := re.fullmatch(r"the doubler of (.+) has no place", text):
        assert not any(True in told.twice[cell] for cell in board.houses[m[1]]), text
    elif m := re.fullmatch(r"nothing is left for (r\d+c\d+)", text):
        assert not told.state[cells_in(m[1])[0]], text
    elif m := re.fullmatch(rf"(?:that|(.+), which) is against {_RULES}", text):
        twice = _said(m[1], board)[1] if m[1] else {c: told.twice[c] for c in told.last}
        named_ones = [cell for cell, is_one in twice.items() if is_one == {True}]
        assert all(told.twice[cell] == {True} for cell in named_ones), text
        assert any(
            board.sees(one, other) or len(told.state[one] | told.state[other]) == 1
            for one, other in combinations(named_ones, 2)
        ), text
    elif m := re.fullmatch(r"no way is left to fill (.+?)(?:, since (.+))?", text):
        digits, twice = (
            _said(m[2], board)
            if m[2]
            else ({c: told.state[c] for c in told.last}, {c: told.twice[c] for c in told.last})
        )
        for cell, left in digits.items():
            assert told.state[cell] <= left, f"{text}: {cell} has {told.state[cell]}"
        for cell, is_one in twice.items():
            assert told.twice[cell] <= is_one, f"{text}: {cell}"
        digits = {cell: left & told.first[0][cell] for cell, left in digits.items()}
        names = named(m[1], [*board.rules, _RULES])
        assert next(_ways(board, names, digits, twice), None) is None, text
    else:
        raise Unreadable(text)


def hold_story(board: Houses, position: Position, text: str) -> None:
    """Raise AssertionError if a story is not true, or does not end in its conclusion."""
    told = Told.of(board, position)
    m = re.fullmatch(r"suppose (.+)\. Then (.+)\. So (.+)", text)
    if m is None:
        raise Unreadable(text)
    if one := re.fullmatch(rf"(\d+) were in ({CELLS})", m[1]):
        cells, digit = cells_in(one[2]), int(one[1])
        assert all(digit in told.state[cell] for cell in cells), text
        for other in told.state:
            if all(board.sees(cell, other) for cell in cells):
                told.state[other] -= {digit}
        none = re.fullmatch(rf"(?:neither|none of) (.+) is {digit}", m[3])
        assert none, text
        assert cells_in(none[1]) == cells, text
    else:
        digits, twice = _said(m[1].replace(" were ", " is "), board)
        assert len(digits) + len(twice) == 1, text
        assert all(left <= told.state[cell] for cell, left in digits.items()), text
        assert all(is_one <= told.twice[cell] for cell, is_one in twice.items()), text
        told.conclude(digits, twice)
        told.last = [*digits, *twice]
        concluded = _said(m[3], board)
        denied = {c: told.first[0][c] - left for c, left in digits.items()}
        assert {c: left & told.first[0][c] for c, left in concluded[0].items()} == denied, text
        assert concluded[1] == {c: EITHER - is_one for c, is_one in twice.items()}, text
    *links, end = m[2].split("; then ")
    for link in links:
        _link(told, link)
    _end(told, end)
