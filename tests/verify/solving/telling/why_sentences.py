"""Why a rule or a total strikes, clause after clause: each is true of what is left, and leaves less."""

from __future__ import annotations

import re

from gridassay.encodings.grid import Cell

from .fillings import (
    CAN_BE,
    IN_ORDER,
    LIMIT,
    MAKE,
    OF_HEADS,
    SET,
    SETS,
    Reading,
    can_be,
    in_order,
    nothing_beside,
    of_heads,
    said_sets,
)
from .forms import NUMBERS
from .words import (
    CELL,
    CELLS,
    DIGITS,
    GIVEN,
    GOING,
    Marks,
    Unreadable,
    cells_in,
    conclusion,
    digits_in,
)

AMOUNT = r"(\d+)(?: without (\d+))?"
AMOUNTS = r"\d+(?: without \d+)?(?:, nor \d+(?: without \d+)?)*"
SHORT = rf"{CELL} (?:(?:is )?\d+|at least \d+|at most \d+)"
END = rf"(?:so )?(?:{LIMIT}|{GOING})(?:; (?:{LIMIT}|{GOING}))*"


def why(reading: Reading, text: str) -> tuple[Marks, Marks]:
    """Clause after clause: each is true of what is left, and leaves less; then the conclusion."""
    board, whole = reading.board, text
    places: Marks = set()
    removes: Marks = set()
    bound: list[tuple[str, str]] = []
    of_sums = False
    while text:
        m = re.match(r"(?:, |; |: | )?(?:so )?(?:and )?", text)
        assert m
        rest = text[m.end() :]
        clause = re.match(rf"as ({GIVEN})(?=, )", rest) or (
            re.match(rf"({GIVEN})(?=, so )", rest) if text is whole or of_sums else None
        )
        of_sums = False
        if clause:
            reading.given(clause[1])
        elif clause := re.match(rf"({OF_HEADS})(?=, so )", rest):
            of_heads(reading, clause[1], whole)
        elif clause := re.match(rf"{CAN_BE}(?=, so )", rest):
            can_be(reading, clause, whole)
        elif clause := re.match(
            rf"((?:\d+ as {SET}(?:, | or )?)+) would leave nothing for ({CELL})(?=; )", rest
        ):
            nothing_beside(reading, clause[1], cells_in(clause[2])[0], whole)
        elif clause := re.match(rf"(\d+) in (\w+) cells(?: is ({SETS}))?(?=[,;:])", rest):
            assert {sum(f) for f in reading.every} == {int(clause[1])}, whole
            assert len(reading.cells) == NUMBERS.index(clause[2]), whole
            if clause[3]:
                assert said_sets(clause[3]) == reading.sets(filter(reading.goes, reading.left)), (
                    whole
                )
            of_sums = True
        elif clause := re.match(rf"({DIGITS}) (?:is|are) gone from (both|all \w+|{CELL})", rest):
            cells = cells_in(clause[2]) or [c for c in reading.cells if c not in reading.beside]
            for cell in cells:
                lost = frozenset(digits_in(clause[1]))
                assert not board.candidates[cell] & lost, whole
                reading.has(cell, frozenset(board.plain.digits) - lost)
        elif clause := re.match(rf"it is ({SETS})(?=, )", rest):
            assert said_sets(clause[1]) == reading.sets(filter(reading.goes, reading.left)), whole
        elif clause := re.match(rf"{IN_ORDER}(?=, )", rest):
            in_order(reading, clause, whole)
        elif clause := re.match(
            rf"({DIGITS}) in ({CELL}) needs? ({DIGITS}) in (?:both ({CELL}) and ({CELL})|({CELL}), "
            r"where (?:it is gone|none is left))",
            rest,
        ):
            _needs(reading, clause, whole)
        elif clause := re.match(
            rf"({DIGITS}) in ({CELL}) or ({CELL}) needs? ({DIGITS}) in the other, "
            r"where (?:it is gone|none is left)",
            rest,
        ):
            for cell, other in ((clause[2], clause[3]), (clause[3], clause[2])):
                one = re.fullmatch(
                    rf"({DIGITS}) in ({CELL}) need ({DIGITS}) in ({CELL})",
                    f"{clause[1]} in {cell} need {clause[4]} in {other}",
                )
                assert one is not None, whole
                _needs(reading, one, whole)
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
            both = [words for words in clause.groups() if words]
            bound = [(words, " ".join(one for one in both if one != words)) for words in both]
        elif clause := re.match(rf"(?:{LIMIT})(?:, {SHORT})*(?: and {SHORT})?(?=; |$)", rest):
            # Bounds that are carried on from one cell share the fact before them.
            several = re.sub(rf"(?:, | and )({CELL})(?: is)? (?=at |\d)", r"; \1 is ", clause[0])
            said = conclusion(board, several)
            for words, other in bound:
                _makes(reading, words, said, cells_in(other), whole)
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
            for words, other in bound:
                _makes(reading, words, said, cells_in(other), whole)
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


def _needs(reading: Reading, clause: re.Match[str], whole: str) -> None:
    """With the digit there the cells beside have just these, and cannot."""
    (cell,) = cells_in(clause[2])
    beside = cells_in(" ".join(filter(None, clause.groups()[3:6])))
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


def _makes(
    reading: Reading, words: str, said: tuple[Marks, Marks], named: list[Cell], whole: str
) -> None:
    """The least and the most that some cells add up to, in every filling that is left.

    The ``named`` ones, of which something is said in the same breath, are none of the others.
    """
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
        assert cell not in named, whole
        who = [c for c in reading.cells if c not in (cell, *named)]
        if not words.startswith("the other"):
            who = cells_in(words) or sorted(reading.told)
        elif len(who) > 1:
            assert f"the other {NUMBERS[len(who)]} " in words, whole
        for filling in filter(reading.goes, reading.left):
            made = sum(filling[reading.cells.index(c)] for c in who)
            assert least is None or made >= int(least[1]), f"{whole}: {filling}"
            assert most is None or made <= int(most[1]), f"{whole}: {filling}"
    if words.startswith("the other") and not named:
        (total,) = {sum(f) for f in reading.every}
        for cell, digit in said[1]:
            high = least is not None and digit > total - int(least[1])
            low = most is not None and digit < total - int(most[1])
            assert high or low, f"{whole}: {digit} in {cell}"
