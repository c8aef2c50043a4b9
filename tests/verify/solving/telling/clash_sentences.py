"""Sentences that say what a candidate would lead to, followed word by word on a board of their own.

The board of the sentence knows what it names, and what is placed in its houses. Whatever is then
said to follow is decided by every filling of the rule that is left and by the cells of the houses.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence

from gridassay.encodings.grid import Cell

from .board import Board
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
    spots_in,
)

_HEADS = rf"{DIGITS} in {CELLS}(?:(?:, or |, | or ){DIGITS} in {CELLS})*"
BOUND = r"at least \d+|at most \d+"
MADE = rf"{CELLS} (?:{BOUND}|{DIGITS})"
OTHERS = r"( and | or |, )?the other(?: two| three)?\b"
CASES = r": |, and (?:either|any of them) would "
PLACED = rf"\d+ (?:in|for) {CELL}"
VERBS = (
    rf"put (?P<put>{PLACED}(?:, {PLACED})*(?: and {PLACED})?)",
    rf"make (?P<made>{CELL}) (?P<cases>{DIGITS})(?P<of_made>: |, and (?:either|any of them) would )",
    rf"make (?P<make>{MADE}(?:(?:,? and|,) {MADE})*)",
    rf"take (?P<take>{DIGITS} from {CELLS}(?:,? (?:and )?{DIGITS} from {CELLS})*)",
    rf"need (?P<need>{DIGITS}|\d+ or (?:less|more)) in (?P<where>{CELLS})(?:(?P<too> too)|, "
    r"(?:where (?:it|none) (?:(?P<gone>is)|would be) (?:gone|left)|which is (?P<known>\d+)))",
    rf"rule out (?P<ruled>{DIGITS}) in (?P<within>{CELL})(?P<all_left>, where nothing else is left)?",
    r"leave no way to fill it(?P<empty>)",
    rf"leave nothing for (?P<nothing>{CELL})",
    r"leave (?P<placeless>\d+) no place in (?P<house>[\w ]+)",
    rf"leave only (?P<only>{DIGITS}) for (?P<cells>{CELLS})",
    rf"leave only (?P<places>{CELLS}) for (?P<digits>{DIGITS}) in (?P<home>[\w ]+)",
    rf"leave (?P<options>{DIGITS}) for (?P<one>{CELL})"
    r"(?P<of_cell>: |, and (?:either|any of them) would )",
    rf"leave (?P<spots>{CELLS}) for (?P<digit>\d) in (?P<zone>[\w ]+?)"
    r"(?P<of_digit>: |, and (?:either|any of them) would )",
    rf"leave (?P<left>{PLACED}(?:, {PLACED})*(?: and {PLACED})?)",
)


class Supposed:
    """The candidates of cells after something was supposed; houses clear decided digits elsewhere."""

    def __init__(
        self,
        board: Board,
        scope: Sequence[Cell],
        fillings: Sequence[tuple[int, ...]],
        houses: Mapping[str, frozenset[Cell]],
    ) -> None:
        self.board, self.scope, self.fillings, self.houses = board, scope, fillings, houses
        every = frozenset(board.plain.digits)
        self.state = dict.fromkeys([*scope, *(c for h in houses.values() for c in h)], every)
        self.decided: set[Cell] = set()
        self.before: Mapping[Cell, frozenset[int]] = {}

    def copy(self) -> Supposed:
        """A copy, to suppose more on."""
        other = Supposed(self.board, self.scope, self.fillings, self.houses)
        other.state, other.decided = dict(self.state), set(self.decided)
        other.before = self.before or dict(self.state)
        return other

    def decide(self, cell: Cell, digit: int) -> None:
        """A cell has a digit, so no other cell of its houses has it."""
        self.state[cell] = frozenset({digit})
        self.decided.add(cell)
        for house in self.houses.values():
            if cell in house:
                for peer in house - {cell}:
                    self.state[peer] -= {digit}

    def values(self, cell: Cell, *, free: bool = False) -> frozenset[int]:
        """The digits of a cell of the rule in the fillings left; if ``free``, whatever it had lost."""
        place = self.scope.index(cell)
        return frozenset(
            filling[place]
            for filling in self.fillings
            if all(
                digit in self.state[one] or (free and one == cell)
                for one, digit in zip(self.scope, filling, strict=True)
            )
        )

    def places(self, digit: int, house: frozenset[Cell]) -> set[Cell]:
        """The cells of a house that can have a digit."""
        return {cell for cell in house if digit in self.state[cell]}

    def full(self, name: str) -> frozenset[Cell]:
        """A house of the puzzle, which has every digit."""
        assert name in self.board.plain.houses
        return self.houses[name]

    def ends(self, text: str) -> None:
        """Raise AssertionError if what is said does not follow, or does not end in a clash."""
        for pattern in VERBS:
            match = re.match(rf"{pattern}(?=$|, | and |: )?", text)
            if match is None or not match[0]:
                continue
            said = {name: words for name, words in match.groupdict().items() if words is not None}
            rest = text[match.end() :]
            if "of_made" in said:
                self._follows({"make": f"{said['made']} {said['cases']}"})
                said = {"one": said["made"], "options": said["cases"], "of_cell": said["of_made"]}
            if "of_cell" in said or "of_digit" in said:
                self._cases(said, rest)
                return
            if {"put", "make", "take", "left"} & said.keys():
                self._follows(said)
                self.ends(re.sub(r"^(, and | and |, )", "", rest))
                return
            assert not rest, text
            self._clash(said)
            return
        raise Unreadable(text)

    def _follows(self, said: Mapping[str, str]) -> None:
        if words := said.get("put") or said.get("left"):
            for digit, name in re.findall(rf"(\d+) (?:in|for) ({CELL})", words):
                (cell,) = cells_in(name)
                if "put" in said:
                    homes = [h for n, h in self.houses.items() if n in self.board.plain.houses]
                    assert any(self.places(int(digit), home) == {cell} for home in homes), words
                else:
                    assert self.state[cell] == {int(digit)}, words
                self.decide(cell, int(digit))
        elif words := said.get("make"):
            made = {}
            said_of = [
                (cell, kind)
                for names, kind in re.findall(rf"({CELLS}) ({BOUND}|{DIGITS})", words)
                for cell in cells_in(names)
            ]
            for cell, kind in said_of:
                assert cell not in made, words
                (limit, *_) = digits = digits_in(kind)
                allowed = self.values(cell) & self.state[cell]
                if kind.startswith("at"):
                    least = kind.startswith("at least")
                    assert all(d >= limit if least else d <= limit for d in allowed), words
                    made[cell] = frozenset(
                        d for d in self.state[cell] if (d >= limit if least else d <= limit)
                    )
                else:
                    assert allowed <= set(digits) <= self.state[cell], words
                    made[cell] = frozenset(digits)
            self.state |= made
            for cell, digits_left in made.items():
                if len(digits_left) == 1:
                    self.decide(cell, *digits_left)
        else:
            gone = []
            for digits_said, names in re.findall(rf"({DIGITS}) from ({CELLS})", said["take"]):
                gone += [(c, d) for c in cells_in(names) for d in digits_in(digits_said)]
            assert not any(digit in self.values(cell) for cell, digit in gone), said
            for cell, digit in gone:
                self.state[cell] -= {digit}

    def _clash(self, said: Mapping[str, str]) -> None:
        if "need" in said:
            cell, *others = cells_in(said["where"])
            if "known" not in said and said["need"].isdigit():
                # With its digit back, the rule could be filled in these cells only.
                back, digit = self.copy(), int(said["need"])
                for one in self.scope:
                    if one not in self.decided:
                        back.state[one] |= {digit}
                lost = {one for one in self.scope if digit not in self.state[one]}
                lost -= self.decided
                assert {one for one in lost if digit in back.values(one)} == {cell, *others}, said
            if others:
                before = all(digit not in self.before[one] for one in (cell, *others))
                assert before is ("gone" in said), said
                assert "too" not in said, said
                return
            wanted = self.values(cell, free=True)
            seen = {
                digit
                for house in self.houses.values()
                if cell in house
                for peer in house & self.decided - {cell}
                for digit in self.state[peer]
            }
            named = set(digits_in(said["need"]))
            if end := re.fullmatch(r"(\d+) or (less|more)", said["need"]):
                limit, every = int(end[1]), self.board.plain.digits
                assert limit in wanted, said
                wanted = {d for d in every if (d <= limit if end[2] == "less" else d >= limit)}
                assert wanted >= self.values(cell, free=True) - seen, said
            else:
                assert named == (wanted - seen or wanted), said
            assert not wanted & self.state[cell], said
            lost_then = bool((wanted - seen or wanted) & self.before[cell])
            assert lost_then is not ("gone" in said) or "known" in said, said
            assert "too" not in said or named <= seen, said
            assert "known" not in said or self.state[cell] == {int(said["known"])}, said
        elif "ruled" in said:
            (cell,) = cells_in(said["within"])
            assert self.state[cell] == set(digits_in(said["ruled"])), said
            assert len(self.state[cell]) == 1 or "all_left" in said, said
            assert not self.values(cell), said
            assert self.values(cell, free=True), said
        elif "nothing" in said:
            assert not self.state[cells_in(said["nothing"])[0]], said
        elif "placeless" in said:
            assert not self.places(int(said["placeless"]), self.full(said["house"])), said
        elif "only" in said:
            cells, digits = cells_in(said["cells"]), digits_in(said["only"])
            assert any(set(cells) <= house for house in self.houses.values()), said
            assert {d for cell in cells for d in self.state[cell]} == set(digits), said
            assert len(digits) < len(cells), said
        elif "places" in said:
            cells, digits = cells_in(said["places"]), digits_in(said["digits"])
            home = self.full(said["home"])
            assert {c for d in digits for c in self.places(d, home)} == set(cells), said
            assert len(cells) < len(digits), said
        else:
            assert not self.values(self.scope[0]) or not all(map(self.values, self.scope)), said

    def _cases(self, said: Mapping[str, str], rest: str) -> None:
        """Each of a few cases, all of which are named."""
        if "of_cell" in said:
            (cell,) = cells_in(said["one"])
            names = {str(d): (cell, d) for d in digits_in(said["options"])}
            assert self.state[cell] == set(digits_in(said["options"])), said
        else:
            digit, cells = int(said["digit"]), cells_in(said["spots"])
            names = {str(c): (c, digit) for c in cells}
            assert self.places(digit, self.full(said["zone"])) == set(cells), said
        clauses = [(list(names), rest)]
        if said.get("of_cell", said.get("of_digit")) == ": ":
            name = rf"{CELL}|\d+"
            heads = rf"(?:^|, and )((?:{name})(?:, (?:{name}))*(?: or (?:{name}))?) would "
            parts = re.split(heads, rest)[1:]
            clauses = [
                (re.findall(name, head), words)
                for head, words in zip(parts[::2], parts[1::2], strict=True)
            ]
        assert sorted(one for some, _ in clauses for one in some) == sorted(names), said
        for some, words in clauses:
            for one in some:
                case = self.copy()
                case.decide(*names[one])
                cell, _ = names[one]
                case.ends(with_others(words, [c for c, _ in names.values() if c != cell]))


def with_others(text: str, others: Sequence[Cell]) -> str:
    """A text with the names of the other cells, up to where it speaks of the cases of another."""
    cut = re.search(CASES, text)
    head, tail = (text[: cut.start()], text[cut.start() :]) if cut else (text, "")
    count = {1: "", 2: " two", 3: " three"}.get(len(others))
    for m in re.finditer(OTHERS, head):
        assert m[0].removeprefix(m[1] or "") == f"the other{count}", text

    def named(m: re.Match[str]) -> str:
        *first, last = map(str, others)
        names = (
            f"{', '.join(first)} {(m[1] or ' and ').strip(', ') or 'or'} {last}" if first else last
        )
        if m[1] is None:
            return names
        return f", {names}" if first else f"{m[1]}{last}"

    return re.sub(OTHERS, named, head) + tail


def _cells_named(text: str) -> set[Cell]:
    return {cell for name in re.findall(CELL, text) for cell in cells_in(name)}


def _places_named(
    board: Board, houses: Mapping[str, frozenset[Cell]], text: str
) -> Iterator[tuple[int, str, frozenset[Cell]]]:
    """The digits of whose places in a house something is said, with these places."""
    for name, house in houses.items():
        patterns = (
            rf"leave (\d+) no place in {name}\b",
            rf"leave only {CELLS} for ({DIGITS}) in {name}\b",
            rf"leave {CELLS} for (\d+) in {name}\b",
        )
        for digits in (found for pattern in patterns for found in re.findall(pattern, text)):
            for digit in digits_in(digits):
                yield digit, name, board.places(digit, house)


def clash(
    board: Board,
    scope: Sequence[Cell],
    fillings: Sequence[tuple[int, ...]],
    houses: Mapping[str, frozenset[Cell]],
    text: str,
) -> tuple[Marks, Marks] | None:
    """Check such a sentence after its rule and houses; None for any other."""
    m = re.fullmatch(
        rf"(?:as (?P<given>{GIVEN}), )?(?P<said>{_HEADS} would .+?)"
        r", (?P<end>so .+)",
        text,
    )
    if m is None:
        return None
    start = Supposed(board, scope, fillings, houses)
    told = m["given"] or ""
    spots = [*spots_in(told), *_places_named(board, houses, m["said"])]
    for digit, name, cells in spots_in(told):
        assert board.places(digit, houses[name]) == cells, text
    # The candidates of the cells that are named are seen.
    for cell in {*given_in(board, told), *_cells_named(m["said"])} & start.state.keys():
        start.state[cell] = board.candidates[cell]
    for digit, name, cells in spots:
        for cell in houses[name] - cells:
            start.state[cell] -= {digit}
    housed = {cell for house in houses.values() for cell in house}
    for cell in start.state:
        if cell in board.placed and cell in housed:
            start.state[cell] = board.candidates[cell]
    for cell, digits in tuple(start.state.items()):
        if len(digits) == 1:
            start.decide(cell, *digits)
    shown: Marks = set()
    for clause in m["said"].split("; "):
        one = re.fullmatch(rf"({_HEADS}) would (.+)", clause)
        assert one is not None, text
        for digits, cells in re.findall(rf"({DIGITS}) in ({CELLS})", one[1]):
            for cell in cells_in(cells):
                said = with_others(one[2], [c for c in cells_in(cells) if c != cell])
                for digit in digits_in(digits):
                    supposed = start.copy()
                    supposed.decide(cell, digit)
                    supposed.ends(said)
                    shown.add((cell, digit))
    if m["end"] == "so all of these can be removed":
        assert m["said"].count(" would ") >= 3, text
        return set(), shown
    places, removes = conclusion(board, m["end"])
    gone = removes | {(c, o) for c, d in places for o in board.candidates[c] if o != d}
    assert gone <= shown, text
    return places, removes
