"""Rules about a shading, cell by cell: squares, distances, equal cells, and the digits of a value."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations
from typing import Annotated, ClassVar, Literal

from pydantic import BeforeValidator, Field

from gridassay.encodings.board import Board, Filled, Part
from gridassay.encodings.constraints import AllOf, AnyOf, Compare, Constraint, In
from gridassay.encodings.grid import Canvas, Cell
from gridassay.encodings.layers.shading import Shading
from gridassay.encodings.rules.base import (
    Cells,
    Numbers,
    RuleError,
    Shape,
    listing,
    spell,
)
from gridassay.encodings.rules.layered import Marked, OnLayer, OnShading


def _some_values(given: object) -> object:
    if not isinstance(given, list | tuple) or not given:
        raise ValueError("this must be an array of values")
    return tuple(given)


class NoSquare(OnLayer):
    """No 2×2 square of cells has only one value.

    `values` lists the values that it applies to, each by itself; by default, all of them.

    Example: `kind = "no-square"`, `layer = "water"`, `values = ["deep"]`: of r1c1, r1c2, r2c1 and r2c2
    at least one is not deep.
    """

    kind: Literal["no-square"] = "no-square"
    values: Annotated[tuple[str | int, ...], BeforeValidator(_some_values)] | None = Field(
        default=None, description="the values it applies to; all by default"
    )

    on_kinds: ClassVar[tuple[type[Shading], ...]] = (Shading,)
    sentence: ClassVar[str] = "No 2×2 square is all of one value."

    @property
    def spoken(self) -> str:
        """Its name in steps: ``rule against squares``."""
        return "rule against squares"

    def wording(self) -> str:
        """The sentence, with the values."""
        if self.values is None:
            return f"No 2×2 square is shaded all alike ({self.layer})."
        shades = [f"shaded {one}" if isinstance(one, int) else one for one in self.values]
        return f"No 2×2 square is all {listing(shades, 'or all')}."

    def place(self) -> str:
        """Its layer and values."""
        return " ".join([self.layer, *map(str, self.values or ())])

    def _numbers(self, board: Board) -> dict[str | int, int]:
        layer = self.own_layer(board)
        assert isinstance(layer, Shading)
        return {value: layer.number(value) for value in self.values or layer.values}

    def check(self, board: Board) -> None:
        """The layer has the values."""
        super().check(board)
        try:
            self._numbers(board)
        except RuleError as error:
            raise RuleError(str(error), key="values") from None

    def holds(self, filled: Filled) -> bool:
        """Each square is checked."""
        layer = self.own_layer(filled.board)
        assert isinstance(layer, Shading)
        barred = set(self._numbers(filled.board).values())
        for cells in _squares(filled.board.canvas):
            met = {filled.numbers[layer.at(cell)] for cell in cells}
            if len(met) == 1 and met <= barred:
                return False
        return True

    def parts(self, board: Board) -> Iterator[Part]:
        """One part per square and value."""
        layer = self.own_layer(board)
        assert isinstance(layer, Shading)
        for cells in _squares(board.canvas):
            for value, number in self._numbers(board).items():
                alone = frozenset({number})
                others = tuple(In(layer.at(cell), alone, inside=False) for cell in cells)
                yield Part(f"{self.layer}: no {value} square at {cells[0]}", AnyOf(others))

    def shapes(self, board: Board) -> Iterator[Shape]:
        """Only its sentence."""
        yield Shape("grid")


def _squares(canvas: Canvas) -> Iterator[tuple[Cell, Cell, Cell, Cell]]:
    for cell in canvas.cells:
        square = (cell, cell.step(0, 1), cell.step(1, 0), cell.step(1, 1))
        if all(one in canvas.index for one in square):
            yield square


class Apart(OnShading):
    """No two cells of the value touch.

    `touching` is `"side"`, `"diagonal"` (by a corner only) or `"any"` (by a side or a corner).

    Example: `kind = "apart"`, `layer = "sky"`, `value = "star"`, `touching = "any"`: no two stars touch,
    not even at a corner.
    """

    kind: Literal["apart"] = "apart"
    touching: Literal["side", "diagonal", "any"] = "side"

    sentence: ClassVar[str] = "No two cells of the value touch."

    @property
    def spoken(self) -> str:
        """Its name in steps: ``space between star cells``."""
        return f"space between {self.value} cells"

    def wording(self) -> str:
        """The sentence, with the value and the way of touching."""
        how = {
            "side": "share a side",
            "diagonal": "touch at a corner only",
            "any": "touch, not even at a corner",
        }
        return f"No two {self.cells_called()} {how[self.touching]}."

    def place(self) -> str:
        """The sentence, with the way of touching, if it is not by a side."""
        return " ".join(
            filter(None, (super().place(), {"side": ""}.get(self.touching, self.touching)))
        )

    def _moves(self) -> tuple[tuple[int, int], ...]:
        side, corner = ((0, 1), (1, 0)), ((1, 1), (1, -1))
        return {"side": side, "diagonal": corner, "any": (*side, *corner)}[self.touching]

    def _pairs(self, canvas: Canvas) -> Iterator[tuple[Cell, Cell]]:
        for cell in canvas.cells:
            for move in self._moves():
                if (other := cell.step(*move)) in canvas.index:
                    yield cell, other

    def holds(self, filled: Filled) -> bool:
        """Checked by the distance in rows and columns."""
        near = {"side": {(0, 1), (1, 0)}, "diagonal": {(1, 1)}, "any": {(0, 1), (1, 0), (1, 1)}}
        return not any(
            (abs(a.row - b.row), abs(a.column - b.column)) in near[self.touching]
            for a, b in combinations(self.cells_with(filled), 2)
        )

    def parts(self, board: Board) -> Iterator[Part]:
        """One part per pair of cells."""
        for one, other in self._pairs(board.canvas):
            both = (self.has(board, one, inside=False), self.has(board, other, inside=False))
            yield Part(f"{self.layer}: not both {self.value} {one} {other}", AnyOf(both))


class DigitsOf(OnShading):
    """Cells with the value hold only these digits.

    With `only = true`, no other cell holds one of them.

    Example: `kind = "digits-of"`, `layer = "water"`, `value = "deep"`, `digits = [2, 4, 6]`:
    deep cells hold even digits.
    """

    kind: Literal["digits-of"] = "digits-of"
    needs_digits: ClassVar[bool] = True
    digits: Numbers
    only: bool = Field(default=False, description="whether no other cell holds them")

    sentence: ClassVar[str] = "Cells of the value hold the digits given."

    @property
    def spoken(self) -> str:
        """Its name in steps: ``digits of deep cells``."""
        return f"digits of {self.value} cells"

    def wording(self) -> str:
        """The sentence, with the value and the digits."""
        written = listing([str(digit) for digit in self.digits], "or")
        other = ", and no other cell does" if self.only else ""
        return f"Each {self.cells_called(one=True)} holds {written}{other}."

    def check(self, board: Board) -> None:
        """The digits are digits of the canvas."""
        super().check(board)
        for digit in self.digits:
            if digit not in board.canvas.digits:
                raise RuleError(f"{digit} is not a digit of this canvas", key="digits")

    def holds(self, filled: Filled) -> bool:
        """Cell by cell."""
        having = self.cells_with(filled)
        for cell in filled.board.canvas.cells:
            if cell in having and filled[cell] not in self.digits:
                return False
            if self.only and cell not in having and filled[cell] in self.digits:
                return False
        return True

    def parts(self, board: Board) -> Iterator[Part]:
        """One part per cell."""
        held = frozenset(self.digits)
        for cell in board.canvas.cells:
            said: list[Constraint] = [AnyOf((self.has(board, cell, inside=False), In(cell, held)))]
            if self.only:
                said.append(AnyOf((self.has(board, cell), In(cell, held, inside=False))))
            yield Part(f"{self.layer}: digit of {self.value} {cell}", AllOf(tuple(said)))


class SameAlong(Marked, OnLayer):
    """The cells of a drawn line, cage or pair all have one value, whichever it is.

    With `same = false`, not all of them have the same value.

    Example: `kind = "same-along"`, `layer = "water"`, `cells = "r1c1 r2c2"`.
    """

    kind: Literal["same-along"] = "same-along"
    cells: Cells
    same: bool = Field(default=True, description="false: they are not all the same")

    fewest: ClassVar[int] = 2
    on_kinds: ClassVar[tuple[type[Shading], ...]] = (Shading,)
    sentence: ClassVar[str] = "The cells of a line have one value."

    @property
    def spoken(self) -> str:
        """Its name in steps: ``water line``."""
        return f"{self.layer} line"

    def wording(self) -> str:
        """The sentence, with the layer."""
        if self.same:
            return f"The cells that are joined by a line are shaded alike ({self.layer})."
        return f"The cells that are joined by a line are not all shaded alike ({self.layer})."

    def _layer(self, board: Board) -> Shading:
        found = self.own_layer(board)
        assert isinstance(found, Shading)
        return found

    def holds(self, filled: Filled) -> bool:
        """The cells have one value, or more than one."""
        layer = self._layer(filled.board)
        return (len({filled.numbers[layer.at(cell)] for cell in self.cells}) == 1) is self.same

    def parts(self, board: Board) -> Iterator[Part]:
        """One part."""
        first, *rest = map(self._layer(board).at, self.cells)
        equal = AllOf(tuple(Compare(first, "==", other) for other in rest))
        word = "the same" if self.same else "not the same"
        yield Part(
            f"{self.layer}: {word} {spell(self.cells)}", equal if self.same else equal.negated()
        )

    def shapes(self, board: Board) -> Iterator[Shape]:
        """A line."""
        yield Shape("line", self.cells)
