"""Lines whose ends bound the cells between them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import ClassVar, Literal

from gridassay.encodings.board import Board, Filled, Part
from gridassay.encodings.constraints import AllOf, AnyOf, Compare, Variable
from gridassay.encodings.rules.base import ClueFrom0, Shape, spell
from gridassay.encodings.rules.lines import Line
from gridassay.encodings.rules.step_lines import apart


class EndLine(Line):
    """Base of the lines that have two ends and an inside."""

    shortest: ClassVar[int] = 3

    def shapes(self, board: Board) -> Iterator[Shape]:
        """A line with a circle at either end."""
        yield Shape("line", self.cells, first_end="circle", last_end="circle")


class BetweenEnds(EndLine):
    """Every value inside the line lies strictly between the values at its two ends.

    Digits may repeat inside if houses allow it.

    Example: `kind = "between-ends"`, `cells = "r1c1 r1c2 r1c3"` with 4 and 6 at the ends puts a 5
    between them.
    """

    kind: Literal["between-ends"] = "between-ends"

    noun: ClassVar[str] = "between-ends line"
    sentence: ClassVar[str] = (
        "Digits inside a between-ends line lie strictly between the digits in the circles at its ends."
    )

    def holds(self, filled: Filled) -> bool:
        """Lower end < inside < upper end."""
        first, *inside, last = filled.values(self.cells)
        return all(min(first, last) < value < max(first, last) for value in inside)

    def parts(self, board: Board) -> Iterator[Part]:
        """One part: the inside is above one end and below the other, in one direction or the other.

        The direction is chosen once for all the cells, so that one cell settles it for the others:
        a table for each cell with the ends took 1.2, 2 and 4 times as long on lines of 3, 4 and 5
        cells.
        """
        first, *inside, last = board.values(self.cells)
        rising = _between(first, inside, last)
        falling = _between(last, inside, first)
        yield Part(f"between-ends {spell(self.cells)}", AnyOf((rising, falling)))


def _between(low: Variable, inside: list[Variable], high: Variable) -> AllOf:
    """Each of ``inside`` is more than ``low`` and less than ``high``."""
    return AllOf(
        (
            *(Compare(low, "<=", variable, -1) for variable in inside),
            *(Compare(variable, "<=", high, -1) for variable in inside),
        )
    )


class OutsideEnds(EndLine):
    """The ends differ by ``difference`` or more. No value inside lies between them or equals either.

    Each value inside is less than both ends or more than both; the ones inside need not agree.

    Example: `kind = "outside-ends"`, `cells = "r1c1 r1c2 r1c3"` with 2 and 8 at the ends leaves 1
    and 9 for r1c2.
    """

    kind: Literal["outside-ends"] = "outside-ends"
    difference: ClueFrom0 = 4

    noun: ClassVar[str] = "outside-ends line"
    sentence: ClassVar[str] = (
        "The digits in the circles at the ends of an outside-ends line differ by at least 4, and every "
        "digit inside it is less than both or more than both."
    )

    def wording(self) -> str:
        """The sentence with its difference."""
        if not self.difference:
            return self.sentence.replace("differ by at least 4", "may be equal (a difference of 0)")
        return self.sentence.replace("at least 4", f"at least {self.difference}")

    def letters(self, board: Board) -> Mapping[str, tuple[int, int]]:
        """Its difference, if a letter stands for it."""
        widest = board.value_domain[-1] - board.value_domain[0]
        return {self.difference: (0, widest)} if isinstance(self.difference, str) else {}

    def holds(self, filled: Filled) -> bool:
        """No value inside falls between the ends, which are far enough apart."""
        first, *inside, last = filled.values(self.cells)
        span = range(min(first, last), max(first, last) + 1)
        return len(span) > filled.number(self.difference) and not any(
            value in span for value in inside
        )

    def parts(self, board: Board) -> Iterator[Part]:
        """One part for the ends, and one for each cell inside with the ends."""
        first, *inside, last = board.values(self.cells)
        ends = (self.cells[0], self.cells[-1])
        yield Part(f"outside-ends {spell(ends)}", apart(board, ends, self.difference))
        for cell, variable in zip(self.cells[1:-1], inside, strict=True):
            below = (Compare(variable, "<=", first, -1), Compare(variable, "<=", last, -1))
            above = (Compare(first, "<=", variable, -1), Compare(last, "<=", variable, -1))
            yield Part(
                f"outside-ends {spell((ends[0], cell, ends[1]))}",
                AnyOf((AllOf(below), AllOf(above))),
            )
