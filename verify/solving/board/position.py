"""A position: the digits placed so far and the candidates that remain, as people pencil them in.

Two views of the same candidates are kept in step. ``masks[cell]`` holds the candidates of a cell, one
bit a digit; ``where[digit]`` holds the cells that still have a digit as a candidate, one bit a cell.
Cells and digits go by their index on the canvas. Bit sets are plain Python integers, which intersect
and compare in a few dozen nanoseconds at any size of grid.

A cell *sees* another when the two cannot hold the same digit, by any house or any part of a rule.
Placing a digit clears it silently from every cell that sees the placed one; all else that rules
strike is a step of its own.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal, NamedTuple

from gridassay.encodings.board import Part
from gridassay.encodings.constraints import (
    AllDifferent,
    AllOf,
    Constraint,
    Permutation,
    Sum,
    Variable,
)
from gridassay.encodings.grid import Cell
from gridassay.encodings.lines import PuzzleError
from gridassay.encodings.puzzle import Premise, Puzzle
from gridassay.verify.engines.questions import Switch
from gridassay.verify.words import rule_phrases

Mark = tuple[int, int]
"""A candidate: the index of its cell and the index of its digit."""


class Candidate(NamedTuple):
    """A candidate by the names of its cell and digit."""

    cell: Cell
    digit: int


ZoneKind = Literal["row", "column", "area", "rule"]


@lru_cache(maxsize=1 << 16)
def members(bits: int) -> tuple[int, ...]:
    """The indexes of the bits that are set, lowest first."""
    found = []
    while bits:
        low = bits & -bits
        found.append(low.bit_length() - 1)
        bits ^= low
    return tuple(found)


def bits_of(indexes: Iterable[int]) -> int:
    """The bit set of some indexes."""
    bits = 0
    for index in indexes:
        bits |= 1 << index
    return bits


@dataclass(frozen=True, eq=False)
class Zone:
    """Three or more cells that hold no digit twice; every digit once where ``full``.

    A zone is a house or a part of a rule; ``switch`` is the premise behind it and ``name`` what a
    step calls it.
    """

    name: str
    switch: Switch
    kind: ZoneKind
    cells: tuple[int, ...]
    bits: int
    full: bool


class Layout:
    """What stays the same while a puzzle is solved: its zones, and which cells see which, and why."""

    def __init__(self, puzzle: Puzzle) -> None:
        canvas, model = puzzle.canvas, puzzle.model
        self.canvas = canvas
        self.model = model
        self.cells = canvas.cells
        self.digits = canvas.digits
        self.index = canvas.index
        self.digit_index = {digit: place for place, digit in enumerate(canvas.digits)}
        self.all_digits = (1 << len(canvas.digits)) - 1
        self.premises: dict[str, Premise] = {
            premise.name: premise for premise in model.premises if not premise.optional
        }
        board = puzzle.board
        self.doublers = frozenset(board.doubler(cell) for cell in canvas.cells)
        self._behind: dict[Variable, int] = {
            variable: self.index[cell]
            for cell in canvas.cells
            for variable in (cell, board.doubler(cell), board.mark(cell), board.value(cell))
        }
        self.said = rule_phrases(puzzle)
        self.sees = [0] * len(canvas.cells)
        self._pairs: dict[tuple[int, int], Switch] = {}
        self._links: dict[tuple[int, int], Switch] = {}
        zones = []
        for premise in self.premises.values():
            for number, part in enumerate(premise.parts):
                switch = premise.name if premise.kind == "house" else (premise.name, number)
                for cells, full in self._distinct(part.constraint):
                    bits = bits_of(cells)
                    if len(cells) > 2:
                        kind = _kind(premise)
                        zones.append(Zone(premise.name, switch, kind, cells, bits, full))
                    else:
                        self._pairs.setdefault((min(cells), max(cells)), switch)
                    for cell in cells:
                        self.sees[cell] |= bits & ~(1 << cell)
        self.zones = tuple(zones)
        self.full_zones = tuple(zone for zone in zones if zone.full)
        self.zones_of = [
            tuple(zone for zone in zones if zone.bits >> cell & 1)
            for cell in range(len(canvas.cells))
        ]

    def _distinct(self, constraint: Constraint) -> Iterator[tuple[tuple[int, ...], bool]]:
        """The sets of cells that a constraint makes differ, and whether each holds every digit."""
        if isinstance(constraint, AllOf):
            for member in constraint.members:
                yield from self._distinct(member)
            return
        cells = tuple(dict.fromkeys(v for v in constraint.scope() if isinstance(v, Cell)))
        indexes = tuple(self.index[cell] for cell in cells)
        if isinstance(constraint, AllDifferent | Permutation) or (
            isinstance(constraint, Sum) and constraint.distinct
        ):
            if len(cells) > 1:
                yield indexes, isinstance(constraint, Permutation)
        elif len(cells) == 2 and len(list(constraint.scope())) == 2:
            one, other = cells
            if not any(constraint.holds({one: digit, other: digit}) for digit in self.digits):
                yield indexes, False

    def link(self, one: int, other: int) -> Switch:
        """The premise by which one cell sees another: a house before a rule.

        Raises KeyError where they do not see each other.
        """
        pair = (one, other) if one < other else (other, one)
        known = self._links.get(pair)
        if known is None:
            bits = 1 << one | 1 << other
            shared = [zone for zone in self.zones_of[one] if zone.bits & bits == bits]
            known = shared[0].switch if shared else self._pairs[pair]
            self._links[pair] = known
        return known

    def links(self, group: Iterable[int], target: int) -> tuple[Switch, ...]:
        """Premises by which the target sees every cell of a group: one that does for all, or more."""
        cells = tuple(group)
        bits = bits_of(cells) | 1 << target
        for zone in self.zones_of[target]:
            if zone.bits & bits == bits:
                return (zone.switch,)
        return tuple(dict.fromkeys(self.link(cell, target) for cell in cells))

    def premise_of(self, switch: Switch) -> Premise:
        """The premise that a switch belongs to."""
        return self.premises[switch if isinstance(switch, str) else switch[0]]

    def scope(self, name: str) -> tuple[int, ...]:
        """The cells that a premise speaks of."""
        cells = [cell for part in self.premises[name].parts for cell in self.part_scope(part)]
        return tuple(dict.fromkeys(cells))

    def part_scope(self, part: Part) -> tuple[int, ...]:
        """The cells that a part speaks of, by their digits or by what they count."""
        variables = dict.fromkeys(part.constraint.scope())
        return tuple(
            dict.fromkeys(
                self._behind[variable] for variable in variables if variable in self._behind
            )
        )

    def mark(self, mark: Mark) -> str:
        """A candidate in words: ``r4c3=7``."""
        cell, digit = mark
        return f"{self.cells[cell]}={self.symbol(digit)}"

    def symbol(self, digit: int) -> str:
        """A digit by its index, as it is written."""
        return self.canvas.symbols[self.digits[digit]]


def _kind(premise: Premise) -> ZoneKind:
    word = premise.name.partition(" ")[0]
    if premise.kind == "rule":
        return "rule"
    return "row" if word == "row" else "column" if word == "column" else "area"


class _ByModel:
    """A puzzle as a key: equal to every puzzle of the same model."""

    def __init__(self, puzzle: Puzzle) -> None:
        self.puzzle = puzzle

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _ByModel) and other.puzzle.model is self.puzzle.model

    def __hash__(self) -> int:
        return id(self.puzzle.model)


@lru_cache(maxsize=32)
def _layout(key: _ByModel) -> Layout:
    return Layout(key.puzzle)


def layout_of(puzzle: Puzzle) -> Layout:
    """The layout of a puzzle; puzzles with one model share it."""
    return _layout(_ByModel(puzzle))


class Position:
    """Candidates and placed digits; changed in place, copied when kept.

    ``placed`` and ``given`` are bit sets of cells.
    """

    __slots__ = ("given", "layout", "masks", "placed", "where")

    def __init__(
        self, layout: Layout, masks: Sequence[int], placed: int = 0, given: int = 0
    ) -> None:
        self.given = given
        self.layout = layout
        self.masks = list(masks)
        self.placed = placed
        self.where = [0] * len(layout.digits)
        for cell, mask in enumerate(self.masks):
            for digit in members(mask):
                self.where[digit] |= 1 << cell

    @classmethod
    def start(cls, puzzle: Puzzle) -> Position:
        """The position before the first step: the givens placed, every other candidate open."""
        layout = layout_of(puzzle)
        position = cls(layout, [layout.all_digits] * len(layout.cells))
        for cell, digit in puzzle.givens:
            if isinstance(cell, Cell):
                position.place(layout.index[cell], layout.digit_index[digit])
        position.given = position.placed
        return position

    def copy(self) -> Position:
        """The same position, to be changed on its own."""
        return Position(self.layout, self.masks, self.placed, self.given)

    def place(self, cell: int, digit: int) -> None:
        """Write a digit into a cell and clear it from every cell that sees this one."""
        for other in members(self.masks[cell] & ~(1 << digit)):
            self.remove(cell, other)
        self.masks[cell] = 1 << digit
        self.where[digit] |= 1 << cell
        self.placed |= 1 << cell
        for peer in members(self.layout.sees[cell] & self.where[digit]):
            self.remove(peer, digit)

    def remove(self, cell: int, digit: int) -> None:
        """Strike one candidate."""
        self.masks[cell] &= ~(1 << digit)
        self.where[digit] &= ~(1 << cell)

    def has(self, mark: Mark) -> bool:
        """Whether a candidate is still there."""
        return bool(self.masks[mark[0]] >> mark[1] & 1)

    def is_placed(self, cell: int) -> bool:
        """Whether a cell's digit has been written in."""
        return bool(self.placed >> cell & 1)

    @property
    def open_bits(self) -> int:
        """The cells without a placed digit."""
        return ((1 << len(self.masks)) - 1) & ~self.placed

    def open_places(self, digit: int) -> int:
        """The cells that could hold a digit and have none placed."""
        return self.where[digit] & ~self.placed

    @property
    def solved(self) -> bool:
        """Whether every cell has its digit."""
        return not self.open_bits

    def candidates(self, cell: int) -> str:
        """The candidates of a cell as they are written: ``159``."""
        return "".join(map(self.layout.symbol, members(self.masks[cell])))

    def line(self) -> str:
        """The placed digits as one line over the bounding rectangle."""
        digits = self.layout.digits
        values = [
            digits[mask.bit_length() - 1] if self.is_placed(cell) and mask else None
            for cell, mask in enumerate(self.masks)
        ]
        return self.layout.canvas.line(values)


def write_candidates(position: Position) -> str:
    """A position as a grid of candidate lists, one row a line; a hole is ``_``, no candidate ``-``."""
    canvas = position.layout.canvas
    wide = max(mask.bit_count() for mask in position.masks)
    rows = []
    for row in range(1, canvas.rows + 1):
        lists = []
        for column in range(1, canvas.columns + 1):
            cell = canvas.index.get(Cell(row, column))
            text = "_" if cell is None else position.candidates(cell) or "-"
            lists.append(f"{text:<{wide}}")
        rows.append(" ".join(lists).rstrip())
    return "\n".join(rows) + "\n"


def read_candidates(text: str, puzzle: Puzzle, source: str = "") -> Position:
    """Read a grid of candidate lists: ``159 4 27 …``, ``.`` for every digit, ``#`` for comments.

    A cell with one candidate counts as placed where no cell that sees it still has the digit; so a
    candidates file says what it shows, no more. Raises PuzzleError naming line and cell.
    """
    layout = layout_of(puzzle)
    canvas = layout.canvas
    masks = [layout.all_digits] * len(layout.cells)
    lines = [
        (number, words)
        for number, raw in enumerate(text.splitlines(), start=1)
        if (words := raw.partition("#")[0].split())
    ]
    if len(lines) != canvas.rows:
        raise PuzzleError(f"{len(lines)} rows of candidates, and {canvas.rows} are needed", source)
    for row, (number, words) in enumerate(lines, start=1):
        if len(words) != canvas.columns:
            message = f"{len(words)} lists of candidates, and {canvas.columns} are needed"
            raise PuzzleError(message, source, number)
        for column, word in enumerate(words, start=1):
            place = Cell(row, column)
            cell = layout.index.get(place)
            if cell is None or word == ".":
                continue
            mask = 0
            for symbol in word.strip("-") if word != "-" else "":
                if symbol not in canvas.reader:
                    message = f"{place}: {symbol!r} is no digit here"
                    raise PuzzleError(message, source, number)
                mask |= 1 << layout.digit_index[canvas.reader[symbol]]
            if not mask:
                raise PuzzleError(f"{place} has no candidate", source, number)
            masks[cell] = mask
    for name, digit in puzzle.givens:
        if (
            isinstance(name, Cell)
            and not masks[layout.index[name]] >> layout.digit_index[digit] & 1
        ):
            symbol = canvas.symbols[digit]
            raise PuzzleError(f"{name} is given as {symbol}, and has no {symbol}", source)
    given = bits_of(layout.index[cell] for cell, _ in puzzle.givens if isinstance(cell, Cell))
    position = Position(layout, masks, given=given)
    for cell, mask in enumerate(masks):
        if mask.bit_count() == 1 and not (
            position.where[mask.bit_length() - 1] & layout.sees[cell]
        ):
            position.placed |= 1 << cell
    return position
