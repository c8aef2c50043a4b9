"""The base of every layer: fields, variables, a plain reading, a statement, and how it is written."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Annotated, Any, ClassVar

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field

from gridassay.encodings.board import Board, Filled, Part
from gridassay.encodings.errors import RuleError
from gridassay.encodings.grid import Canvas, Cell
from gridassay.encodings.reserved import free
from gridassay.encodings.variables import Fact, Values, Variable


def _plain_name(given: object) -> object:
    if isinstance(given, str) and not re.fullmatch(r"[A-Za-z][A-Za-z0-9_-]*", given):
        raise ValueError(f"{given!r} is not a name: a letter, then letters, digits, - and _")
    return free(given) if isinstance(given, str) else given


class Layer(BaseModel):
    """Base of every kind of layer. A subclass gives ``kind``, its fields and the methods below."""

    model_config = ConfigDict(frozen=True, extra="forbid", strict=True, defer_build=True)

    kind: str
    name: Annotated[str, BeforeValidator(_plain_name), Field(description="the name that rules use")]

    called: ClassVar[str]
    """The usual name for a layer of this kind: ``a loop``."""

    @property
    def binds_digits(self) -> bool:
        """Whether it restricts the digits by itself, without a rule that mentions it."""
        return False

    def check(self, canvas: Canvas) -> None:
        """Raise RuleError if it is not possible on this canvas."""

    def variables(self, canvas: Canvas) -> Mapping[Variable, tuple[int, ...]]:
        """Its variables with the numbers each can be, in reading order."""
        raise NotImplementedError

    def facts(self, canvas: Canvas) -> tuple[Fact, ...]:
        """Its givens. Raises RuleError naming the cell or the given at fault."""
        raise NotImplementedError

    def parts(self, board: Board) -> Iterator[Part]:
        """The parts that always hold, each of which can be cited."""
        raise NotImplementedError

    def holds(self, filled: Filled) -> bool:
        """Whether a full board keeps it: its meaning in plain Python."""
        raise NotImplementedError

    def solution_text(self, canvas: Canvas, values: Values) -> str:
        """Its part of a solution, as results show it."""
        raise NotImplementedError

    def givens_of(self, canvas: Canvas, values: Values) -> str | list[str]:
        """The field ``givens`` of a file for these values, of which only some may be known."""
        raise NotImplementedError

    def signs(self, canvas: Canvas, values: Values) -> Mapping[Cell, str]:
        """One character per cell for a terminal; only some values may be known."""
        raise NotImplementedError

    def read(self, canvas: Canvas, text: str) -> tuple[Fact, ...]:
        """The value that ``solution_text`` stands for. Raises RuleError saying what is wrong."""
        raise NotImplementedError

    def text(self) -> str:
        """The sentence that tells a solver what to find."""
        raise NotImplementedError

    def fields(self) -> Mapping[str, Any]:
        """Its fields as a file has them."""
        return self.model_dump(mode="json", by_alias=True, exclude_none=True)

    def __hash__(self) -> int:
        return hash((self.kind, self.name))


def read_drawing(text: str, canvas: Canvas, what: str) -> dict[Cell, str]:
    """The symbols of a drawn grid over the canvas's rectangle, holes left out, by cell.

    Raises RuleError, naming the cell, if a symbol stands in a hole.
    """
    lines = [line.partition("#")[0] for line in text.splitlines()]
    symbols = "".join(re.sub(r"[\s|+=]", "", line) for line in lines)
    if len(symbols) != canvas.rows * canvas.columns:
        symbols = symbols.replace("-", "")
    wanted = canvas.rows * canvas.columns
    if len(symbols) != wanted:
        raise RuleError(
            f"{len(symbols)} symbols, but {canvas.rows} rows of {canvas.columns} need {wanted}",
            key=what,
        )
    found = {}
    for place, symbol in enumerate(symbols):
        cell = Cell(place // canvas.columns + 1, place % canvas.columns + 1)
        if cell in canvas.index:
            found[cell] = symbol
        elif symbol not in "_.":
            raise RuleError(f"{cell}: {symbol!r} stands where there is no cell", key=what)
    return found


def neighbour_pairs(canvas: Canvas) -> Iterator[tuple[Cell, Cell]]:
    """All pairs of cells that share a side, the earlier one first, in reading order."""
    for cell in canvas.cells:
        for other in (cell.step(0, 1), cell.step(1, 0)):
            if other in canvas.index:
                yield cell, other


_CELL = r"[rR](\d{1,3})[cC](\d{1,3})"


def read_cell(text: str, canvas: Canvas, given: str) -> Cell:
    """A cell of the canvas from its reference, in a given that is quoted if it is wrong."""
    match = re.fullmatch(_CELL, text.strip())
    if not match:
        raise RuleError(f"{given!r}: {text.strip()!r} is not a cell", key="givens")
    cell = Cell(int(match[1]), int(match[2]))
    if cell not in canvas.index:
        raise RuleError(f"{given!r}: {cell} is not on the canvas", key="givens")
    return cell


def are_neighbours(first: Cell, second: Cell) -> bool:
    """Whether two cells share a side."""
    return abs(first.row - second.row) + abs(first.column - second.column) == 1
