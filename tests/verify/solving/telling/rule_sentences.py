"""Sentences about rules and totals, decided by every filling of a rule's cells."""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import combinations, product

from gridassay.encodings.grid import Cell

from .board import Board
from .claim_sentences import claims
from .clash_sentences import clash
from .prover import Facts, excluded
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
    given_in,
    named,
)

SET = r"\d+(?:\+\d+)+"
SETS = rf"{SET}(?:, {SET})*(?: or {SET})?"
BESIDE = rf"({SET}) beside (\d+(?:-\d+)*)"
BESIDES = rf"{SET} beside [\d-]+(?:, {SET} beside [\d-]+)*(?: or {SET} beside [\d-]+)?"
WAY = r"\d+(?:-\d+)+"
WAYS = rf"{WAY}(?:, {WAY})*(?: or {WAY})?"
BOUND = r"at least \d+(?: and at most \d+)?|at most \d+"
MAKE = rf"(?:{CELLS}|the other(?: \w+)?) (?:is|make) (?:{BOUND}|\d+)"
AMOUNT = r"(\d+)(?: without (\d+))?"
AMOUNTS = r"\d+(?: without \d+)?(?:, nor \d+(?: without \d+)?)*"
LIMIT = rf"{CELLS} (?:(?:is|are) (?:{BOUND}|\d+)|(?:is|are each) \d+(?:, \d+)* or \d+)(?!\d)"
SHORT = rf"{CELL} (?:(?:is )?\d+|at least \d+|at most \d+)"
GOING = rf"{DIGITS} can be removed from {CELLS}"
END = (
    rf"(?:so )?(?:{LIMIT}|{GOING})(?:; (?:{LIMIT}|{GOING}))*(?:, which leaves .+)?|which leaves .+"
)
NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")


def decide(board: Board, text: str) -> tuple[Marks, Marks]:
    """Check what a sentence about a rule or a total says, and give what it concludes."""
    # A house that is in the name of the rule is not named again.
    text = re.sub(r" in (\w+ \w+), where no digit repeats", r" in \1, no digit twice in \1", text)
    text = re.sub(r" in ((\w+) \w+) and the rest of the \2", r" in \1 together with \1", text)
    for check in (
        claims,
        _leftovers,
        _house_total,
        _equal,
        _alternation,
        _used_up,
        _sure,
        _strike,
    ):
        said = check(board, text)
        if said is not None:
            return said
    raise Unreadable(text)


def _rule(board: Board, text: str) -> tuple[str, str] | None:
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
        self.houses: list[frozenset[Cell]] = []

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
        """Candidates as they are listed, which must be those of the board."""
        for cell, digits in given_in(text).items():
            assert self.board.candidates[cell] == digits, f"{cell}: {sorted(digits)}"
            self.has(cell, digits)

    def sets(self, fillings: Sequence[tuple[int, ...]]) -> set[tuple[int, ...]]:
        """The digits of fillings, in order."""
        return {tuple(sorted(f)) for f in fillings}

    def with_beside(self) -> set[tuple[tuple[int, ...], tuple[int, ...]]]:
        """The sets that are left, with what the cells beside can be, no digit twice in the houses."""
        found = set()
        for filling in self.left:
            taken = dict(zip(self.cells, filling, strict=True))
            for ways in product(*self.beside.values()):
                whole = taken | dict(zip(self.beside, ways, strict=True))
                if not any(
                    whole[a] == whole[b] and any({a, b} <= house for house in self.houses)
                    for a, b in combinations(whole, 2)
                ):
                    found.add((tuple(sorted(filling)), ways))
        return found

    def goes(self, filling: tuple[int, ...]) -> bool:
        """Whether the cells beside can be filled as well, no digit twice in the houses."""
        taken = dict(zip(self.cells, filling, strict=True))
        for ways in product(*self.beside.values()):
            whole = taken | dict(zip(self.beside, ways, strict=True))
            if not any(
                whole[a] == whole[b] and any({a, b} <= house for house in self.houses)
                for a, b in combinations(whole, 2)
            ):
                return True
        return False

    def excludes(self, cell: Cell, digit: int) -> bool:
        """Whether nothing that is left has the digit in the cell."""
        facts = Facts()
        facts.fillings.append((self.cells, frozenset(self.left)))
        for other, digits in self.beside.items():
            facts.has(other, digits)

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


def _said_sets(text: str) -> set[tuple[int, ...]]:
    return {tuple(sorted(map(int, one.split("+")))) for one in re.findall(SET, text)}


def why(reading: Reading, text: str) -> tuple[Marks, Marks]:
    """Clause after clause: each is true of what is left, and leaves less; then the conclusion."""
    board, whole = reading.board, text
    places: Marks = set()
    removes: Marks = set()
    bound: list[tuple[str, str]] = []
    while text:
        m = re.match(r"(?:, |; |: | )?(?:so )?(?:and )?", text)
        assert m
        rest = text[m.end() :]
        clause = re.match(rf"with ({GIVEN})(?: it is ({SETS})(?=, |$))?", rest)
        if clause:
            reading.given(clause[1])
            if clause[2]:
                assert _said_sets(clause[2]) == reading.sets(reading.left), whole
        elif clause := re.match(rf"(\d+) in ([\w ]+?) is in ({CELLS})(?= and \d|, )", rest):
            house, spots = _zone(board, clause[2]), frozenset(cells_in(clause[3]))
            assert board.places(int(clause[1]), house) == spots <= {*reading.cells}, whole
            reading.left = [f for f in reading.left if int(clause[1]) in f]
        elif clause := re.match(rf"(\d+) in (\w+) cells is ({BESIDES})(?=, )", rest):
            told = {
                (tuple(sorted(map(int, s.split("+")))), tuple(map(int, b.split("-"))))
                for s, b in re.findall(BESIDE, clause[3])
            }
            assert told == reading.with_beside(), whole
            assert {sum(f) for f in reading.every} == {int(clause[1])}, whole
        elif clause := re.match(rf"(\d+) in (\w+) cells(?: is ({SETS}))?(?=[,;:])", rest):
            assert {sum(f) for f in reading.every} == {int(clause[1])}, whole
            assert len(reading.cells) == NUMBERS.index(clause[2]), whole
            if clause[3]:
                assert _said_sets(clause[3]) == reading.sets(reading.left), whole
        elif clause := re.match(rf"({DIGITS}) (?:is|are) gone from (both|all \w+|{CELL})", rest):
            cells = cells_in(clause[2]) or [c for c in reading.cells if c not in reading.beside]
            for cell in cells:
                lost = frozenset(digits_in(clause[1]))
                assert not board.candidates[cell] & lost, whole
                reading.has(cell, frozenset(board.plain.digits) - lost)
        elif clause := re.match(rf"it is ({SETS})(?=, )", rest):
            assert _said_sets(clause[1]) == reading.sets(reading.left), whole
        elif clause := re.match(rf"({CELL}(?:-{CELL})*) is ({WAYS})( in \w+ order)?(?=, )", rest):
            _reads(reading, clause, whole)
        elif clause := re.match(
            rf"({DIGITS}) in ({CELL}) needs? ({DIGITS}) in (?:both ({CELL}) and ({CELL})|({CELL}), "
            r"where (?:it is|these are) gone)",
            rest,
        ):
            _needs(reading, clause, whole)
        elif clause := re.match(rf"nothing in ({CELL}) goes with ({DIGITS}) in ({CELL})", rest):
            place = reading.cells.index(cells_in(clause[3])[0])
            assert cells_in(clause[1])[0] in reading.cells, whole
            for digit in digits_in(clause[2]):
                assert not any(f[place] == digit for f in reading.every), whole
        elif clause := re.match(rf"nothing goes beside ({DIGITS})", rest):
            for digit in digits_in(clause[1]):
                assert not any(digit in f for f in reading.every), whole
        elif clause := re.match(rf"the other(?: (\w+))? cannot make ({AMOUNTS})(?=, so )", rest):
            amounts = [(int(a), int(d or 0)) for a, d in re.findall(AMOUNT, clause[2])]
            end = re.match(
                rf", so ((?:{LIMIT}|{GOING})(?:; (?:{LIMIT}|{GOING}))*?)(?=; the|$)",
                rest[clause.end() :],
            )
            if end is None:
                raise Unreadable(f"{rest!r} of {whole!r}")
            said = conclusion(board, end[1])
            _cannot_make(reading, amounts, said, NUMBERS.index(clause[1] or "one"), whole)
            places |= said[0]
            removes |= said[1]
            text = rest[clause.end() + end.end() :]
            continue
        elif clause := re.match(
            rf"({CELLS}) cannot (?:be|make) ({DIGITS})(?: more than ({CELLS})(?: together)?)?, so ",
            rest,
        ):
            one = rf"(?:{LIMIT}|{GOING})"
            end = re.match(
                rf"({one}(?:; {one})*?)(?=; r\d+c\d+[^;]* cannot|$)", rest[clause.end() :]
            )
            if end is None:
                raise Unreadable(f"{rest!r} of {whole!r}")
            said = conclusion(board, end[1])
            more, less = cells_in(clause[1]), cells_in(clause[3] or "")
            (cell,) = {c for c, _ in (*said[0], *said[1])}
            assert {cell, *more, *less} == set(reading.cells), whole
            for filling in reading.every:
                of = dict(zip(reading.cells, filling, strict=True))
                assert sum(of[c] for c in more) - sum(of[c] for c in less) == of[cell], whole
            places |= said[0]
            removes |= said[1]
            text = rest[clause.end() + end.end() :]
            continue
        elif clause := re.match(
            rf"({DIGITS}) make (?P<sum>\d+)(?=, so )|(\d+) less ({DIGITS}) is (?P<rest>\d+)(?=, so )",
            rest,
        ):
            _adds_up(reading, clause, rest[clause.end() :], whole)
        elif clause := re.match(rf"({MAKE})(?: and ({MAKE}))?(?=, so )", rest):
            bound = [(words, whole) for words in clause.groups() if words]
        elif clause := re.match(rf"(?:{LIMIT})(?:, {SHORT})*(?: and {SHORT})?(?=; |$)", rest):
            # Bounds that are carried on from one cell share the fact before them.
            several = re.sub(rf"(?:, | and )({CELL})(?: is)? (?=at |\d)", r"; \1 is ", clause[0])
            said = conclusion(board, several)
            for words, _ in bound:
                _makes(reading, words, said, whole)
            bound = []
            places |= said[0]
            removes |= said[1]
            text = rest[len(clause[0]) :]
            continue
        elif clause := re.match(rf"(?:{END})(?=; |$)", rest):
            end = clause[0]
            if bound:
                # Of bounds each has its own facts before it.
                one = re.match(rf"(?:{LIMIT}|{GOING})(?=; |$)", rest)
                if one is None:
                    raise Unreadable(f"{rest!r} of {whole!r}")
                end = one[0]
            said = conclusion(board, end)
            for words, _ in bound:
                _makes(reading, words, said, whole)
            bound = []
            places |= said[0]
            removes |= said[1]
            text = rest[len(end) :]
            continue
        else:
            raise Unreadable(f"{rest!r} of {whole!r}")
        text = rest[clause.end() :]
    reading.hold((places, removes), whole)
    return places, removes


def _adds_up(reading: Reading, clause: re.Match[str], end: str, whole: str) -> None:
    """All cells but the one concluded are known, and their digits are those that are added up."""
    (cell,), value = cells_in(end), int(clause["sum"] or clause["rest"])
    digits = []
    for other in (one for one in reading.cells if one != cell):
        (digit,) = reading.board.candidates[other]
        digits.append(digit)
        reading.has(other, frozenset({digit}))
    less = digits_in(clause[4] or "")
    more = digits_in(clause[1] or clause[3])
    assert sum(more) - sum(less) == value, whole
    if {sum(f) for f in reading.every} == {more[0]} and not clause[1]:
        more = []
    assert sorted([*more, *less]) == sorted(digits), whole


def _reads(reading: Reading, clause: re.Match[str], whole: str) -> None:
    """All the ways to fill some cells, in order or in any order, are those that are left."""
    order = [reading.cells.index(cell) for cell in cells_in(clause[1])]
    left = {tuple(f[place] for place in order) for f in reading.left if reading.goes(f)}
    told = {tuple(map(int, way.split("-"))) for way in re.findall(WAY, clause[2])}
    if clause[3]:
        assert {tuple(sorted(f)) for f in left} == {tuple(sorted(f)) for f in told}, whole
        swaps = _swaps(len(order))
        assert all(tuple(f[p] for p in swap) in left for f in left for swap in swaps), whole
    else:
        assert left == told, whole


def _cannot_make(
    reading: Reading,
    amounts: list[tuple[int, int]],
    said: tuple[Marks, Marks],
    count: int,
    whole: str,
) -> None:
    """The other cells make none of these amounts, and each is what some digit would leave them."""
    touched = {cell for cell, _ in (*said[0], *said[1])}
    for cell in touched:
        others = [c for c in reading.cells if c != cell]
        assert len(others) == count, whole
        (total,) = {sum(f) for f in reading.every}
        gone = {d for c, d in said[1] if c == cell}
        gone |= {d for c, e in said[0] if c == cell for d in reading.board.candidates[c] if d != e}
        assert {total - amount for amount, _ in amounts} == gone, whole
        for amount, without in amounts:
            assert without in (0, total - amount), whole
            place = reading.cells.index(cell)
            assert not any(f[place] == total - amount for f in reading.left), whole


def _swaps(count: int) -> list[tuple[int, ...]]:
    """Orders that exchange two places each: closed under these is closed under all."""
    found = []
    for one, other in combinations(range(count), 2):
        order = list(range(count))
        order[one], order[other] = other, one
        found.append(tuple(order))
    return found


def _needs(reading: Reading, clause: re.Match[str], whole: str) -> None:
    """With the digit there the cells beside have just these, and cannot."""
    (cell,) = cells_in(clause[2])
    beside = cells_in(" ".join(filter(None, clause.groups()[3:])))
    place = reading.cells.index(cell)
    for digit in digits_in(clause[1]):
        ways = [f for f in reading.every if f[place] == digit]
        if len(beside) == 1:
            # What goes beside it by this pair alone, whatever the other cells of the rule are.
            assert not reading.board.candidates[beside[0]] & set(digits_in(clause[3])), whole
            other = reading.cells.index(beside[0])
            assert {f[other] for f in ways} <= set(digits_in(clause[3])), whole
            reading.has(beside[0], frozenset(reading.board.candidates[beside[0]]))
        else:
            for one in beside:
                reading.has(one, frozenset(reading.board.candidates[one]))
            assert any(set(beside) <= house for house in reading.houses), whole


def _makes(reading: Reading, words: str, said: tuple[Marks, Marks], whole: str) -> None:
    """The least and the most that some cells add up to, in every filling that is left."""
    least = re.search(r"at least (\d+)", words)
    most = re.search(r"at most (\d+)", words)
    if exact := re.search(r"(?:is|make) (\d+)$", words):
        least = most = exact
    if one := re.match(rf"({CELL}) is ", words):
        # A cell's own bound is seen on the board.
        (cell,) = cells_in(one[1])
        low, high = int(least[1]) if least else 0, int(most[1]) if most else 99
        over = [d for d in reading.board.candidates[cell] if not low <= d <= high]
        # What lies beyond is gone, or goes with a cell beside it that is named.
        assert all(reading.excludes(cell, digit) for digit in over), whole
        reading.has(cell, frozenset(range(low, high + 1)))
        return
    touched = {cell for cell, _ in (*said[0], *said[1])}
    for cell in touched:
        who = [c for c in reading.cells if c != cell]
        if not words.startswith("the other"):
            who = cells_in(words)
        elif len(who) > 1:
            assert f"the other {NUMBERS[len(who)]} " in words, whole
        for filling in filter(reading.goes, reading.left):
            made = sum(filling[reading.cells.index(c)] for c in who)
            assert least is None or made >= int(least[1]), f"{whole}: {filling}"
            assert most is None or made <= int(most[1]), f"{whole}: {filling}"
    if words.startswith("the other"):
        (total,) = {sum(f) for f in reading.every}
        for cell, digit in said[1]:
            high = least is not None and digit > total - int(least[1])
            low = most is not None and digit < total - int(most[1])
            assert high or low, f"{whole}: {digit} in {cell}"


def _strike(board: Board, text: str) -> tuple[Marks, Marks] | None:
    found = _rule(board, text)
    if found is None:
        return None
    phrase, rest = found
    reading = Reading(board, *board.plain.fillings(phrase))
    names = [*board.plain.houses, *board.plain.rules]
    if " would " in rest:
        return _would(board, reading, names, rest)
    joint = re.fullmatch(r" together with (.+?)(?:, with (.+?))?, ((?:so|which leaves) .+)", rest)
    if joint:
        return _joint(board, reading, joint, named(joint[1], names), text)
    if m := re.match(r", no digit twice in (.+?): ", rest):
        reading.apart([_zone(board, name) for name in named(m[1], names)])
        rest = rest[m.end() :]
    elif rest.startswith(": "):
        rest = rest[2:]
    else:
        return None
    return why(reading, rest)


def _would(
    board: Board, reading: Reading, names: Sequence[str], rest: str
) -> tuple[Marks, Marks] | None:
    """Check a sentence about the consequences of a candidate by the rule, perhaps with houses."""
    m = re.fullmatch(r"(?: together with (.+?)|, no digit twice in (.+?))?: (.+)", rest)
    if m is None:
        return None
    houses = {name: _zone(board, name) for name in named(m[1] or m[2] or "", names)}
    reading.apart(list(houses.values()))
    return clash(board, reading.cells, reading.left, houses, m[3])


def _zone(board: Board, name: str) -> frozenset[Cell]:
    if name in board.plain.houses:
        return board.plain.houses[name]
    return frozenset(board.plain.rules[name].where())


def _joint(
    board: Board, reading: Reading, joint: re.Match[str], names: list[str], text: str
) -> tuple[Marks, Marks]:
    """A rule with houses whole: candidates and places are given, and every way is gone through."""
    said = conclusion(board, joint[3])
    facts = Facts()
    given = joint[2] or ""
    spots = re.findall(rf"(\d+) in ([\w ]+?) at ({CELLS})(?=, | and |$)", given)
    for digit, name, cells in spots:
        assert board.places(int(digit), _zone(board, name)) == frozenset(cells_in(cells)), text
        facts.one_of(int(digit), cells_in(cells))
    left = re.sub(rf"(\d+) in ([\w ]+?) at ({CELLS})(?=, | and |$)", "", given)
    for cell, digits in given_in(left).items():
        assert board.candidates[cell] == digits, text
        facts.has(cell, digits)
    assert not re.sub(rf"{CELL} \(\d+\)|, | and |and ", "", left).strip(), text
    facts.fillings.append((reading.cells, frozenset(reading.left)))
    zones = [_zone(board, name) for name in names]

    def sees(one: Cell, other: Cell) -> bool:
        return one != other and any({one, other} <= house for house in zones)

    for house in zones:
        for digit in board.plain.digits:
            # A house has each digit somewhere; if it is placed that is plain.
            where = [c for c in house if c in board.placed and digit in board.candidates[c]]
            if where:
                facts.has(where[0], {digit})
    for cell, digit in said[1]:
        assert excluded(facts, sees, cell, digit), f"{text}: {digit} may be in {cell}"
    for cell, digit in said[0]:
        for other in board.plain.digits:
            assert other == digit or excluded(facts, sees, cell, other), f"{text}: {other}"
    return said


def _sure(board: Board, text: str) -> tuple[Marks, Marks] | None:
    ending = rf"({DIGITS})(?: (?:is|are))?,? in ({CELLS}), (so .+)"
    m = re.fullmatch(rf"(.+?): ()(.+); its {ending}", text)
    m = m or re.fullmatch(rf"(.+?)(,)?() must hold {ending}", text)
    found = _rule(board, text)
    if m is None or found is None:
        return None
    phrase = found[0]
    reading = Reading(board, *board.plain.fillings(phrase))
    names = [*board.plain.houses, *board.plain.rules]
    if apart := re.search(r", no digit twice in (.+?)(?=, must hold|: )", text):
        reading.apart([_zone(board, name) for name in named(apart[1], names)])
    if m[3]:
        _held(reading, m[3], text)
    for cell in reading.cells:
        reading.has(cell, board.candidates[cell])
    said = conclusion(board, m[6])
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


def _held(reading: Reading, ways: str, whole: str) -> None:
    """Check the sets of digits that are left to a rule, or the ways to fill it."""
    if lead := re.match(rf"with ({GIVEN}), ", ways):
        reading.given(lead[1])
        ways = ways[lead.end() :]
    if clause := re.fullmatch(rf"({CELL}(?:-{CELL})*) is ({WAYS})( in \w+ order)?", ways):
        _reads(reading, clause, whole)
        return
    if lead := re.match(rf"({DIGITS}) (?:is|are) gone from (?:both|all \w+), so ", ways):
        _gone(reading, lead[1], whole)
        ways = ways[lead.end() :]
    first = re.match(rf"(\d+) in (\w+) cells is ({SETS})", ways)
    assert first, whole
    assert _said_sets(first[3]) == reading.sets(reading.left), whole
    ways = ways[first.end() :]
    if more := re.fullmatch(rf"; with ({GIVEN}) it is ({SETS})", ways):
        reading.given(more[1])
        assert _said_sets(more[2]) == reading.sets(reading.left), whole
    elif more := re.fullmatch(
        rf"; ({DIGITS}) (?:is|are) gone from (?:both|all \w+), so it is ({SETS})", ways
    ):
        _gone(reading, more[1], whole)
        assert _said_sets(more[2]) == reading.sets(reading.left), whole
    elif ways:
        raise Unreadable(ways)


def _gone(reading: Reading, digits: str, text: str) -> None:
    lost = frozenset(digits_in(digits))
    for cell in reading.cells:
        assert not reading.board.candidates[cell] & lost, text
        reading.has(cell, frozenset(reading.board.plain.digits) - lost)


def _used_up(board: Board, text: str) -> tuple[Marks, Marks] | None:
    m = re.fullmatch(
        rf"(.+?) must (?:each )?hold ({DIGITS})(?:, and ({CELLS}) (?:is one|are two) of these)?: "
        rf"together they use up ({DIGITS}) in (.+?), (so .+)",
        text,
    )
    if m is None:
        return None
    digits, house = set(digits_in(m[2])), _zone(board, m[5])
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


def _alternation(board: Board, text: str) -> tuple[Marks, Marks] | None:
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


def _equal(board: Board, text: str) -> tuple[Marks, Marks] | None:
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


def _leftovers(board: Board, text: str) -> tuple[Marks, Marks] | None:
    m = re.fullmatch(
        rf"(.+?) against (.+?): ({CELLS}) left over on one side and ({CELLS}) on the other hold the same "
        r"digits, (so .+)",
        text,
    )
    if m is None:
        return None
    sides = [[_zone(board, name) for name in named(m[n], board.plain.houses)] for n in (1, 2)]
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


HOUSES = r"(?:(?:rows|columns|boxes|regions) [\w, ]+?|[a-z]+ [\w]+(?:(?:, | and )[a-z]+ \w+)*?)"


def _houses(board: Board, text: str) -> list[frozenset[Cell]]:
    m = re.fullmatch(r"(rows|columns|boxes|regions) (.+)", text)
    if m is None:
        return [board.plain.houses[name] for name in named(text, board.plain.houses)]
    kind = {"boxes": "box"}.get(m[1], m[1][:-1])
    if run := re.fullmatch(r"(\d+) to (\d+)", m[2]):
        names = [str(n) for n in range(int(run[1]), int(run[2]) + 1)]
    else:
        names = re.findall(r"\w+", m[2].replace(" and ", ", "))
    return [board.plain.houses[f"{kind} {name}"] for name in names]


def _house_total(board: Board, text: str) -> tuple[Marks, Marks] | None:
    end = r", so (?P<result>.+?)(?:: (?P<why>.+))?"
    inner = re.fullmatch(
        rf"(?P<houses>{HOUSES}) makes? (?P<sum>\d+); (?P<cages>.+?) makes? (?P<made>\d+){end}", text
    )
    outer = re.fullmatch(
        rf"(?P<cages>.+?) makes? (?P<made>\d+)(?:, leave out (?P<left>{CELLS}))? and stick out by "
        rf"(?P<out>{CELLS})(?: alone)?; (?P<houses>{HOUSES}) makes? (?P<sum>\d+){end}",
        text,
    )
    m = inner or outer
    if m is None:
        return None
    houses = _houses(board, m["houses"])
    union = [cell for house in houses for cell in house]
    assert len(union) == len(set(union)), text
    assert int(m["sum"]) == len(houses) * sum(board.plain.digits), text
    every = {p: n for p in board.plain.rules if (n := board.plain.total(p)) is not None}
    inside = [p for p in every if {*board.plain.fillings(p)[0]} <= set(union)]
    touching = [p for p in every if {*board.plain.fillings(p)[0]} & set(union)]
    if re.match(r"the \w+ cages in (?!and)", m["cages"]) and m["cages"] not in every:
        cages = inside
    elif re.match(r"the \w+ cages (?:that cover|in and across) ", m["cages"]):
        cages = touching
    else:
        cages = named(m["cages"], every)
    if counted := re.match(r"the (\w+) cages ", m["cages"]):
        assert counted[1] == NUMBERS[len(cages)], text
    covered = [cell for p in cages for cell in board.plain.fillings(p)[0]]
    assert len(covered) == len(set(covered)), text
    assert int(m["made"]) == sum(every[p] for p in cages), text
    left, out = set(union) - set(covered), set(covered) - set(union)
    if inner:
        assert not out, text
    else:
        assert set(cells_in(m["left"] or "")) == left, text
        assert set(cells_in(m["out"])) == out, text
    cells = sorted(left | out)
    weights = [1 if cell in left else -1 for cell in cells]
    rest = int(m["sum"]) - int(m["made"])
    _result(m["result"], left, out, rest, text)
    zones = [*houses, *(frozenset(board.plain.fillings(p)[0]) for p in cages)]
    pairs = [
        (a, b)
        for a, b in combinations(range(len(cells)), 2)
        if any({cells[a], cells[b]} <= zone for zone in zones)
    ]
    fillings = [
        f
        for f in product(board.plain.digits, repeat=len(cells))
        if sum(w * d for w, d in zip(weights, f, strict=True)) == rest
        and all(f[a] != f[b] for a, b in pairs)
    ]
    reading = Reading(board, cells, fillings)
    if m["why"]:
        return why(reading, m["why"])
    said = conclusion(board, m["result"])
    reading.hold(said, text)
    return said


def _result(words: str, left: set[Cell], out: set[Cell], rest: int, text: str) -> None:
    """The total of the cells left over, as it is said."""
    if m := re.fullmatch(rf"({CELLS}) (?:is|make) (\d+)", words):
        assert set(cells_in(m[1])) == left | out, text
        assert not (left and out), text
        assert int(m[2]) == (rest if left else -rest), text
        return
    m = re.fullmatch(
        rf"({CELLS}) (?:is|make) (?:(\d+) more than|as much as) ({CELLS})(?: together)?", words
    )
    if m is None:
        raise Unreadable(words)
    more, less = set(cells_in(m[1])), set(cells_in(m[3]))
    assert (more, less) == ((left, out) if rest >= 0 else (out, left)), text
    assert int(m[2] or 0) == abs(rest), text
