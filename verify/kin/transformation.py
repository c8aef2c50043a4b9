"""A way from one puzzle to its kin: where each cell goes, and what each digit becomes.

However a way was found, ``carries`` checks it without any graph: every given must land on a given and
every statement of houses and rules on a statement.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from gridassay.encodings.constraints import Letter, Unknown
from gridassay.encodings.grid import Canvas, Cell
from gridassay.encodings.puzzle import Puzzle
from gridassay.encodings.variables import image_of
from gridassay.verify.budget import Clock
from gridassay.verify.in_short import shortened
from gridassay.verify.kin.form import Form, form_of
from gridassay.verify.kin.graph import Template, templates
from gridassay.verify.kin.terms import Digit, Member, map_term
from gridassay.verify.kin.turns import QUARTER_BACK, STAY, SYMMETRIES, turn_cells

_NAMED = (*SYMMETRIES, QUARTER_BACK)


@dataclass(frozen=True)
class Arrangement:
    """A way that moves whole rows and columns.

    Rows and columns are first exchanged if ``transposed``; then ``rows`` says which
    row stands in each place, from the top, and ``columns`` which column, from the left.
    """

    transposed: bool
    rows: tuple[int, ...]
    columns: tuple[int, ...]


@dataclass(frozen=True, repr=False)
class Transformation:
    """Where each cell goes, what each digit becomes, and the new name of each letter of a clue."""

    here: Canvas
    there: Canvas
    cells: Mapping[Cell, Cell]
    digits: Mapping[int, int]
    unknowns: Mapping[Unknown, Unknown]

    def __repr__(self) -> str:
        return f"<Transformation: {shortened(self.words())}>"

    @cached_property
    def arrangement(self) -> Arrangement | None:
        """The way by rows and columns, if it keeps them whole."""
        for transposed in (False, True):
            found = self._arrangement(transposed)
            if found is not None:
                return found
        return None

    def _arrangement(self, transposed: bool) -> Arrangement | None:
        rows: dict[int, int] = {}
        columns: dict[int, int] = {}
        for start, end in self.cells.items():
            row, column = (start.column, start.row) if transposed else start
            if (
                rows.setdefault(end.row, row) != row
                or columns.setdefault(end.column, column) != column
            ):
                return None
        if max(rows) > len(rows) or max(columns) > len(columns):
            return None
        return Arrangement(
            transposed,
            tuple(rows[number] for number in sorted(rows)),
            tuple(columns[number] for number in sorted(columns)),
        )

    def words(self) -> str:
        """The way in words that anyone can follow with pencil and paper."""
        steps = [*self._cell_words(), *self._digit_words(), *self._letter_words()]
        return "; ".join(steps) or "nothing changes"

    def _cell_words(self) -> Iterator[str]:
        if all(start == end for start, end in self.cells.items()):
            return
        for turn in _NAMED:
            if turn_cells(self.here, turn, self.there) == self.cells:
                yield turn.words
                return
        found = self.arrangement
        if found is None:
            moved = (f"{start}→{end}" for start, end in self.cells.items() if start != end)
            yield f"move cells {' '.join(moved)}"
            return
        if found.transposed:
            yield "rows become columns (r1c2 becomes r2c1)"
        for name, order in (("rows", found.rows), ("columns", found.columns)):
            if order != tuple(range(1, len(order) + 1)):
                yield f"{name} {' '.join(map(str, order))} become {name} 1 to {len(order)}"

    def _digit_words(self) -> Iterator[str]:
        text = renaming_words(self.digits, self.here, self.there)
        if text:
            yield f"rename digits {text}"

    def _letter_words(self) -> Iterator[str]:
        letters = {
            str(old): str(new)
            for old, new in self.unknowns.items()
            if old != new and isinstance(old, Letter)
        }
        if letters:
            yield f"rename letters {' '.join(f'{old}→{new}' for old, new in letters.items())}"

    def to_json(self) -> dict[str, Any]:
        """The way for programs: by rows and columns if it keeps them whole, else by cells."""
        result: dict[str, Any] = {"words": self.words()}
        found = self.arrangement
        if found:
            result |= {
                "transposed": found.transposed,
                "rows": list(found.rows),
                "columns": list(found.columns),
            }
        else:
            result["cells"] = {str(start): str(end) for start, end in self.cells.items()}
        result["digits"] = {str(old): new for old, new in self.digits.items()}
        return result


def renaming_words(digits: Mapping[int, int], here: Canvas, there: Canvas) -> str:
    """Words for a renaming: ``1↔9`` for digits that swap, else ``1→2``; nothing for others."""
    parts = []
    for old, new in digits.items():
        if digits.get(new) == old:
            if old < new:
                parts.append(f"{here.symbols[old]}↔{there.symbols[new]}")
        else:
            parts.append(f"{here.symbols[old]}→{there.symbols[new]}")
    return " ".join(parts)


def between(first: Puzzle, one: Form, second: Puzzle, other: Form) -> Transformation:
    """The way from the first puzzle to the second, whose forms are equal."""
    at = {label: node for node, label in enumerate(other.labels)}
    return from_nodes(first, one, second, other, [at[label] for label in one.labels])


def from_nodes(
    first: Puzzle, one: Form, second: Puzzle, other: Form, image: Sequence[int]
) -> Transformation:
    """The way that a map of graph nodes describes."""
    cells: dict[Cell, Cell] = {}
    unknowns: dict[Unknown, Unknown] = {}
    for node, variable in enumerate(one.template.variables):
        goal = other.template.variables[image[node]]
        if isinstance(variable, Cell) and isinstance(goal, Cell):
            cells[variable] = goal
        elif not isinstance(variable, Cell) and not isinstance(goal, Cell):
            unknowns[variable] = goal
    written = {node: digit for digit, node in other.template.digit_node.items()}
    digits = {digit: written[image[node]] for digit, node in one.template.digit_node.items()}
    return Transformation(first.canvas, second.canvas, cells, digits, unknowns)


def pinned_way(
    first: Puzzle,
    start: Template,
    second: Puzzle,
    end: Template,
    image: Mapping[Cell, Cell],
    clock: Clock,
) -> Transformation | None:
    """The way that moves the cells as told, if there is one. Raises OutOfTime."""
    pins, goals = {}, {}
    for variable, node in start.node.items():
        goal = image_of(variable, image)
        if goal in end.node:
            pins[node], goals[end.node[goal]] = node, node
    one = form_of(start, start.given_edges(first), clock, pins)
    other = form_of(end, end.given_edges(second), clock, goals)
    return between(first, one, second, other) if one.text == other.text else None


def turning(first: Puzzle, second: Puzzle, clock: Clock) -> Transformation | None:
    """A way that is a turn or mirror of the whole page, if there is one. Raises OutOfTime."""
    start = templates(first, clock)[0]
    for turn in (STAY, *_NAMED):
        image = turn_cells(first.canvas, turn, second.canvas)
        if image is None:
            continue
        for end in templates(second, clock):
            way = pinned_way(first, start, second, end, image, clock)
            if way:
                return way
    return None


def carries(way: Transformation, first: Puzzle, second: Puzzle, clock: Clock) -> bool:
    """Whether the way takes the first puzzle onto the second: givens, houses and rules.

    Raises OutOfTime.
    """
    landed = {
        (way.cells[fact.variable], way.digits[fact.value])
        if isinstance(fact.variable, Cell)
        else (way.unknowns[fact.variable], fact.value)
        for fact in first.givens
    }
    if landed != set(second.givens):
        return False
    said, goal = templates(first, clock), templates(second, clock)[0]
    start, digits = said[0].terms, way.digits
    if any(one.numeric for one in start):
        if any(old != new for old, new in digits.items()):
            turn = said[-1].turn
            if turn is None or any(new != turn - old for old, new in digits.items()):
                return False
            start = said[-1].terms
        digits = {digit: digit for digit in digits}

    def image(member: Member) -> Member:
        if isinstance(member, Cell):
            return way.cells[member]
        if isinstance(member, Unknown):
            return way.unknowns[member]
        return Digit(digits[member.value]) if isinstance(member, Digit) else member

    return {map_term(one, image) for one in start} == set(goal.terms)
