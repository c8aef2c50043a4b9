"""A relation that the setter writes: a formula over listed cells, or over every neighbourhood."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import lru_cache
from itertools import product
from math import prod
from typing import Annotated, ClassVar, Literal

from pydantic import BeforeValidator, Field, WithJsonSchema

from gridassay.encodings.automata import Dfa
from gridassay.encodings.board import Board, Filled, Part
from gridassay.encodings.constraints import (
    AllOf,
    AnyOf,
    Automaton,
    Constraint,
    Letter,
    Table,
    Variable,
)
from gridassay.encodings.diagrams import diagram, letter_spans
from gridassay.encodings.formula_words import in_signs, in_words
from gridassay.encodings.formulas import TUPLE_LIMIT, Formula, FormulaError, parse, tuples
from gridassay.encodings.grid import Cell
from gridassay.encodings.reserved import trouble_with
from gridassay.encodings.rules.base import (
    Cells,
    Rule,
    RuleError,
    Shape,
    distinct_cells,
    length_between,
    listing,
    spell,
)
from gridassay.encodings.wording import ORDINALS, direction, quantity, reach

MOST_NUMBERS = 10_000
"""A letter that could be more than this many numbers is refused."""

LETTERS = "abcdefghijklmnopqrstuvwxyz"

Each = Literal[
    "row neighbours",
    "column neighbours",
    "orthogonal neighbours",
    "diagonal neighbours",
    "row triples",
    "column triples",
    "2x2 squares",
    "rows",
    "columns",
    "boxes",
]

_SHAPES: dict[str, tuple[tuple[tuple[int, int], ...], ...]] = {
    "row neighbours": (((0, 1),),),
    "column neighbours": (((1, 0),),),
    "orthogonal neighbours": (((0, 1),), ((1, 0),)),
    "diagonal neighbours": (((1, -1),), ((1, 1),)),
    "row triples": (((0, 1), (0, 2)),),
    "column triples": (((1, 0), (2, 0)),),
    "2x2 squares": (((0, 1), (1, 0), (1, 1)),),
}
"""From the first cell of a neighbourhood, left or above, to the others."""

_TOLD: dict[str, tuple[str, tuple[str, ...]]] = {
    "row neighbours": ("any two neighbouring cells of a row", ("left", "right")),
    "column neighbours": ("any two neighbouring cells of a column", ("upper", "lower")),
    "orthogonal neighbours": (
        "any two cells that share a side, the left or upper one first",
        ("first", "second"),
    ),
    "diagonal neighbours": ("any two cells that touch diagonally", ("upper", "lower")),
    "row triples": ("any three neighbouring cells of a row, from left to right", ORDINALS),
    "column triples": ("any three neighbouring cells of a column, from top to bottom", ORDINALS),
    "2x2 squares": (
        "every 2×2 square",
        ("top left", "top right", "bottom left", "bottom right"),
    ),
    "rows": ("every row, from left to right", ORDINALS),
    "columns": ("every column, from top to bottom", ORDINALS),
    "boxes": ("every box or region, read row by row", ORDINALS),
}
"""How a sentence opens, and what it calls the digits."""


def _read_offsets(given: object) -> object:
    if not isinstance(given, list | tuple) or not given:
        raise ValueError("this must be an array of pairs, such as [[1, 2]]")
    pairs = [tuple(pair) if isinstance(pair, list | tuple) else () for pair in given]
    if not all(len(pair) == 2 and all(type(step) is int for step in pair) for pair in pairs):
        raise ValueError("each pair must be two whole numbers: rows down and columns right")
    return tuple(pairs)


Offsets = Annotated[
    tuple[tuple[int, int], ...],
    BeforeValidator(_read_offsets),
    WithJsonSchema(
        {
            "type": "array",
            "minItems": 1,
            "items": {"type": "array", "items": {"type": "integer"}, "minItems": 2, "maxItems": 2},
        }
    ),
]


class Relation(Rule):
    """The formula is true for the cells: lower-case letters name them in order, `a` being the first.

    `holds` is the formula: whole numbers, `+ - * // % **`, comparisons (in chains too), `and`,
    `or`, `not`, `abs`, `min`, `max` and brackets, calculated in exact rationals. If an operation is
    undefined, such as a division by 0, the whole formula is false. A small letter is the value of
    its cell: the digit, or twice the digit if the cell counts double. A name that begins with a
    capital is an unknown whole number, the same wherever it is written.

    Instead of `cells`, `each` states the formula of every neighbourhood of one kind: pairs of row,
    column, orthogonal or diagonal neighbours (once each, the left one first, or the upper one if
    they are in different rows), three neighbours of a row or a column, 2x2 squares, rows, columns,
    or boxes (or regions, if there are any), cells in reading order. `offsets = [[1, 2]]` states it of
    any two cells that are that many rows down and columns right of each other. If there are several
    grids, `grid` picks one; without it, the rule is about all of them.

    The formula becomes a table of all values it allows, or, if these are too many (5 letters of 9
    digits are not), a decision diagram, read cell by cell; if that is too large as well, the rule
    is refused.

    Example: `kind = "relation"`, `cells = "r1c1 r2c2 r3c3"`, `holds = "a + c == 2*b"` makes r2c2 the
    mean of the other two. `each = "row neighbours"`, `holds = "abs(a - b) != 1"` keeps consecutive
    digits apart in all rows.
    """

    kind: Literal["relation"] = "relation"
    cells: Cells | None = None
    each: Each | None = Field(default=None, description="every neighbourhood of a sort")
    offsets: Offsets | None = Field(
        default=None, description="every two cells so far apart: rows down, columns right"
    )
    formula: str = Field(alias="holds", description="a formula, such as 'a + b == 2*c'")
    grid: str | None = Field(default=None, description="with each or offsets: the grid's name")

    sentence: ClassVar[str] = "The marked cells keep a relation of the setter's own."

    def wording(self) -> str:
        """The formula, in words if it is short, and the cells that it is about."""
        size = self._size()
        formula = _parse(self.formula, size or len(LETTERS))
        about, names = self._about(plain=_is_even(formula))
        said = in_words(formula, names)
        if said is None:
            about, _ = self._about(plain=False)
            if size == 1:
                said = f"the digit a satisfies {in_signs(formula)}"
            else:
                letters = listing(LETTERS[:size], "and") if size else "a, b, c and so on"
                said = f"the digits {letters}, in this order, satisfy {in_signs(formula)}"
        return f"{about[0].upper()}{about[1:]}, {said}."

    def _size(self) -> int | None:
        """The number of cells in each neighbourhood; None if only the board tells."""
        if self.cells is not None:
            return len(self.cells)
        if self.offsets is not None:
            return 2
        shapes = _SHAPES.get(self.each or "")
        return None if shapes is None else 1 + len(shapes[0])

    def _about(self, *, plain: bool) -> tuple[str, tuple[str, ...]]:
        """Words for the cells of the formula and its digits; ``plain`` if the order does not matter."""
        where = "" if self.grid is None else f" of grid {self.grid}"
        if self.cells is not None:
            if len(self.cells) == 1:
                return "in a marked cell", ("",)
            order = "" if plain else f", read {direction(self.cells)}"
            return f"along a marked line{order}", ORDINALS
        if self.offsets is not None:
            steps = listing([f"{_step(offset)} the first" for offset in self.offsets], "or")
            return f"in any two cells{where} of which the second lies {steps}", ORDINALS
        about, names = _TOLD[self.each or "rows"]
        return f"in {about.partition(',')[0] if plain else about}{where}", names

    def where(self) -> tuple[Cell, ...]:
        """Its cells; none if it is about neighbourhoods."""
        return self.cells or ()

    def place(self) -> str:
        """Its cells or sort of neighbourhood, and the formula."""
        if self.cells is not None:
            where = spell(self.cells)
        else:
            apart = " ".join(f"{down},{right}" for down, right in self.offsets or ())
            where = self.each or f"pairs {apart} apart"
        where = where if self.grid is None else f"{where} of {self.grid}"
        return f"{where}: {self.formula}"

    def site(self) -> str:
        """Its cells or sort of neighbourhood; its sentence says the rest."""
        if self.cells is not None:
            return reach(self.cells)
        where = "" if self.grid is None else f" of {self.grid}"
        return f"on {self.each or 'cells so far apart'}{where}"

    @property
    def seen_as(self) -> str:
        """A line, or what its sentence says of all neighbourhoods."""
        return self.wording() if self.cells is None else f"{len(self.cells) > 1} line"

    def check(self, board: Board) -> None:
        """Cells or a neighbourhood are given, and a formula that they fit."""
        super().check(board)
        if sum(one is not None for one in (self.cells, self.each, self.offsets)) != 1:
            raise RuleError("give cells, each or offsets, one of the three")
        if self.cells is not None:
            if self.grid is not None:
                raise RuleError("grid goes with each or offsets, not with cells", key="grid")
            length_between(self.cells, 1, len(LETTERS))
            distinct_cells(self.cells)
        if (0, 0) in (self.offsets or ()):
            raise RuleError("offsets: [0, 0] leads from a cell to itself", key="offsets")
        for size in sorted({len(cells) for cells in self.neighbourhoods(board)}):
            if size > len(LETTERS):
                raise RuleError(
                    f"each: {self.each} have {size} cells, but letters can name only {len(LETTERS)}",
                    key="each",
                )
            try:
                formula = _parse(self.formula, size)
                for name in formula.unknowns:
                    if trouble := trouble_with(name):
                        raise FormulaError(f"{name!r} {trouble}: choose another letter")
                _statement(formula, board.value_domain, _numbers(formula, board))
            except FormulaError as error:
                raise RuleError(f"holds: {error}", key="holds") from None

    def letters(self, board: Board) -> Mapping[str, tuple[int, int]]:
        """The unknowns of its formula, with the numbers that can make it true."""
        spans: dict[str, tuple[int, int]] = {}
        for size in {len(cells) for cells in self.neighbourhoods(board)}:
            formula = _parse(self.formula, size)
            for name, (low, high) in letter_spans(formula, board.value_domain).items():
                if high - low >= MOST_NUMBERS:
                    raise FormulaError(
                        f"{name} could be {high - low + 1:,} numbers, more than {MOST_NUMBERS:,}"
                    )
                lowest, highest = spans.get(name, (low, high))
                spans[name] = min(low, lowest), max(high, highest)
        return spans

    def neighbourhoods(self, board: Board) -> list[tuple[Cell, ...]]:
        """The cells of each time that the formula is stated."""
        if self.cells is not None:
            return [self.cells]
        canvas = board.canvas
        if self.each in ("rows", "columns", "boxes"):
            found = [
                cells
                for grid in ([canvas.grid(self.grid)] if self.grid else canvas.grids)
                for cells in {
                    "rows": grid.rows,
                    "columns": grid.columns,
                    "boxes": tuple(area.cells for area in grid.areas),
                }[self.each]
            ]
            if not found:
                raise RuleError(f"each: there are no {self.each} here", key="each")
            return list(dict.fromkeys(found))
        inside = canvas.grid(self.grid).cells if self.grid else canvas.cells
        shapes = _SHAPES.get(self.each or "") or tuple((one,) for one in self.offsets or ())
        return list(dict.fromkeys(_close(inside, shapes)))

    def holds(self, filled: Filled) -> bool:
        """The formula is true of each neighbourhood's values."""
        for cells in self.neighbourhoods(filled.board):
            formula = _parse(self.formula, len(cells))
            numbers = [filled.number(name) for name in formula.unknowns]
            if not formula.true_for([*filled.values(cells), *numbers]):
                return False
        return True

    def parts(self, board: Board) -> Iterator[Part]:
        """One part per neighbourhood."""
        for cells in self.neighbourhoods(board):
            formula = _parse(self.formula, len(cells))
            used = [cells[LETTERS.index(letter)] for letter in formula.names]
            variables: tuple[Variable, ...] = (*board.values(used), *map(Letter, formula.unknowns))
            unknowns = tuple(board.letters[name] for name in formula.unknowns)
            stated = _statement(formula, board.value_domain, unknowns)
            constraint: Constraint
            if isinstance(stated, Dfa):
                constraint = Automaton(variables, stated)
            elif not variables:
                constraint = AllOf(()) if stated else AnyOf(())
            else:
                constraint = Table(variables, stated)
            yield Part(f"relation {spell(cells)}", constraint)

    def shapes(self, board: Board) -> Iterator[Shape]:
        """A line through listed cells; nothing for neighbourhoods."""
        yield Shape("grid") if self.cells is None else Shape("line", self.cells)


def _step(offset: tuple[int, int]) -> str:
    """Where the second of two cells lies, seen from the first."""
    down, right = offset
    told = []
    if down:
        told.append(f"{quantity(abs(down), 'row')} {'below' if down > 0 else 'above'}")
    if right:
        told.append(f"{quantity(abs(right), 'column')} {'right' if right > 0 else 'left'} of")
    return " and ".join(told)


@lru_cache(maxsize=256)
def _is_even(formula: Formula) -> bool:
    """Whether it says the same from the other end, so that the sentence need not name an end.

    Tried for two and three cells, on all digits that there are and some values of doublers.
    """
    letters, most = formula.letters, {1: 0, 2: 36, 3: 19}
    if len(letters) not in most:
        return False
    mirrored = parse(formula.text, letters[::-1])
    unknowns = [
        [number] * len(formula.unknowns) for number in ((1, 5, 10) if formula.unknowns else (0,))
    ]
    return all(
        formula.true_for([*values, *numbers]) == mirrored.true_for([*values, *numbers])
        for values in product(range(most[len(letters)]), repeat=len(letters))
        for numbers in unknowns
    )


def _numbers(formula: Formula, board: Board) -> tuple[tuple[int, ...], ...]:
    """The range of each unknown of a formula; on a bare board, what the formula leaves."""
    spans = letter_spans(formula, board.value_domain)
    return tuple(
        board.letters.get(name) or tuple(range(spans[name][0], spans[name][1] + 1))
        for name in formula.unknowns
    )


def _close(
    inside: Sequence[Cell], shapes: Sequence[tuple[tuple[int, int], ...]]
) -> Iterator[tuple[Cell, ...]]:
    """Every cell, with the cells at the offsets of a shape from it."""
    known = frozenset(inside)
    for cell in inside:
        for shape in shapes:
            others = tuple(cell.step(*step) for step in shape)
            if known.issuperset(others):
                yield cell, *others


@lru_cache(maxsize=256)
def _parse(text: str, cells: int) -> Formula:
    return parse(text, LETTERS[:cells])


@lru_cache(maxsize=32)
def _statement(
    formula: Formula, domain: tuple[int, ...], numbers: tuple[tuple[int, ...], ...]
) -> frozenset[tuple[int, ...]] | Dfa:
    """The values of the named cells and unknowns for which it is true, as a table or a diagram."""
    if not formula.names and not formula.unknowns:
        return frozenset({()} if formula.true_for([0] * len(formula.letters)) else ())
    domains = [domain] * len(formula.names) + list(numbers)
    if prod(map(len, domains)) <= TUPLE_LIMIT and formula.names:
        named = parse(formula.text, formula.names)
        return frozenset(tuples(named, domains))
    return diagram(formula, domains)
