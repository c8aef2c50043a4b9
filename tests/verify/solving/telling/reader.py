"""Reads the sentence of a step back and decides it from the board and the plain reading of the rules.

Every form of sentence is a pattern with a function that checks what it says, fact by fact, and gives
the facts to a plain prover (``prover.py``): the conclusion must follow from what is said, by nothing
else than which cells cannot be the same. A sentence of no known form is an error.
"""

from __future__ import annotations

import re
from itertools import combinations, pairwise

from gridassay.encodings.grid import Cell

from . import (
    place_sentences,  # noqa: F401  (enters its forms)
    rule_sentences,
)
from .board import Board
from .forms import FORMS, HOUSE, form, with_candidates, zone
from .prover import Facts, excluded
from .sights import WAY, sees_by
from .words import (
    CELL,
    CELLS,
    DIGITS,
    LEFT,
    Unreadable,
    cells_in,
    conclusion,
    digits_in,
    left_in,
)


def hold(board: Board, text: str, places: set[object], removes: set[object]) -> None:
    """Raise AssertionError if the sentence is not true, or does not say just these conclusions."""
    if text.startswith("as one solution is promised"):
        said = conclusion(board, text[text.rindex(", so ") + 2 :])
        _twin(board, text)
        assert said == (places, removes), text
        return
    for pattern, check in FORMS:
        cut = [m.start() for m in re.finditer(r", so ", text)]
        for start in cut[:1] if check.__name__.startswith("_first") else cut[::-1]:
            match = pattern.fullmatch(text[:start])
            if match is None:
                continue
            named = cells_in(" ".join(dict.fromkeys(re.findall(CELL, text[:start]))))
            said = conclusion(board, text[start + 2 :], named)
            assert said == (places, removes), f"{text}: says {said}"
            facts = check(board, match)
            _follows(board, facts, said, text)
            return
    said = rule_sentences.decide(board, text)
    assert said == (places, removes), f"{text}: says {said}"


def _follows(board: Board, facts: Facts, said: tuple[set, set], text: str) -> None:  # type: ignore[type-arg]
    sees = board.plain.sees
    for cell in board.placed:
        facts.has(cell, board.candidates[cell])
    for cell, digit in said[1]:
        assert excluded(facts, sees, cell, digit), f"{text}: {digit} may be in {cell}"
    for cell, digit in said[0]:
        for other in board.plain.digits:
            if other != digit:
                assert excluded(facts, sees, cell, other), f"{text}: {other} may be in {cell}"


@form(
    rf"pivot ({CELL}) is ({LEFT}) and sees "
    rf"({CELL}, which is {LEFT}(?:, (?:and )?{CELL}, which is {LEFT})+): "
    r"whatever it is, one of the (three|four) is (\d+)"
)
def _wing(board: Board, m: re.Match[str]) -> Facts:
    facts = Facts()
    (pivot,), pincers = cells_in(m[1]), cells_in(m[3])
    assert all(board.plain.sees(pivot, pincer) for pincer in pincers)
    assert len(pincers) + 1 == {"three": 3, "four": 4}[m[4]]
    left = re.findall(rf"which is ({LEFT})(?=$|, (?:and )?r)", m[3])
    for cell, digits in zip([pivot, *pincers], [m[2], *left], strict=True):
        assert board.candidates[cell] == left_in(board, digits), f"{cell}: {digits}"
        facts.has(cell, board.candidates[cell])
    # One of them is the digit: with it gone from all nothing is left.
    without = Facts({c: d - {int(m[5])} for c, d in facts.candidates.items()})
    assert all(excluded(without, board.plain.sees, pivot, d) for d in board.plain.digits)
    return facts


@form(rf"({CELLS}) alternate between (\d+) and (\d+), and the two ends differ")
def _remote(board: Board, m: re.Match[str]) -> Facts:
    facts, cells = Facts(), cells_in(m[1])
    for cell in cells:
        assert board.candidates[cell] == {int(m[2]), int(m[3])}
    assert len(cells) % 2 == 0
    with_candidates(board, facts, cells)
    return facts


NODE = rf"\d+ in {CELLS}"


def _node(text: str) -> tuple[int, frozenset[Cell]]:
    digit, _, cells = text.partition(" in ")
    return int(digit), frozenset(cells_in(cells))


def _strong(board: Board, facts: Facts, one: str, other: str) -> bool:
    """Whether one of two nodes must be true, and why: then it is a fact."""
    (d, cells), (e, others) = _node(one), _node(other)
    if d == e:
        if any(board.places(d, house) == cells | others for house in board.plain.houses.values()):
            facts.one_of(d, cells | others)
            return True
        return False
    (cell,) = cells
    if cells == others and board.candidates[cell] == {d, e}:
        facts.has(cell, {d, e})
        return True
    return False


FALSE = rf"({CELL})(?:, ({WAY}),)? is not (\d+)|(\d+) is not in ({CELLS})"
TRUE = rf"({HOUSE}) has its (\d+) in ({CELLS})|it is (\d+)"
ENDS = (
    rf"one of ({CELLS}) is (\d+), and ({CELLS}) sees? (?:both|all \w+)"
    rf"|({CELLS}) is (\d+) or ({CELLS}) is (\d+), and either way (.+)"
    r"|and back to the start: a closed loop"
)


@form(rf"if (.+?); ({ENDS})")
def _chain(board: Board, m: re.Match[str]) -> Facts:
    facts = Facts()
    nodes: list[str] = []
    for hop in m[1].split("; "):
        parts = re.fullmatch(rf"(?:then )?(?P<gone>{FALSE}),(?: so)? (?P<follows>{TRUE})", hop)
        if parts is None:
            raise Unreadable(hop)
        gone, follows = re.fullmatch(FALSE, parts["gone"]), re.fullmatch(TRUE, parts["follows"])
        assert gone is not None
        assert follows is not None
        false = f"{gone[3] or gone[4]} in {gone[1] or gone[5]}"
        true = f"{follows[2] or follows[4]} in {follows[3] or gone[1]}"
        if gone[2]:
            held = _node(nodes[-1])[1]
            assert all(sees_by(board, gone[2], cell, *cells_in(gone[1])) for cell in held), hop
        assert _strong(board, facts, false, true), hop
        if follows[1]:
            (d, cells), (_, others) = _node(false), _node(true)
            assert board.places(d, zone(board, follows[1])) == cells | others, hop
        nodes += [false, true]
    assert len(set(nodes)) == len(nodes)
    weak = list(zip(nodes[1::2], nodes[2::2], strict=False))
    (d, cells), (e, others) = _node(nodes[0]), _node(nodes[-1])
    if m[3]:
        assert d == e == int(m[4]), m[0]
        assert cells | others == set(cells_in(m[3])), m[0]
        assert all(board.plain.sees(t, c) for t in cells_in(m[5]) for c in cells_in(m[3])), m[0]
    elif m[6]:
        assert (cells, d) == (set(cells_in(m[6])), int(m[7])), m[0]
        assert (others, e) == (set(cells_in(m[8])), int(m[9])), m[0]
    else:
        weak.append((nodes[-1], nodes[0]))
    for one, other in weak:
        assert _weak(board, one, other), f"{one}, {other}"
    return facts


def _weak(board: Board, one: str, other: str) -> bool:
    (d, cells), (e, others) = _node(one), _node(other)
    if d == e:
        return all(board.plain.sees(c, b) for c in cells for b in others)
    return cells == others and len(cells) == 1


@form(rf"colour in turn ({NODE}(?:, {NODE})*): the two ends differ")
def _trap(board: Board, m: re.Match[str]) -> Facts:
    facts = Facts()
    nodes = re.findall(rf"\d+ in {CELL}", m[1])
    assert len(nodes) % 2 == 0
    for one, other in pairwise(nodes):
        assert _strong(board, facts, one, other), f"{one}, {other}"
    return facts


@form(
    rf"colour one way (.+?); and the other way (.+?): ({NODE}) and ({NODE}), of one colour, cannot both "
    r"be true"
)
def _wrap(board: Board, m: re.Match[str]) -> Facts:
    facts = Facts()
    false, true = (re.findall(rf"\d+ in {CELL}", m[place]) for place in (1, 2))
    assert m[3] in false
    assert m[4] in false
    assert _weak(board, m[3], m[4])
    linked, left = {m[3]}, {*false, *true} - {m[3]}
    while left:
        further = {
            other
            for other in left
            for one in linked
            if (one in false) is not (other in false) and _strong(board, facts, one, other)
        }
        assert further, f"{left} hang on nothing"
        linked |= further
        left -= further
    return facts


_SET = rf"({CELLS}), with ({DIGITS}),"


@form(
    rf"{_SET} and {_SET} are each one digit short of locked, and cannot both hold (\d+)"
    r"(?:: one of them holds (?P<z>\d+)|, nor both (?P<y>\d+): one holds (?P<one>\d+), the other "
    r"(?P<other>\d+), and both are locked)"
)
def _almost_locked(board: Board, m: re.Match[str]) -> Facts:
    facts = Facts()
    sets = [(cells_in(m[1]), digits_in(m[2])), (cells_in(m[3]), digits_in(m[4]))]
    for cells, digits in sets:
        assert len(digits) == len(cells) + 1
        assert frozenset().union(*(board.candidates[c] for c in cells)) == frozenset(digits)
        with_candidates(board, facts, cells)
    linked = digits_in(f"{m[5]} {m['y'] or ''}")
    if m["y"]:
        assert digits_in(f"{m['one']} {m['other']}") == linked
    else:
        assert int(m["z"]) not in linked
        linked_or_left = [*linked, int(m["z"])]
        assert all(digit in digits for digit in linked_or_left for _, digits in sets)
    for digit in linked:
        assert all(digit in digits for _, digits in sets)
        holders = [board.places(digit, cells) for cells, _ in sets]
        assert all(board.plain.sees(one, other) for one in holders[0] for other in holders[1])
    return facts


@form(rf"({CELLS}), where ({HOUSE}) and ({HOUSE}) cross and beside, hold ({DIGITS}) once each")
def _crossing(board: Board, m: re.Match[str]) -> Facts:
    facts, cells = Facts(), cells_in(m[1])
    assert zone(board, m[2]) | zone(board, m[3]) >= frozenset(cells)
    assert frozenset().union(*(board.candidates[c] for c in cells)) == frozenset(digits_in(m[4]))
    assert len(cells) == len(digits_in(m[4]))
    with_candidates(board, facts, cells)
    return facts


def _twin(board: Board, text: str) -> None:
    m = re.match(
        rf"as one solution is promised, ({CELLS}) cannot all come down to (\d+) and (\d+)", text
    )
    if m is None:
        raise Unreadable(text)
    cells = cells_in(m[1])
    assert len({cell.row for cell in cells}) == len({cell.column for cell in cells}) == 2
    assert len(cells) == 4
    boxes = [name for name in board.plain.houses if name.startswith(("box", "region"))]
    shared = [sum(cell in board.plain.houses[name] for cell in cells) for name in boxes]
    assert sorted(filter(None, shared)) == [2, 2]
    one, other = int(m[2]), int(m[3])
    swap = {one: other, other: one}
    for phrase in board.plain.rules:
        scope, fillings = board.plain.fillings(phrase)
        corners = [place for place, cell in enumerate(scope) if cell in cells]
        for filling in fillings if corners else ():
            in_turn = all(
                filling[a] != filling[b]
                for a, b in combinations(corners, 2)
                if board.plain.sees(scope[a], scope[b])
            )
            if in_turn and all(filling[place] in swap for place in corners):
                turned = [swap[d] if n in corners else d for n, d in enumerate(filling)]
                assert tuple(turned) in fillings, f"{text}: {phrase} tells them apart"
