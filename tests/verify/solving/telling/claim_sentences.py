"""Sentences about a rule that says how many of its clues are true, decided clue by clue."""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import combinations, product

from gridassay.encodings.board import Filled
from gridassay.encodings.grid import Cell
from gridassay.encodings.rules.base import Rule
from gridassay.encodings.rules.combinations import Combination

from .board import Board
from .words import CELL, DIGITS, GIVEN, Marks, cells_in, conclusion, digits_in, given_in, named

Candidates = dict[Cell, frozenset[int]]


class _Clues:
    """The clues of a rule by what they are called, and the candidates that a sentence names."""

    def __init__(self, board: Board, rule: Combination, clues: tuple[str, ...]) -> None:
        self.board, self.rule = board, rule
        self.by_name: dict[str, Rule] = dict(zip(clues, rule.of, strict=True))
        self.candidates: Candidates = {}
        self.houses: list[frozenset[Cell]] = []

    def is_always(self, name: str, true: bool, more: Candidates) -> bool:
        """Whether a clue is true (or false) in all ways to fill its cells, of which there are some."""
        ways = [clue is true for clue in self._ways(self.by_name[name], more)]
        return all(ways)

    def _ways(self, clue: Rule, more: Candidates) -> Iterator[bool]:
        cells = tuple(dict.fromkeys(clue.where()))
        every = frozenset(self.board.plain.digits)
        known = self.candidates | more
        for digits in product(*(known.get(cell, every) for cell in cells)):
            values = dict(zip(cells, digits, strict=True))
            if not any(
                values[a] == values[b] and any({a, b} <= house for house in self.houses)
                for a, b in combinations(cells, 2)
            ):
                yield clue.holds(Filled(self.board.plain.puzzle.board, values))

    def most(self, true: bool) -> int:
        """How many may be true, or false."""
        counts = self.rule.counts()
        return max(counts) if true else len(self.rule.of) - min(counts)


def claims(board: Board, text: str) -> tuple[Marks, Marks] | None:
    """Check a sentence that says which clues are true or false; None for any other."""
    puzzle = board.plain.puzzle
    for name, rule in zip(puzzle.rule_names, puzzle.rules, strict=True):
        phrase = puzzle.rule_phrases[name]
        if not isinstance(rule, Combination) or not text.startswith(phrase):
            continue
        m = re.fullmatch(
            rf"(?:, no digit twice in (.+?))?: (?:as ({GIVEN}), )?(.+)", text[len(phrase) :]
        )
        if m is None:
            return None
        clues = _Clues(board, rule, puzzle.clue_phrases[name])
        clues.houses = [board.plain.houses[one] for one in named(m[1] or "", board.plain.houses)]
        for cell, digits in given_in(board, m[2] or "").items():
            clues.candidates[cell] = digits
        return _others(clues, m[3]) or _too_many(clues, m[3])
    return None


def _others(clues: _Clues, body: str) -> tuple[Marks, Marks] | None:
    m = re.fullmatch(
        r"(?:(.+?) (?:is|are) (?:false|true), so )?the other \w+ (?:is|are) (true|false): (.+)",
        body,
    )
    if m is None:
        return None
    rest = m[2] == "true"
    known = named(m[1] or "", clues.by_name)
    assert len(known) == clues.most(not rest), body
    assert all(clues.is_always(name, not rest, {}) for name in known), body
    places: Marks = set()
    removes: Marks = set()
    for clause in re.split(r"; and ", m[3]):
        word, name, end = re.fullmatch(r"(by|against) (.+?), (.+)", clause).groups()  # type: ignore[union-attr]
        assert (word == "by") is rest, body
        assert name not in known, body
        placed, removed = conclusion(clues.board, end)
        gone = removed | {
            (cell, other)
            for cell, digit in placed
            for other in clues.board.candidates[cell]
            if other != digit
        }
        for cell, digit in gone:
            assert clues.is_always(name, not rest, {cell: frozenset({digit})}), body
        places |= placed
        removes |= removed
    return places, removes


def _too_many(clues: _Clues, body: str) -> tuple[Marks, Marks] | None:
    m = re.fullmatch(r"(.+ would make .+); (?:only (\d+)|(none)) may be, (so .+)", body)
    if m is None:
        return None
    shown: Marks = set()
    for clause in m[1].split("; "):
        one = re.fullmatch(rf"({DIGITS}) in ({CELL}) would make (.+) (true|false)", clause)
        assert one is not None, body
        true = one[4] == "true"
        assert int(m[2] or 0) == clues.most(true), body
        made = named(one[3], clues.by_name)
        assert len(made) > clues.most(true), body
        (cell,) = cells_in(one[2])
        for digit in digits_in(one[1]):
            assert all(clues.is_always(name, true, {cell: frozenset({digit})}) for name in made)
            shown.add((cell, digit))
    places, removes = conclusion(clues.board, m[4])
    assert not places
    assert removes <= shown, body
    return places, removes
