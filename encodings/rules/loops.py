"""Rules over loops and paths: what is on them, how they turn, what stands along or inside them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import lru_cache
from itertools import pairwise
from typing import ClassVar, Literal

from pydantic import Field

from gridassay.encodings.automata import Dfa
from gridassay.encodings.board import Board, Filled, Part
from gridassay.encodings.constraints import (
    AllOf,
    AnyOf,
    Automaton,
    Constraint,
    HowMany,
    In,
    Table,
)
from gridassay.encodings.formulas import Formula, FormulaError, parse, tuples
from gridassay.encodings.grid import Canvas, Cell
from gridassay.encodings.layers.base import Layer
from gridassay.encodings.layers.loops import (
    OFF,
    ON,
    BorderLoop,
    Loop,
    Path,
    Walk,
    inside_of_border,
    inside_of_walk,
    on_it,
    sides_on,
    visited,
)
from gridassay.encodings.rules.base import (
    Cells,
    Clue,
    RuleError,
    Shape,
    distinct_cells,
    length_between,
    spell,
)
from gridassay.encodings.rules.layered import (
    Amount,
    OnLayer,
    OnShading,
    amount_check,
    amount_is,
    amount_letters,
    amount_stated,
    amount_words,
    layer_of,
)
from gridassay.encodings.variables import Variable


class OnWalk(OnLayer):
    """Base of the rules that speak of cells of a loop or path."""

    cells: Cells

    on_kinds: ClassVar[tuple[type[Layer], ...]] = (Loop, Path)

    def walk(self, board: Board) -> Walk:
        """Its layer."""
        found = self.found(board)
        assert isinstance(found, Walk)
        return found

    def where(self) -> tuple[Cell, ...]:
        """Its cells."""
        return self.cells

    def check(self, board: Board) -> None:
        """At least a cell, none twice."""
        super().check(board)
        length_between(self.cells, 1)
        distinct_cells(self.cells)

    def arms(self, filled: Filled, cell: Cell) -> tuple[int, int, int, int]:
        """Which of the links up, down, left and right of a cell are drawn."""
        walk, canvas = self.walk(filled.board), filled.board.canvas
        found = []
        for move in ((-1, 0), (1, 0), (0, -1), (0, 1)):
            other = cell.step(*move)
            found.append(filled.numbers[walk.link(cell, other)] if other in canvas.index else 0)
        return found[0], found[1], found[2], found[3]

    def exactly(
        self, board: Board, cell: Cell, moves: Sequence[tuple[int, int]]
    ) -> Constraint | None:
        """That exactly these links of a cell are drawn; None where one of them leads nowhere."""
        walk, canvas = self.walk(board), board.canvas
        wanted = [cell.step(*move) for move in moves]
        if any(other not in canvas.index for other in wanted):
            return None
        return AllOf(
            tuple(
                In(walk.link(cell, other), ON if other in wanted else OFF)
                for other in canvas.neighbours(cell)
            )
        )


class OnIt(OnWalk):
    """The loop or path visits each of the cells.

    `on = false`: it visits none of them.

    Example: `kind = "on-it"`, `layer = "cruise"`, `cells = "r1c1 r3c3"`.
    """

    kind: Literal["on-it"] = "on-it"
    on: bool = Field(default=True, description="false: none of the cells is visited")

    sentence: ClassVar[str] = "The line visits the marked cells."

    def wording(self) -> str:
        """With the layer."""
        return f"The {self.layer} visits {'each' if self.on else 'none'} of the marked cells."

    def holds(self, filled: Filled) -> bool:
        """Some link is drawn at each, or at none."""
        return all(any(self.arms(filled, cell)) is self.on for cell in self.cells)

    def parts(self, board: Board) -> Iterator[Part]:
        """One part a cell."""
        for cell in self.cells:
            said = on_it(self.walk(board), board.canvas, cell)
            word = "on" if self.on else "not on"
            yield Part(f"{cell} is {word} {self.layer}", said if self.on else said.negated())

    def shapes(self, board: Board) -> Iterator[Shape]:
        """A disc in each cell, or a square where it is not visited."""
        yield Shape("cell mark", self.cells, figure="disc" if self.on else "square")


class Turns(OnWalk):
    """The loop or path turns in each of the cells, which it visits.

    Example: `kind = "turns"`, `layer = "cruise"`, `cells = "r2c2"`: it comes in by a side and leaves by
    one at a right angle.
    """

    kind: Literal["turns"] = "turns"

    sentence: ClassVar[str] = "The line turns in the marked cells."

    def wording(self) -> str:
        """With the layer."""
        return f"The {self.layer} turns in each of the marked cells."

    def holds(self, filled: Filled) -> bool:
        """One link up or down, one to the left or right."""
        arms = [self.arms(filled, cell) for cell in self.cells]
        return all(up + down == 1 == left + right for up, down, left, right in arms)

    def parts(self, board: Board) -> Iterator[Part]:
        """One part a cell."""
        for cell in self.cells:
            options = [
                self.exactly(board, cell, (upright, level))
                for upright in ((-1, 0), (1, 0))
                for level in ((0, -1), (0, 1))
            ]
            yield Part(f"{self.layer} turns at {cell}", AnyOf(tuple(o for o in options if o)))

    def shapes(self, board: Board) -> Iterator[Shape]:
        """A disc in each cell."""
        yield Shape("cell mark", self.cells, figure="disc")


class Straight(OnWalk):
    """The loop or path goes straight on in each of the cells, which it visits.

    Example: `kind = "straight"`, `layer = "cruise"`, `cells = "r2c2"`: it comes in by a side and leaves
    by the one opposite.
    """

    kind: Literal["straight"] = "straight"

    sentence: ClassVar[str] = "The line goes straight on in the marked cells."

    def wording(self) -> str:
        """With the layer."""
        return f"The {self.layer} goes straight on in each of the marked cells."

    def holds(self, filled: Filled) -> bool:
        """Both links up and down and no other, or both to the sides."""
        return all(self.arms(filled, cell) in ((1, 1, 0, 0), (0, 0, 1, 1)) for cell in self.cells)

    def parts(self, board: Board) -> Iterator[Part]:
        """One part a cell."""
        for cell in self.cells:
            options = [
                self.exactly(board, cell, ((-1, 0), (1, 0))),
                self.exactly(board, cell, ((0, -1), (0, 1))),
            ]
            yield Part(f"{self.layer} straight at {cell}", AnyOf(tuple(o for o in options if o)))

    def shapes(self, board: Board) -> Iterator[Shape]:
        """A circle in each cell."""
        yield Shape("cell mark", self.cells, figure="circle")


class CountsOnIt(OnWalk):
    """So many of the cells are visited.

    `count` is a number, a letter, a range `[least, most]` or `"digit of r1c1"`.

    Example: `kind = "counts-on-it"`, `layer = "cruise"`, `cells = "r1c1..r1c6"`, `count = 4`.
    """

    kind: Literal["counts-on-it"] = "counts-on-it"
    count: Amount

    sentence: ClassVar[str] = "A number tells how many of the cells the line visits."

    def wording(self) -> str:
        """With the layer."""
        return f"A number beside marked cells tells how many of them the {self.layer} visits."

    def check(self, board: Board) -> None:
        """A digit that is meant is there."""
        super().check(board)
        amount_check(board, self.count)

    def letters(self, board: Board) -> Mapping[str, tuple[int, int]]:
        """The letter that is counted up to."""
        return amount_letters(self.count, len(self.cells))

    def holds(self, filled: Filled) -> bool:
        """They are counted."""
        on = sum(any(self.arms(filled, cell)) for cell in self.cells)
        return amount_is(filled, self.count, on)

    def parts(self, board: Board) -> Iterator[Part]:
        """One part."""
        walk, most = self.walk(board), len(self.cells)

        def being(counts: frozenset[int]) -> Constraint:
            return visited(walk, board.canvas, self.cells, counts)

        stated = amount_stated(board, self.count, most, being)
        yield Part(f"{self.layer} in {spell(self.cells)}", stated)

    def shapes(self, board: Board) -> Iterator[Shape]:
        """An outline with the number."""
        yield Shape("cage", self.cells, amount_words(self.count))


class SidesOnIt(OnLayer):
    """So many sides of the cell are on the border loop.

    `count` is a number, a letter, a range `[least, most]` or `"digit of r1c1"`.

    Example: `kind = "sides-on-it"`, `layer = "fence"`, `cell = "r2c2"`, `count = 3`.
    """

    kind: Literal["sides-on-it"] = "sides-on-it"
    cell: Cells
    count: Amount

    on_kinds: ClassVar[tuple[type[Layer], ...]] = (BorderLoop,)
    sentence: ClassVar[str] = "A number tells how many sides of its cell are on the loop."

    def wording(self) -> str:
        """With the layer."""
        return f"A number tells how many sides of its cell belong to the {self.layer}."

    def where(self) -> tuple[Cell, ...]:
        """Its cell."""
        return self.cell

    def check(self, board: Board) -> None:
        """One cell."""
        super().check(board)
        if len(self.cell) != 1:
            raise RuleError("cell is one cell", key="cell")
        amount_check(board, self.count)

    def letters(self, board: Board) -> Mapping[str, tuple[int, int]]:
        """The letter that stands for the number."""
        return amount_letters(self.count, 4)

    def _border(self, board: Board) -> BorderLoop:
        found = self.found(board)
        assert isinstance(found, BorderLoop)
        return found

    def holds(self, filled: Filled) -> bool:
        """The sides are counted."""
        sides = self._border(filled.board).sides(filled.board.canvas, self.cell[0])
        return amount_is(filled, self.count, sum(filled.numbers[edge] for edge in sides))

    def parts(self, board: Board) -> Iterator[Part]:
        """One part."""
        border = self._border(board)

        def being(counts: frozenset[int]) -> Constraint:
            return sides_on(border, board.canvas, self.cell[0], counts)

        yield Part(f"{self.layer} at {self.cell[0]}", amount_stated(board, self.count, 4, being))

    def shapes(self, board: Board) -> Iterator[Shape]:
        """The number."""
        yield Shape("cell mark", self.cell, amount_words(self.count))


class Along(OnLayer):
    """The formula is true of each two cells that are joined.

    It speaks of their values as a and b and has to be true either way round.

    Example: `kind = "along"`, `layer = "cruise"`, `formula = "abs(a-b) >= 5"`.
    """

    kind: Literal["along"] = "along"
    formula: str = Field(description="a formula in a and b, such as 'abs(a-b) >= 5'")

    needs_digits: ClassVar[bool] = True
    on_kinds: ClassVar[tuple[type[Layer], ...]] = (Loop, Path)
    sentence: ClassVar[str] = "Digits that are joined keep a relation."

    def wording(self) -> str:
        """With the layer and the formula."""
        return f"Of two cells a and b that {self.layer} joins: {self.formula}."

    def place(self) -> str:
        """Its layer and formula."""
        return f"{self.layer}: {self.formula}"

    def check(self, board: Board) -> None:
        """A formula in a and b that says the same either way."""
        super().check(board)
        try:
            formula = _parsed(self.formula)
            rows = _allowed(formula, board.value_domain)
        except FormulaError as error:
            raise RuleError(f"formula: {error}", key="formula") from None
        if any((b, a) not in rows for a, b in rows):
            raise RuleError(
                "formula: it is not the same for a, b as for b, a, and a direction is not known here",
                key="formula",
            )

    def _walk(self, board: Board) -> Walk:
        found = self.found(board)
        assert isinstance(found, Walk)
        return found

    def holds(self, filled: Filled) -> bool:
        """Each link that is drawn is looked at."""
        walk, formula = self._walk(filled.board), _parsed(self.formula)
        return all(
            formula.true_for([filled.value(link.first), filled.value(link.second)])
            for link in walk.links(filled.board.canvas)
            if filled.numbers[link]
        )

    def parts(self, board: Board) -> Iterator[Part]:
        """One part for each two neighbours."""
        rows = _allowed(_parsed(self.formula), board.value_domain)
        for link in self._walk(board).links(board.canvas):
            table = Table(board.values((link.first, link.second)), rows)
            yield Part(f"along {link}", AnyOf((In(link, OFF), table)))

    def shapes(self, board: Board) -> Iterator[Shape]:
        """Nothing but its sentence."""
        yield Shape("grid")


@lru_cache(maxsize=64)
def _parsed(text: str) -> Formula:
    return parse(text, "ab")


@lru_cache(maxsize=16)
def _allowed(formula: Formula, domain: tuple[int, ...]) -> frozenset[tuple[int, ...]]:
    """All values of a and b for which it is true."""
    named = {name: place for place, name in enumerate(formula.names)}
    if not named:
        return frozenset((a, b) for a in domain for b in domain if formula.true_for([a, b]))
    short = tuples(parse(formula.text, formula.names), [domain] * len(named))
    return frozenset(
        (a, b)
        for a in domain
        for b in domain
        if tuple({"a": a, "b": b}[name] for name in formula.names) in short
    )


class StretchTotal(OnLayer):
    """Each straight stretch, from turn to turn, has that total.

    Both turning cells count in both stretches that meet there, and the ends of a path are ends of a
    stretch. `total` is a number or a letter.

    Example: `kind = "stretch-total"`, `layer = "cruise"`, `total = 12`.
    """

    kind: Literal["stretch-total"] = "stretch-total"
    total: Clue = Field(description="a number, or a letter that stands for one")
    by: Literal["turn"] = "turn"

    needs_digits: ClassVar[bool] = True
    on_kinds: ClassVar[tuple[type[Layer], ...]] = (Loop, Path)
    sentence: ClassVar[str] = "Each straight stretch has the same total."

    def wording(self) -> str:
        """With the layer and the total."""
        return f"The digits on each straight stretch of {self.layer}, turns included, total {self.total}."

    def place(self) -> str:
        """Its layer and total."""
        return f"{self.layer} {self.total}"

    def check(self, board: Board) -> None:
        """A number or letter; the word for equal ones is not a letter."""
        super().check(board)
        if self.total == "equal":
            raise RuleError("give a number, or a letter that is the same for all", key="total")

    def letters(self, board: Board) -> Mapping[str, tuple[int, int]]:
        """The letter that stands for the total."""
        if not isinstance(self.total, str):
            return {}
        low, high = board.value_domain[0], board.value_domain[-1]
        most = max(board.canvas.rows, board.canvas.columns)
        return {self.total: (min(2 * low, most * low), max(2 * high, most * high))}

    def _walk(self, board: Board) -> Walk:
        found = self.found(board)
        assert isinstance(found, Walk)
        return found

    def _stretches(self, canvas: Canvas) -> Iterator[tuple[list[Cell], list[Cell]]]:
        """Runs of cells in a row or column, each with the cells just beyond it."""
        for cell in canvas.cells:
            for move in ((0, 1), (1, 0)):
                run = [cell]
                while (following := run[-1].step(*move)) in canvas.index:
                    run.append(following)
                    before, after = cell.step(-move[0], -move[1]), following.step(*move)
                    yield run[:], [one for one in (before, after) if one in canvas.index]

    def holds(self, filled: Filled) -> bool:
        """Links are followed straight on as far as they go."""
        board = filled.board
        walk, canvas, wanted = self._walk(board), board.canvas, filled.number(self.total)

        def joined(one: Cell, other: Cell) -> bool:
            return other in canvas.index and filled.numbers[walk.link(one, other)] == 1

        for cell in canvas.cells:
            for down, right in ((0, 1), (1, 0)):
                back = cell.step(-down, -right)
                if back in canvas.index and joined(back, cell):
                    continue
                run = [cell]
                while joined(run[-1], run[-1].step(down, right)):
                    run.append(run[-1].step(down, right))
                if len(run) > 1 and sum(filled.values(run)) != wanted:
                    return False
        return True

    def parts(self, board: Board) -> Iterator[Part]:
        """One part for each stretch that there may be."""
        walk = self._walk(board)
        for run, beyond in self._stretches(board.canvas):
            links = [walk.link(*pair) for pair in pairwise(run)]
            on = [walk.link(one, run[0] if one < run[0] else run[-1]) for one in beyond]
            total = board.total(run, "==", self.total)
            other = [In(link, OFF) for link in links] + [In(link, ON) for link in on]
            label = f"stretch of {self.layer} {run[0]}..{run[-1]}"
            yield Part(label, AnyOf((*other, *total)))

    def shapes(self, board: Board) -> Iterator[Shape]:
        """Nothing but its sentence."""
        yield Shape("grid")


class Inside(OnLayer):
    """The cells lie inside the loop; with `side = "out"`, outside.

    Cells on a loop of cells are neither. A border loop has each cell on one of its sides.

    Example: `kind = "inside"`, `layer = "fence"`, `cells = "r2c2"`, `side = "in"`.
    """

    kind: Literal["inside"] = "inside"
    cells: Cells
    side: Literal["in", "out"] = "in"

    on_kinds: ClassVar[tuple[type[Layer], ...]] = (Loop, BorderLoop)
    sentence: ClassVar[str] = "The marked cells lie on one side of the loop."

    def wording(self) -> str:
        """With the layer and the side."""
        return f"The marked cells lie {'inside' if self.side == 'in' else 'outside'} {self.layer}."

    def where(self) -> tuple[Cell, ...]:
        """Its cells."""
        return self.cells

    def check(self, board: Board) -> None:
        """At least a cell, none twice."""
        super().check(board)
        length_between(self.cells, 1)
        distinct_cells(self.cells)

    def holds(self, filled: Filled) -> bool:
        """Crossings are counted; a cell on a loop of cells is nowhere."""
        board, canvas = filled.board, filled.board.canvas
        layer = self.found(board)
        if isinstance(layer, BorderLoop):
            inside = inside_of_border(layer, canvas, filled.numbers)
            on: set[Cell] = set()
        else:
            assert isinstance(layer, Loop)
            inside = inside_of_walk(layer, canvas, filled.numbers)
            on = {c for c, degree in layer.degrees(filled).items() if degree}
        return all(
            cell not in on and (cell in inside) is (self.side == "in") for cell in self.cells
        )

    def parts(self, board: Board) -> Iterator[Part]:
        """One part a cell."""
        layer = self.found(board)
        for cell in self.cells:
            said: list[Constraint] = [lies_inside(layer, board.canvas, cell, self.side == "in")]
            if isinstance(layer, Loop):
                said.append(on_it(layer, board.canvas, cell).negated())
            yield Part(f"{cell} {self.side}side {self.layer}", AllOf(tuple(said)))

    def shapes(self, board: Board) -> Iterator[Shape]:
        """A disc in each cell, or a circle where it is outside."""
        yield Shape("cell mark", self.cells, figure="disc" if self.side == "in" else "circle")


_PARITY = {
    odd: Dfa(0, frozenset({int(odd)}), {(s, n): s ^ n for s in (0, 1) for n in (0, 1)})
    for odd in (False, True)
}


def lies_inside(layer: object, canvas: Canvas, cell: Cell, inside: bool = True) -> Constraint:
    """A cell that is not on a loop lies inside it: an odd number of its lines are crossed to the left."""
    row = [Cell(cell.row, column) for column in range(1, cell.column + 1)]
    crossed: list[Variable] = []
    if isinstance(layer, BorderLoop):
        for here in row:
            before = here.step(0, -1)
            if here in canvas.index:
                crossed.append(layer.edge(canvas, here, "left"))
            elif before in canvas.index:
                crossed.append(layer.edge(canvas, before, "right"))
    else:
        assert isinstance(layer, Walk)
        for here in row:
            above = here.step(-1, 0)
            if here in canvas.index and above in canvas.index:
                crossed.append(layer.link(above, here))
    return Automaton(tuple(crossed), _PARITY[inside])


class Matches(OnShading):
    """The cells of the value are exactly the cells that a loop or path visits.

    `of` names the loop or path. `inside = true`: exactly the cells inside it instead.

    Example: `kind = "matches"`, `layer = "water"`, `value = "deep"`, `of = "cruise"`.
    """

    kind: Literal["matches"] = "matches"
    of: str = Field(description="the loop or path")
    inside: bool = Field(default=False, description="whether the cells inside it are meant")

    sentence: ClassVar[str] = "The cells of the value are those of the line."

    def wording(self) -> str:
        """With the layers and the value."""
        if self.inside:
            return f"The {self.value} cells are exactly those inside {self.of}."
        return f"The {self.value} cells are exactly those that {self.of} visits."

    def place(self) -> str:
        """Its layer, value and the other layer."""
        return f"{super().place()} {self.of}"

    def of_layers(self) -> tuple[str, ...]:
        """Both."""
        return self.layer, self.of

    def _line(self, board: Board) -> Layer:
        kinds: tuple[type[Layer], ...] = (Loop, BorderLoop) if self.inside else (Loop, Path)
        return layer_of(board, self.of, kinds, self.kind, "of")

    def check(self, board: Board) -> None:
        """There are both layers."""
        super().check(board)
        self._line(board)

    def holds(self, filled: Filled) -> bool:
        """Two sets of cells are the same."""
        board, canvas = filled.board, filled.board.canvas
        line, having = self._line(board), self.cells_with(filled)
        if isinstance(line, BorderLoop):
            return having == inside_of_border(line, canvas, filled.numbers)
        assert isinstance(line, Walk)
        if self.inside:
            return having == inside_of_walk(line, canvas, filled.numbers)
        return having == {cell for cell, degree in line.degrees(filled).items() if degree}

    def parts(self, board: Board) -> Iterator[Part]:
        """One part a cell."""
        line, canvas = self._line(board), board.canvas
        for cell in canvas.cells:
            there: Constraint
            if not self.inside:
                assert isinstance(line, Walk)
                there = on_it(line, canvas, cell)
            else:
                there = lies_inside(line, canvas, cell)
                if isinstance(line, Walk):
                    there = AllOf((there, on_it(line, canvas, cell).negated()))
            both = HowMany((self.has(board, cell), there), frozenset({0, 2}))
            yield Part(f"{self.layer} matches {self.of} at {cell}", both)
