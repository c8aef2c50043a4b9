"""The board as anybody sees it, for the reader of sentences: candidates, houses, rules read plainly."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache, cached_property
from itertools import combinations, product

from gridassay.encodings.board import Filled
from gridassay.encodings.grid import Cell
from gridassay.encodings.puzzle import Puzzle
from gridassay.encodings.rules.base import Rule
from gridassay.encodings.rules.outside import Beside
from gridassay.encodings.rules.whole_grid import Diagonals, EqualsApart
from gridassay.verify.solving.board.position import Position

Fillings = frozenset[tuple[int, ...]]


def diagonals(cells: Sequence[Cell]) -> dict[str, frozenset[Cell]]:
    """The two diagonals of a square of cells."""
    side = max(cell.row for cell in cells)
    return {
        "the falling diagonal": frozenset(cell for cell in cells if cell.row == cell.column),
        "the rising diagonal": frozenset(c for c in cells if c.row + c.column == side + 1),
    }


class Plain:
    """A puzzle's houses and rules by what steps call them; no engine, no technique."""

    def __init__(self, puzzle: Puzzle, phrases: dict[str, str]) -> None:
        self.puzzle = puzzle
        self.digits = tuple(puzzle.canvas.digits)
        self.houses = {house.name: frozenset(house.cells) for house in puzzle.canvas.houses}
        self.lines: dict[str, frozenset[Cell]] = {}
        self.moves: dict[str, EqualsApart] = {}
        self.rules: dict[str, Rule] = {}
        for name, rule in zip(puzzle.rule_names, puzzle.rules, strict=True):
            if isinstance(rule, EqualsApart):
                self.moves[phrases[name]] = rule
            elif isinstance(rule, Diagonals):
                self.lines |= diagonals(puzzle.canvas.cells)
            else:
                self.rules[phrases[name]] = rule
        self.houses |= self.lines

    def cells(self, phrase: str) -> tuple[Cell, ...]:
        """The cells of a rule, those of a clue beside a line in order."""
        rule = self.rules[phrase]

        return tuple(
            dict.fromkeys(
                rule.reading(self.puzzle.board) if isinstance(rule, Beside) else rule.where()
            )
        )

    @cache  # noqa: B019
    def fillings(self, phrase: str) -> tuple[tuple[Cell, ...], Fillings]:
        """Every way to fill the cells of a rule, by its plain reading."""
        rule, cells = self.rules[phrase], self.cells(phrase)
        found = [
            filling
            for filling in product(self.digits, repeat=len(cells))
            if rule.holds(Filled(self.puzzle.board, dict(zip(cells, filling, strict=True))))
        ]
        return cells, frozenset(found)

    @cached_property
    def _unequal(self) -> dict[frozenset[Cell], set[str]]:
        """Pairs of cells that cannot be the same, and by what."""
        pairs: dict[frozenset[Cell], set[str]] = {}
        for name, cells in self.houses.items():
            for pair in combinations(cells, 2):
                pairs.setdefault(frozenset(pair), set()).add(name)
        for phrase, rule in self.moves.items():
            for one, other in combinations(self.puzzle.canvas.cells, 2):
                if rule.is_move(abs(one.row - other.row), abs(one.column - other.column)):
                    pairs.setdefault(frozenset((one, other)), set()).add(phrase)
        for phrase in self.rules:
            cells, fillings = self.fillings(phrase)
            for one, other in combinations(range(len(cells)), 2):
                if not any(filling[one] == filling[other] for filling in fillings):
                    pairs.setdefault(frozenset((cells[one], cells[other])), set()).add(phrase)
        return pairs

    def sees(self, one: Cell, other: Cell) -> bool:
        """Whether two cells cannot be the same."""
        return frozenset((one, other)) in self._unequal

    def by(self, one: Cell, other: Cell) -> set[str]:
        """By which houses and rules they cannot."""
        return self._unequal.get(frozenset((one, other)), set())

    def total(self, phrase: str) -> int | None:
        """The total of a rule, where all its fillings have one."""
        totals = {sum(filling) for filling in self.fillings(phrase)[1]}
        return totals.pop() if len(totals) == 1 else None


class Board:
    """Candidates and placed digits on a plain puzzle."""

    def __init__(self, plain: Plain, position: Position) -> None:
        self.plain = plain
        layout = position.layout
        self.candidates = {
            cell: frozenset(
                digit
                for place, digit in enumerate(layout.digits)
                if position.masks[number] >> place & 1
            )
            for number, cell in enumerate(layout.cells)
        }
        self.placed = {
            cell for number, cell in enumerate(layout.cells) if position.placed >> number & 1
        }

    def places(self, digit: int, cells: Sequence[Cell] | frozenset[Cell]) -> frozenset[Cell]:
        """The cells among some that can have a digit."""
        return frozenset(cell for cell in cells if digit in self.candidates[cell])
