"""Cages: cells with a total, a calculation or totals that agree."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import ClassVar, Literal

from pydantic import Field

from gridassay.encodings.board import Board, Filled, Part
from gridassay.encodings.constraints import AllDifferent, Permutation
from gridassay.encodings.grid import Cell
from gridassay.encodings.rules.base import (
    Cells,
    Clue,
    Rule,
    Shape,
    distinct_cells,
    length_between,
    listing,
    spell,
)
from gridassay.encodings.wording import in_pieces


class Cage(Rule):
    """The cells total ``sum`` (or at least, or at most, a number) and hold no digit twice.

    With ``repeats = true`` digits may repeat if houses allow it. Without any total the cage only
    says that its digits differ.

    Example: `kind = "cage"`, `cells = "r1c1 r1c2 r2c1"`, `sum = 7` leaves 1, 2 and 4 in some order.
    """

    kind: Literal["cage"] = "cage"
    cells: Cells
    sum: Clue | None = None
    at_least: int | None = Field(default=None, alias="at-least")
    at_most: int | None = Field(default=None, alias="at-most")
    repeats: bool = False

    sentence: ClassVar[str] = (
        "Digits in a cage add up to the number in its corner and do not repeat."
    )

    def wording(self) -> str:
        """Words for its total and for whether digits repeat."""
        said = ["the number"] if self.sum is not None else []
        said += ["at least the number after ≥"] if self.at_least is not None else []
        said += ["at most the number after ≤"] if self.at_most is not None else []
        if not said:
            again = "may repeat" if self.repeats else "do not repeat"
            return f"Digits in a cage without a number {again}."
        total = f"add up to {listing(said, 'and')} in its corner"
        if self.repeats:
            return f"Digits in a cage {total}; they may repeat there."
        return f"Digits in a cage {total} and do not repeat."

    @property
    def seen_as(self) -> str:
        """A cage with a number, with one after a sign, or without."""
        return f"cage {re.sub(r'[A-Za-z0-9]+', '1', self.sign())}"

    def where(self) -> tuple[Cell, ...]:
        """Its cells."""
        return self.cells

    def doubts(self) -> Iterator[str]:
        """Words for an outline that is in pieces."""
        return in_pieces(self.cells)

    def check(self, board: Board) -> None:
        """The cells are on the canvas and none is listed twice."""
        super().check(board)
        length_between(self.cells, 1)
        distinct_cells(self.cells)

    def letters(self, board: Board) -> Mapping[str, tuple[int, int]]:
        """Its total, if a letter stands for it."""
        if not isinstance(self.sum, str):
            return {}
        count, numbers = len(self.cells), board.value_domain
        return {self.sum: (count * numbers[0], count * numbers[-1])}

    def holds(self, filled: Filled) -> bool:
        """Its digits differ and its values add up to the total."""
        digits = filled.digits(self.cells)
        if not self.repeats and len(set(digits)) < len(digits):
            return False
        if self.sum is None and self.at_least is None and self.at_most is None:
            return True  # no value is read, so none is missed
        total = sum(filled.values(self.cells))
        return (
            (self.sum is None or total == filled.number(self.sum))
            and (self.at_least is None or total >= self.at_least)
            and (self.at_most is None or total <= self.at_most)
        )

    def parts(self, board: Board) -> Iterator[Part]:
        """One part: the digits differ and add up to the total; bounds are separate parts."""
        name, distinct = f"cage {spell(self.cells)}", not self.repeats
        if self.sum is not None:
            for constraint in board.total(self.cells, "==", self.sum, distinct=distinct):
                yield Part(name, constraint)
        elif distinct and board.canvas.is_full(self.cells):
            yield Part(name, Permutation(self.cells, frozenset(board.canvas.digits)))
        elif distinct:
            yield Part(name, AllDifferent(self.cells))
        if self.at_least is not None:
            for constraint in board.total(self.cells, ">=", self.at_least):
                yield Part(f"{name} at least {self.at_least}", constraint)
        if self.at_most is not None:
            for constraint in board.total(self.cells, "<=", self.at_most):
                yield Part(f"{name} at most {self.at_most}", constraint)

    def shapes(self, board: Board) -> Iterator[Shape]:
        """An outline with the total in its corner."""
        yield Shape("cage", self.cells, self.sign())

    def sign(self) -> str:
        """Its total, or what it is at least and at most."""
        bounds = [str(self.sum)] if self.sum is not None else []
        bounds += [f"≥{self.at_least}"] if self.at_least is not None else []
        bounds += [f"≤{self.at_most}"] if self.at_most is not None else []
        return " ".join(bounds)
