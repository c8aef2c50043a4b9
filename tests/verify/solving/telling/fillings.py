"""The fillings of a rule that a sentence has left so far, and the patterns of what is said of them."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from itertools import combinations, permutations, product

from gridassay.encodings.grid import Cell

from .board import Board
from .forms import zone
from .prover import Facts, excluded
from .words import CELL, CELLS, Marks, cells_in, given_in, spots_in

SET = r"\d+(?:\+\d+)+"
SETS = rf"{SET}(?:, {SET})*(?: or {SET})?"
BOUND = r"at least \d+(?: and at most \d+)?|at most \d+"
MAKE = rf"(?:{CELLS}|they|the other(?: \w+)?) (?:is|make) (?:{BOUND}|\d+)"
LIMIT = rf"{CELLS} (?:(?:is|are) (?:{BOUND}|\d+)|(?:is|are each) \d+(?:, \d+)* or \d+)(?!\d)"
WAY = r"\d+(?:-\d+)+"
WAYS = rf"{WAY}(?:, {WAY})*(?: or {WAY})?"
IN_ORDER = rf"({CELL}(?:-{CELL})*) is ({WAYS})( in \w+ order)?"
WITH = rf"{SET}(?: with \d+ in {CELL}(?:(?:, | and )\d+ in {CELL})*)?"
OF_HEAD = rf"\d+ is {WITH}(?:(?:, or |, | or ){WITH})*"
OF_HEADS = rf"{OF_HEAD}(?:(?:, and |, | and ){OF_HEAD})*"
_AMOUNT_AS = rf"\d+,? as {WITH}(?:(?:, or |, | or ){WITH})*"
CAN_BE = (
    rf"({CELL}) can (?:only )?be ({_AMOUNT_AS}(?:(?:, or |, | or ){_AMOUNT_AS})*)"
    rf"(?:, always( with \d+ in {CELL}(?:(?:, | and )\d+ in {CELL})*))?"
)


def rule_of(board: Board, text: str) -> tuple[str, str] | None:
    """The rule that a sentence begins with, and the rest."""
    phrases = [phrase for phrase in board.plain.rules if text.startswith(phrase)]
    if not phrases:
        return None
    phrase = max(phrases, key=len)
    return phrase, text[len(phrase) :]


class Reading:
    """The fillings of some cells that are left by what a sentence has said so far."""

    def __init__(
        self, board: Board, cells: Sequence[Cell], fillings: Sequence[tuple[int, ...]]
    ) -> None:
        self.board = board
        self.cells = tuple(cells)
        self.every = list(fillings)
        self.left = list(fillings)
        self.beside: dict[Cell, frozenset[int]] = {}
        self.spots: list[tuple[int, frozenset[Cell], frozenset[Cell]]] = []
        self.houses: list[frozenset[Cell]] = []
        self.told: set[Cell] = set()

    def apart(self, houses: Sequence[frozenset[Cell]]) -> None:
        """No digit twice in these houses."""
        self.houses += houses
        pairs = [
            (a, b)
            for a, b in combinations(range(len(self.cells)), 2)
            if any({self.cells[a], self.cells[b]} <= house for house in houses)
        ]
        self.left = [f for f in self.left if all(f[a] != f[b] for a, b in pairs)]
        self.every = self.left

    def has(self, cell: Cell, digits: frozenset[int]) -> None:
        """A cell has one of these digits."""
        if cell in self.cells:
            place = self.cells.index(cell)
            self.left = [f for f in self.left if f[place] in digits]
        else:
            self.beside[cell] = digits

    def given(self, text: str) -> None:
        """Candidates and places as they are listed, which must be those of the board."""
        for cell, digits in given_in(self.board, text).items():
            self.has(cell, digits)
            self.told.add(cell)
        for digit, name, spots in spots_in(text):
            house = zone(self.board, name)
            assert self.board.places(digit, house) == spots, text
            self.spots.append((digit, spots, house))

    def sets(self, fillings: Iterable[tuple[int, ...]]) -> set[tuple[int, ...]]:
        """The digits of fillings, in order."""
        return {tuple(sorted(f)) for f in fillings}

    def beside_ways(self, filling: tuple[int, ...]) -> Iterator[dict[Cell, int]]:
        """The ways to fill the cells beside as well, no digit twice in the houses, each with a place."""
        taken = dict(zip(self.cells, filling, strict=True))
        for ways in product(*self.beside.values()):
            others = dict(zip(self.beside, ways, strict=True))
            whole = taken | others
            if not any(
                whole[a] == whole[b] and any({a, b} <= house for house in self.houses)
                for a, b in combinations(whole, 2)
            ) and self._has_places(whole):
                yield others

    def _has_places(self, whole: dict[Cell, int]) -> bool:
        """Whether each digit of which places are known is, or can still be, in one of them."""
        waiting: list[list[Cell]] = []
        for digit, spots, house in self.spots:
            have = [cell for cell, d in whole.items() if d == digit and cell in house]
            if any(cell not in spots for cell in have):
                return False
            if not have:
                waiting.append([cell for cell in spots if cell not in whole])
        return any(len(set(some)) == len(some) for some in product(*waiting))

    def differ(self, one: Cell, other: Cell) -> bool:
        """Whether two of the cells are never the same, by the rule or the houses that are named."""
        a, b = self.cells.index(one), self.cells.index(other)
        by_rule = not any(f[a] == f[b] for f in self.every)
        return by_rule or any({one, other} <= house for house in self.houses)

    def goes(self, filling: tuple[int, ...]) -> bool:
        """Whether the cells beside can be filled as well, no digit twice in the houses."""
        return any(True for _ in self.beside_ways(filling))

    def excludes(self, cell: Cell, digit: int) -> bool:
        """Whether nothing that is left has the digit in the cell."""
        facts = Facts()
        facts.fillings.append((self.cells, frozenset(self.left)))
        for other, digits in self.beside.items():
            facts.has(other, digits)
        for one, spots, _ in self.spots:
            facts.one_of(one, spots)

        def sees(one: Cell, other: Cell) -> bool:
            return one != other and any({one, other} <= house for house in self.houses)

        return excluded(facts, sees, cell, digit)

    def hold(self, said: tuple[Marks, Marks], text: str) -> None:
        """The conclusion follows from what is left."""
        for cell, digit in said[1]:
            assert self.excludes(cell, digit), f"{text}: {digit} may be in {cell}"
        for cell, digit in said[0]:
            for other in self.board.plain.digits:
                if other != digit:
                    assert self.excludes(cell, other), f"{text}: {other} may be in {cell}"


def said_sets(text: str) -> set[tuple[int, ...]]:
    """Digits that are added up, in order."""
    return {tuple(sorted(map(int, one.split("+")))) for one in re.findall(SET, text)}


def in_order(reading: Reading, clause: re.Match[str], whole: str) -> None:
    """All the ways to fill some cells, in order or in any order, are those that are left."""
    order = [
        reading.cells.index(Cell(*map(int, re.findall(r"\d+", c)))) for c in clause[1].split("-")
    ]
    left = {tuple(f[place] for place in order) for f in reading.left if reading.goes(f)}
    told = {tuple(map(int, way.split("-"))) for way in re.findall(WAY, clause[2])}
    if clause[3]:
        assert {tuple(sorted(f)) for f in left} == {tuple(sorted(f)) for f in told}, whole
        assert all(way in left for f in left for way in permutations(f)), whole
    else:
        assert left == told, whole


def heads(reading: Reading) -> list[tuple[int | None, list[int]]]:
    """The place of a cell that is the sum of the others, and theirs; no head where a total is given."""
    every = range(len(reading.cells))
    found: list[tuple[int | None, list[int]]] = [
        (head, [place for place in every if place != head])
        for head in every
        if all(2 * f[head] == sum(f) for f in reading.every)
    ]
    if len({sum(f) for f in reading.every}) == 1:
        found.append((None, [*every]))
    return found


def can_be(reading: Reading, clause: re.Match[str], whole: str) -> None:
    """The sums of the others that make each digit that a cell can be; what is beside all comes last."""
    sums = re.sub(r"(\d+),? as ", r"\1 is ", clause[2])
    if clause[3]:
        sums = re.sub(OF_HEAD, lambda m: m[0] + clause[3], sums)
    (head,) = cells_in(clause[1])
    assert (" can only be " in clause[0]) is (len(re.findall(OF_HEAD, sums)) == 1), whole
    of_heads(reading, sums, whole, reading.cells.index(head))


def of_heads(reading: Reading, text: str, whole: str, head_is: int | None = None) -> None:
    """The sums by what they make, perhaps with digits beside them, are all that are left.

    Where a cell is that sum (``head_is``), it is said by name.
    """
    open_cells = [cell for cell, digits in reading.beside.items() if len(digits) > 1]
    told = set()
    for one in re.findall(OF_HEAD, text):
        made = int(re.match(r"\d+", one)[0])  # type: ignore[index]
        beside: frozenset[tuple[Cell, int]] = frozenset()
        # What stands beside several sums is said after the last of them.
        for added in reversed(re.findall(WITH, one)):
            (summands,) = said_sets(added)
            beside = (
                frozenset(
                    (Cell(int(row), int(column)), int(digit))
                    for digit, row, column in re.findall(r"(\d+) in r(\d+)c(\d+)", added)
                )
                or beside
            )
            told.add((made, summands, beside))
    ways = []
    for head, body in heads(reading):
        if head_is not in (None, head):
            continue
        left = set()
        for filling in reading.left:
            made = sum(filling) if head is None else filling[head]
            for others in reading.beside_ways(filling):
                beside = frozenset((cell, others[cell]) for cell in open_cells)
                left.add((made, tuple(sorted(filling[p] for p in body)), beside))
        ways.append(left)
    assert told in ways, f"{whole}: {ways}"


def nothing_beside(reading: Reading, sums: str, cell: Cell, whole: str) -> None:
    """Each of these sums can be filled in, and has all that a cell beside can be."""
    for made, summands in re.findall(rf"(\d+) as ({SET})", sums):
        (digits,) = said_sets(summands)
        bodies = [
            body
            for head, body in heads(reading)
            for f in reading.left
            if (sum(f) if head is None else f[head]) == int(made)
            and tuple(sorted(f[p] for p in body)) == digits
        ]
        assert bodies, whole
        assert reading.beside[cell] <= {*digits}, whole
        assert all(any({cell, reading.cells[p]} <= h for h in reading.houses) for p in bodies[0]), (
            whole
        )
