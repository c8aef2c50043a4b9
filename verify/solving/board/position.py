"""A position: the digits placed so far and the candidates that remain, as people pencil them in.

Every unknown of the puzzle has candidates: its cells, and after them its doublers and letters. They
are numbered by their index on the board, cells first in reading order, and their candidates by
their index in the domain; for a cell these are the digits. An unknown that is not a cell counts as
decided as soon as it has one candidate; a cell when its digit is placed.

Two views of the same candidates are kept in step. ``masks[unknown]`` holds the candidates of an
unknown, one bit each; ``where[digit]`` holds the cells that still have a digit as a candidate, one bit
per cell. Bit sets are plain Python integers, which intersect
and compare in a few dozen nanoseconds at any size of grid.

A cell *sees* another when the two cannot hold the same digit, by any house or any part of a rule.
Placing a digit clears it silently from every cell that sees the placed one; everything else that rules
strike is a separate step.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from functools import lru_cache
from typing import NamedTuple

from gridassay.encodings.board import Part
from gridassay.encodings.constraints import CellMark, CellValue, Doubler, Variable
from gridassay.encodings.grid import Cell
from gridassay.encodings.model import Premise
from gridassay.encodings.naming import sights
from gridassay.encodings.puzzle import Fact, Puzzle
from gridassay.encodings.variables import Edge, Link, Shade, Together, word
from gridassay.verify.engines.questions import Denial, Switch
from gridassay.verify.solving.board.bits import ALL as ALL
from gridassay.verify.solving.board.bits import bits_of as bits_of
from gridassay.verify.solving.board.bits import members as members
from gridassay.verify.solving.board.zones import Zone as Zone
from gridassay.verify.solving.board.zones import distinct_sets, zone_kind

_MOST_COMMON = 1 << 16
"""Sets of cells of which it is kept what sees them all."""

Mark = tuple[int, int]
"""A candidate: the index of its unknown and the index of its value there (of a cell, its digit)."""


class Candidate(NamedTuple):
    """A candidate: a cell and a digit, or another unknown and one of its values."""

    unknown: Variable
    value: int


class Layout:
    """The fixed facts of a puzzle: its zones, and which cells see which, and
    why.

    ``unknowns`` are all unknowns of a solution, by index; ``cells`` are the first of them; ``domains``
    are their values by index, ``full`` the bit set of each.
    """

    def __init__(self, puzzle: Puzzle) -> None:
        canvas, model = puzzle.canvas, puzzle.model
        self.canvas = canvas
        self.model = model
        self._counting = puzzle.board.counting
        self.cells = canvas.digit_cells
        self.digits = canvas.digits
        self.unknowns: tuple[Variable, ...] = model.shown
        self.index: dict[Variable, int] = {one: place for place, one in enumerate(self.unknowns)}
        self.cell_bits = (1 << len(self.cells)) - 1
        self.domains = tuple(model.domains[one] for one in self.unknowns)
        self.full = tuple((1 << len(domain)) - 1 for domain in self.domains)
        self.width = max(map(len, self.domains))
        self._value_index = {
            domain: {value: place for place, value in enumerate(domain)}
            for domain in set(self.domains)
        }
        # Each is asserted thousands of times.
        self._facts: dict[Mark, Fact] = {}
        self._common: dict[int, int] = {}
        self._denials: dict[Mark, Denial] = {}
        self.digit_index = {digit: place for place, digit in enumerate(canvas.digits)}
        self.all_digits = (1 << len(canvas.digits)) - 1
        self.premises: dict[str, Premise] = {
            premise.name: premise for premise in model.premises if not premise.optional
        }
        self.said = puzzle.rule_phrases
        self.clues_said = puzzle.clue_phrases
        named = zip(puzzle.rule_names, puzzle.rules, strict=True)
        self.sights = sights(dict(named), puzzle.board)
        self.sees = [0] * len(self.cells)
        self._pairs: dict[tuple[int, int], Switch] = {}
        self._links: dict[tuple[int, int], Switch] = {}
        zones = []
        for premise in self.premises.values():
            for number, part in enumerate(premise.parts):
                switch = premise.name if premise.kind == "house" else (premise.name, number)
                for different, full in distinct_sets(part.constraint, canvas.digits):
                    cells = tuple(self.index[cell] for cell in different)
                    bits = bits_of(cells)
                    if len(cells) > 2:
                        kind = zone_kind(premise)
                        zones.append(Zone(premise.name, switch, kind, cells, bits, full))
                    else:
                        self._pairs.setdefault((min(cells), max(cells)), switch)
                    for cell in cells:
                        self.sees[cell] |= bits & ~(1 << cell)
        self.zones = tuple(zones)
        self.full_zones = tuple(zone for zone in zones if zone.full)
        self.zones_of = [
            tuple(zone for zone in zones if zone.bits >> cell & 1)
            for cell in range(len(self.cells))
        ]

    def link(self, one: int, other: int) -> Switch:
        """The premise by which one cell sees another: a house before a rule.

        Raises KeyError if they do not see each other.
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
        """Premises by which the target sees every cell of a group: one for all of them, or several."""
        cells = tuple(group)
        bits = bits_of(cells) | 1 << target
        for zone in self.zones_of[target]:
            if zone.bits & bits == bits:
                return (zone.switch,)
        return tuple(dict.fromkeys(self.link(cell, target) for cell in cells))

    def seen_by_all(self, bits: int) -> int:
        """The cells that see every one of these (both bit sets)."""
        seen = self._common.get(bits)
        if seen is None:
            seen = ALL
            for cell in members(bits):
                seen &= self.sees[cell]
            if len(self._common) == _MOST_COMMON:
                self._common.clear()
            self._common[bits] = seen
        return seen

    def premise_of(self, switch: Switch) -> Premise:
        """The premise that a switch belongs to."""
        return self.premises[switch if isinstance(switch, str) else switch[0]]

    def scope(self, name: str) -> tuple[int, ...]:
        """The cells of a premise."""
        cells = [cell for part in self.premises[name].parts for cell in self.part_scope(part)]
        return tuple(dict.fromkeys(cells))

    def part_scope(self, part: Part) -> tuple[int, ...]:
        """The cells of a part, used by their digits or by their values."""
        variables = dict.fromkeys(part.constraint.scope())
        cells = (
            one if isinstance(one, Cell) else one.cell
            for one in variables
            if isinstance(one, Cell | Doubler | CellValue | CellMark)
        )
        return tuple(dict.fromkeys(self.index[cell] for cell in cells))

    def reach(self, part: Part) -> tuple[int, ...]:
        """The unknowns of a part: the value of a cell is its digit and what decides how it counts."""
        behind = self._counting.behind if self._counting else lambda variable: (variable,)
        return tuple(
            dict.fromkeys(
                self.index[unknown]
                for variable in part.constraint.scope()
                for unknown in behind(variable)
            )
        )

    def span(self, name: str) -> tuple[int, ...]:
        """The unknowns of a premise."""
        unknowns = [one for part in self.premises[name].parts for one in self.reach(part)]
        return tuple(dict.fromkeys(unknowns))

    def is_cell(self, unknown: int) -> bool:
        """Whether an unknown is a cell."""
        return unknown < len(self.cells)

    def value_index(self, unknown: int, value: int) -> int | None:
        """The index of a value of an unknown; None if it cannot be that."""
        return self._value_index[self.domains[unknown]].get(value)

    def value_indexes(self, unknown: int) -> Mapping[int, int]:
        """The index of every value of an unknown."""
        return self._value_index[self.domains[unknown]]

    def mark_of(self, variable: Variable, value: int) -> Mark:
        """A candidate by index."""
        unknown = self.index[variable]
        return unknown, self._value_index[self.domains[unknown]][value]

    def marks(self, candidates: Iterable[Candidate]) -> tuple[Mark, ...]:
        """Candidates by index."""
        return tuple(self.mark_of(*one) for one in candidates)

    def candidate(self, mark: Mark) -> Candidate:
        """A candidate by name and value."""
        unknown, value = mark
        return Candidate(self.unknowns[unknown], self.domains[unknown][value])

    def fact(self, mark: Mark) -> Fact:
        """The assertion that an unknown has a value."""
        found = self._facts.get(mark)
        if found is None:
            unknown, value = mark
            found = Fact(self.unknowns[unknown], self.domains[unknown][value])
            self._facts[mark] = found
        return found

    def denial(self, mark: Mark) -> Denial:
        """The assertion that an unknown does not have a value."""
        found = self._denials.get(mark)
        if found is None:
            unknown, value = mark
            found = Denial(self.unknowns[unknown], self.domains[unknown][value])
            self._denials[mark] = found
        return found

    def mark(self, mark: Mark) -> str:
        """A candidate in words: ``r4c3=7``."""
        return f"{self.unknowns[mark[0]]}={self.value_name(mark)}"

    def value_name(self, mark: Mark) -> str:
        """The value of a candidate as it is written: a symbol, a number, ``yes`` or ``no``."""
        unknown, value = mark
        if unknown < len(self.cells):
            return self.symbol(value)
        return value_text(self.unknowns[unknown], self.domains[unknown][value])

    def symbol(self, digit: int) -> str:
        """A digit by its index, as it is written."""
        return self.canvas.symbols[self.digits[digit]]


_DOUBLES = ("no", "yes")


def value_text(variable: Variable, value: int) -> str:
    """A value of an unknown that is not a cell, as it is written."""
    if isinstance(variable, Shade):
        return str(word(variable, value))
    yes_or_no = isinstance(variable, Doubler | Link | Edge | Together)
    return _DOUBLES[value] if yes_or_no else str(value)


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

    ``placed`` and ``given`` are bit sets: the unknowns that are decided, and the cells that were given.
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
        for cell, mask in enumerate(self.masks[: len(layout.cells)]):
            for digit in members(mask):
                self.where[digit] |= 1 << cell
        for unknown in range(len(layout.cells), len(self.masks)):
            if self.masks[unknown].bit_count() == 1:
                self.placed |= 1 << unknown

    def __repr__(self) -> str:
        return f"<Position: {self.placed.bit_count()} of {len(self.masks)} decided>"

    @classmethod
    def start(cls, puzzle: Puzzle) -> Position:
        """The position before the first step: the givens placed, every other candidate open."""
        layout = layout_of(puzzle)
        position = cls(layout, layout.full)
        for variable, value in puzzle.givens:
            position.place(*layout.mark_of(variable, value))
        position.given = position.placed
        return position

    def copy(self) -> Position:
        """A copy, to be changed independently."""
        other = Position.__new__(Position)
        other.layout, other.given, other.placed = self.layout, self.given, self.placed
        other.masks, other.where = self.masks[:], self.where[:]
        return other

    def become(self, other: Position) -> None:
        """Become equal to another position of the same puzzle."""
        self.given, self.placed = other.given, other.placed
        self.masks[:], self.where[:] = other.masks, other.where

    def place(self, cell: int, digit: int) -> None:
        """Write a digit into a cell and clear it from every cell that sees this one.

        Any other unknown only gets its value.
        """
        if not self.layout.cell_bits >> cell & 1:
            self.masks[cell] = 1 << digit
            self.placed |= 1 << cell
            return
        for other in members(self.masks[cell] & ~(1 << digit)):
            self.remove(cell, other)
        self.masks[cell] = 1 << digit
        self.where[digit] |= 1 << cell
        self.placed |= 1 << cell
        for peer in members(self.layout.sees[cell] & self.where[digit]):
            self.remove(peer, digit)

    def remove(self, cell: int, digit: int) -> None:
        """Strike one candidate."""
        mask = self.masks[cell] = self.masks[cell] & ~(1 << digit)
        if self.layout.cell_bits >> cell & 1:
            self.where[digit] &= ~(1 << cell)
        elif mask and not mask & (mask - 1):
            self.placed |= 1 << cell

    def conclude(self, places: Iterable[Mark], removes: Iterable[Mark]) -> None:
        """Write what a step places, then strike what it removes."""
        for mark in places:
            self.place(*mark)
        for mark in removes:
            self.remove(*mark)

    def has(self, mark: Mark) -> bool:
        """Whether a candidate is still there."""
        return bool(self.masks[mark[0]] >> mark[1] & 1)

    def is_placed(self, cell: int) -> bool:
        """Whether a cell's digit has been written in."""
        return bool(self.placed >> cell & 1)

    @property
    def open_bits(self) -> int:
        """The cells without a placed digit."""
        return self.layout.cell_bits & ~self.placed

    @property
    def open_unknowns(self) -> int:
        """Everything that is undecided, cells and other unknowns."""
        return ((1 << len(self.masks)) - 1) & ~self.placed

    def open_places(self, digit: int) -> int:
        """The cells that could hold a digit and have none placed."""
        return self.where[digit] & ~self.placed

    @property
    def solved(self) -> bool:
        """Whether everything is decided: cells, letters, doublers."""
        return not self.open_unknowns

    def candidates(self, cell: int) -> str:
        """The candidates of an unknown as they are written: ``159`` for a cell, ``12 15`` for others."""
        between = "" if self.layout.is_cell(cell) else " "
        written = (self.layout.value_name((cell, value)) for value in members(self.masks[cell]))
        return between.join(written)

    def line(self) -> str:
        """The placed digits as one line over the bounding rectangle."""
        digits = self.layout.digits
        values = [
            digits[mask.bit_length() - 1] if self.is_placed(cell) and mask else None
            for cell, mask in enumerate(self.masks[: len(self.layout.cells)])
        ]
        return self.layout.canvas.line(values)
