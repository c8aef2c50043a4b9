"""Sentences about the places of digits in houses: singles, locked sets, fish, links."""

from __future__ import annotations

import re
from itertools import combinations

from gridassay.encodings.grid import Cell

from .board import Board
from .forms import HOUSE, NUMBERS, at_places, form, with_candidates, zone
from .prover import Facts
from .sights import WAY, sees_by, sights
from .words import CELL, CELLS, DIGITS, Unreadable, cells_in, digits_in, each_house, named


@form(rf"only (\d+) is missing from ({HOUSE})")
def _last(board: Board, m: re.Match[str]) -> Facts:
    cells = zone(board, m[2])
    assert len(cells - board.placed) == 1
    assert not any(board.candidates[cell] == {int(m[1])} for cell in cells & board.placed)
    facts = Facts()
    facts.one_of(int(m[1]), board.places(int(m[1]), cells))
    return facts


@form(rf"every digit but (\d+) is gone from ({CELL})")
def _naked(board: Board, m: re.Match[str]) -> Facts:
    (cell,) = cells_in(m[2])
    assert board.candidates[cell] == {int(m[1])}
    facts = Facts()
    with_candidates(board, facts, [cell])
    return facts


@form(rf"(\d+) (?:in|on) ({HOUSE}): (.+)")
def _hidden(board: Board, m: re.Match[str]) -> Facts:
    digit, house = int(m[1]), zone(board, m[2])
    places = board.places(digit, house)
    facts = Facts()
    facts.one_of(digit, places)
    (cell,) = places
    others = house - board.placed - {cell}
    if m[3] == "no other cell is open":
        assert not others, m[0]
    elif lost := re.fullmatch(rf"the other open cells?, ({CELLS}), (?:has|have) lost it", m[3]):
        assert set(cells_in(lost[1])) == others, m[0]
    elif many := re.fullmatch(r"the other (\w+) open cells have lost it", m[3]):
        assert NUMBERS.index(many[1]) == len(others), m[0]
    else:
        _blocked(board, digit, house, cell, m[3])
    return facts


HOLDER = (
    rf"the (\d+) in ({CELL}), (?:(a \w+'s move) from ({CELLS})|seen by ({CELLS}) ({WAY}))(?:,|$)"
)


def _blocked(board: Board, digit: int, house: frozenset[Cell], cell: Cell, text: str) -> None:
    """Check the blockers of the other open cells, each blocker needed, and those that are left."""
    words = re.fullmatch(
        r"(.+?),? blocks? (the rest(?: but .+)?|\w+ cells?, and the other .+)", text
    )
    if not words:
        raise Unreadable(text)
    others = house - board.placed - {cell}
    blocked: list[set[Cell]] = []
    for m in re.finditer(HOLDER, words[1]):
        (holder,) = cells_in(m[2])
        assert holder in board.placed, text
        assert board.candidates[holder] == {digit} == {int(m[1])}, text
        seen = set(cells_in(m[4] or m[5]))
        assert all(sees_by(board, f"{m[3]} away" if m[3] else m[6], holder, c) for c in seen), text
        blocked.append(seen)
    holders = [c for c in board.placed if digit in board.candidates[c] and c not in house]
    houses = re.sub(r"(^|,? and|,) $", "", re.sub(HOLDER, "", words[1]).rstrip(", and") + " ")
    blocked += [
        {c for c in others for h in holders if name in board.plain.by(c, h)}
        for name in named(each_house(houses.strip(" ,")), [*board.plain.houses, *board.plain.rules])
    ]
    union = set().union(*blocked)
    assert union <= others, text
    for place in range(len(blocked)):
        assert union != set().union(*blocked[:place], *blocked[place + 1 :]), f"{text}: one is idle"
    if words[2] == "the rest":
        assert union == others, text
        return
    left = others - union
    if count := re.fullmatch(r"(\w+) cells?, and the other (\w+) have lost it", words[2]):
        assert (NUMBERS.index(count[1]), NUMBERS.index(count[2])) == (len(union), len(left)), text
        return
    some = re.fullmatch(rf"the rest but ({CELLS}), which cannot be {digit}", words[2])
    assert some is not None, text
    assert set(cells_in(some[1])) == left, text


@form(
    rf"(\d+) (?:in|on) ({HOUSE}) is confined to ({CELLS})"
    rf"(?:, (both|all \w+) (?:(a \w+'s move) from ({CELLS})|({WAY}))|; (.+))"
)
def _locked(board: Board, m: re.Match[str]) -> Facts:
    facts, cells = Facts(), cells_in(m[3])
    at_places(board, facts, int(m[1]), m[2], cells)
    if m[8]:
        assert all(seen == set(cells) for seen in sights(board, m[8], cells).values()), m[0]
        return facts
    assert m[4] == ("both" if len(cells) == 2 else f"all {NUMBERS[len(cells)]}"), m[0]
    if m[5]:
        far = cells_in(m[6])
        assert all(sees_by(board, f"{m[5]} away", a, b) for a in cells for b in far), m[0]
    else:
        assert all(sees_by(board, m[7], *pair) for pair in combinations(cells, 2)), m[0]
        assert zone(board, m[7][3:]).issuperset(cells)
    return facts


@form(rf"(?:in|on) ({HOUSE}), ({CELLS}) hold ({DIGITS}) between them")
def _naked_set(board: Board, m: re.Match[str]) -> Facts:
    facts, cells, digits = Facts(), cells_in(m[2]), digits_in(m[3])
    assert zone(board, m[1]).issuperset(cells)
    assert len(cells) == len(digits)
    assert frozenset().union(*(board.candidates[cell] for cell in cells)) == frozenset(digits)
    with_candidates(board, facts, cells)
    return facts


@form(rf"(?:in|on) ({HOUSE}), ({DIGITS}) can only be in ({CELLS})")
def _hidden_set(board: Board, m: re.Match[str]) -> Facts:
    facts, cells, digits = Facts(), cells_in(m[3]), digits_in(m[2])
    assert len(cells) == len(digits)
    for digit in digits:
        places = board.places(digit, zone(board, m[1]))
        assert places <= frozenset(cells)
        facts.one_of(digit, places)
    return facts


@form(r"(\d+) in (.+?) lies in (.+?) only")
def _fish(board: Board, m: re.Match[str]) -> Facts:
    return _lying(board, int(m[1]), m[2], m[3], [])


@form(rf"(\d+) in (.+?) lies in (.+?) or in ({CELLS}); (.+)")
def _finned(board: Board, m: re.Match[str]) -> Facts:
    fins = cells_in(m[4])
    assert all(seen == set(fins) for seen in sights(board, m[5], fins).values())
    return _lying(board, int(m[1]), m[2], m[3], cells_in(m[4]))


def _lying(board: Board, digit: int, bases: str, covers: str, fins: list[Cell]) -> Facts:
    facts = Facts()
    names = [*board.plain.houses]
    inside = frozenset().union(*(zone(board, name) for name in named(covers, names)))
    for base in named(bases, names):
        places = board.places(digit, zone(board, base))
        assert places <= inside | frozenset(fins)
        facts.one_of(digit, places)
    assert all(digit in board.candidates[cell] for cell in fins)
    return facts


@form(
    rf"(?:in|on) ({HOUSE}), (\d+) can only be in ({CELLS}), and (?:in|on) ({HOUSE}) only in ({CELLS}); "
    rf"({CELL}) and ({CELL}) (?:are both ({WAY})|are (a \w+'s move) apart|differ, ({WAY})), and not both "
    rf"(\d+): one of ({CELLS}) is (\d+), and ({CELLS}) sees? both"
)
def _two_links(board: Board, m: re.Match[str]) -> Facts:
    facts, digit = Facts(), int(m[2])
    near, far = [*cells_in(m[6]), *cells_in(m[7])], cells_in(m[12])
    assert sees_by(board, m[8] or m[10] or f"{m[9]} away", *near)
    assert digit == int(m[11]) == int(m[13])
    for name, cells in ((m[1], cells_in(m[3])), (m[4], cells_in(m[5]))):
        places = board.places(digit, zone(board, name))
        assert places == set(cells)
        assert len(places & set(near)) == len(places & set(far)) == 1
        facts.one_of(digit, places)
    assert all(board.plain.sees(one, cell) for one in far for cell in cells_in(m[14]))
    return facts


@form(
    rf"({CELL}) and ({CELL}) can each only be (\d+) or (\d+), and (?:in|on) ({HOUSE}), (\d+) can only be "
    rf"in ({CELLS}); (.+): they are not both (\d+), and one is (\d+)"
)
def _w_wing(board: Board, m: re.Match[str]) -> Facts:
    facts, ends = Facts(), [*cells_in(m[1]), *cells_in(m[2])]
    for end in ends:
        assert board.candidates[end] == {int(m[3]), int(m[4])} == {int(m[9]), int(m[10])}
    with_candidates(board, facts, ends)
    cells = cells_in(m[7])
    seen = sights(board, m[8])
    assert seen.keys() <= set(ends)
    assert set().union(*seen.values()) == set(cells), m[0]
    assert m[6] == m[9]
    at_places(board, facts, int(m[6]), m[5], cells)
    return facts


@form(
    rf"(\d+) in ({HOUSE}) is confined to ({CELLS}), and in ({HOUSE}) to ({CELLS}); with (\d+) in "
    rf"({CELLS}) it would be in ({CELLS}), and as (.+), it would have no place in ({HOUSE})"
)
def _empty_rectangle(board: Board, m: re.Match[str]) -> Facts:
    facts, digit = Facts(), int(m[1])
    assert (digit, m[4]) == (int(m[6]), m[10])
    at_places(board, facts, digit, m[2], cells_in(m[3]))
    at_places(board, facts, digit, m[4], cells_in(m[5]))
    targets, left = cells_in(m[7]), cells_in(m[8])
    in_box = set(cells_in(m[3]))
    for target in targets:
        assert {c for c in in_box if not board.plain.sees(c, target)} <= set(left) <= in_box, m[0]
    seen = sights(board, m[9], left)
    assert set(seen) == set(cells_in(m[5])), m[0]
    assert sorted(map(sorted, seen.values())) == sorted([sorted(left), sorted(targets)]), m[0]
    return facts
