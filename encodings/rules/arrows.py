"""Lines with a total at an end."""

from __future__ import annotations

from collections.abc import Iterator
from typing import ClassVar, Literal

from gridassay.encodings.board import Board, Filled, Part
from gridassay.encodings.constraints import Sum
from gridassay.encodings.grid import Cell
from gridassay.encodings.rules.base import Cells, Rule, RuleError, Shape, distinct_cells, spell
from gridassay.encodings.rules.end_lines import EndLine
from gridassay.encodings.rules.lines import jumps
from gridassay.encodings.rules.totals import comparison
from gridassay.encodings.wording import in_pieces


class Arrow(Rule):
    """The values along the shaft total the number in the bulb. Digits may repeat on the shaft.

    Several bulb cells are read, row by row and from the left, as one number in base ten. A
    doubler does not change how that number is read. A bulb of one cell counts as its value, doubled
    if the cell is a doubler.

    Example: `kind = "arrow"`, `bulb = "r1c1"`, `shaft = "r1c2..r1c4"` makes r1c2, r1c3 and r1c4
    total r1c1: in one row of a 9×9 grid that is at least 6.
    """

    kind: Literal["arrow"] = "arrow"
    bulb: Cells
    shaft: Cells

    sentence: ClassVar[str] = "Digits along an arrow add up to the digit in its bulb."

    def wording(self) -> str:
        """Words for its bulb: a digit, or a number and how it is read."""
        if len(self.bulb) == 1:
            return self.sentence
        if len({cell.row for cell in self.bulb}) == 1:
            read = "from left to right"
        elif len({cell.column for cell in self.bulb}) == 1:
            read = "from top to bottom"
        else:
            read = "row by row and from left to right"
        return (
            "Digits along an arrow whose bulb has several cells add up to the number that stands "
            f"there, read {read}."
        )

    def where(self) -> tuple[Cell, ...]:
        """The bulb, then the shaft."""
        return self.bulb + self.shaft

    def site(self) -> str:
        """Its cells, and which of them are the bulb if there are several."""
        if len(self.bulb) == 1:
            return self.place()
        return f"with bulb {spell(self.bulb)} and shaft {spell(self.shaft)}"

    @property
    def seen_as(self) -> str:
        """An arrow with a bulb of one cell or of several, in some direction."""
        return self.wording()

    def doubts(self) -> Iterator[str]:
        """Words for a bulb in pieces, or a shaft that jumps."""
        yield from in_pieces(self.bulb, "has a bulb")
        yield from jumps(
            (min(self.bulb, key=lambda cell: _distance(cell, self.shaft[0])), *self.shaft)
        )

    def check(self, board: Board) -> None:
        """Bulb and shaft have cells, none twice; a bulb of several cells needs digits up to 9."""
        super().check(board)
        for name, cells in (("bulb", self.bulb), ("shaft", self.shaft)):
            if not cells:
                raise RuleError(f"{name} has no cells", key=name)
            distinct_cells(cells, name)
        distinct_cells(self.where(), "shaft")
        largest = board.canvas.digits[-1]
        if len(self.bulb) > 1 and largest > 9:
            raise RuleError(f"a bulb of several cells needs digits up to 9, not {largest}")

    def holds(self, filled: Filled) -> bool:
        """The number in the bulb is the total of the shaft."""
        if len(self.bulb) == 1:
            number = filled.value(self.bulb[0])
        else:
            number = int("".join(str(filled[cell]) for cell in sorted(self.bulb)))
        return number == sum(filled.values(self.shaft))

    def parts(self, board: Board) -> Iterator[Part]:
        """One part: the sum."""
        shaft = board.values(self.shaft)
        bulb = board.values(self.bulb) if len(self.bulb) == 1 else tuple(sorted(self.bulb))
        places = tuple(10**place for place in reversed(range(len(bulb))))
        total = Sum((*bulb, *shaft), "==", 0, places + (-1,) * len(shaft))
        yield Part(f"arrow {spell(self.bulb)} = {spell(self.shaft)}", total)

    def shapes(self, board: Board) -> Iterator[Shape]:
        """A bulb around its cells, and a line out of it with an arrowhead."""
        near = min(self.bulb, key=lambda cell: _distance(cell, self.shaft[0]))
        yield Shape("line", self.bulb, first_end="bulb", last_end="bulb")
        yield Shape("line", (near, *self.shaft), last_end="arrow")


def _distance(a: Cell, b: Cell) -> int:
    return (a.row - b.row) ** 2 + (a.column - b.column) ** 2


class DoubleArrow(EndLine):
    """The values at the two ends of the line total those inside it.

    Example: `kind = "double-arrow"`, `cells = "r1c1..r1c3"` makes r1c2 the total of its neighbours.
    """

    kind: Literal["double-arrow"] = "double-arrow"

    sentence: ClassVar[str] = (
        "The digits in the two circles of a double arrow add up to the total of the digits between "
        "them."
    )

    def holds(self, filled: Filled) -> bool:
        """First + last = the rest."""
        first, *inside, last = filled.values(self.cells)
        return first + last == sum(inside)

    def parts(self, board: Board) -> Iterator[Part]:
        """One part: the sum."""
        ends = (self.cells[0], self.cells[-1])
        yield Part(
            f"double-arrow {spell(self.cells)}", comparison(board, ends, "==", self.cells[1:-1])
        )
