"""Groups of cells whose totals are compared with one another."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from typing import Annotated, ClassVar, Literal

from pydantic import BeforeValidator

from gridassay.encodings.board import Board, Filled, Part
from gridassay.encodings.constraints import AllOf, Constraint, Relation, Sum
from gridassay.encodings.grid import Cell
from gridassay.encodings.rules.base import (
    Cells,
    Rule,
    RuleError,
    Shape,
    distinct_cells,
    spell,
)


def comparison(
    board: Board, left: Sequence[Cell], relation: Relation, right: Sequence[Cell], least: int = 0
) -> Constraint:
    """The values of ``left`` less those of ``right`` stand in the relation to ``least``.

    A cell on both sides cancels out and is left out of the sum, but has to have a value.
    """
    times = Counter(left)
    times.subtract(right)
    counted = [cell for cell, number in times.items() if number]
    coefficients = tuple(times[cell] for cell in counted)
    compared = Sum(board.values(counted), relation, least, coefficients)
    cancelled = [cell for cell, number in times.items() if not number]
    if cancelled and board.counting:
        from gridassay.encodings.no_value import have_values

        valued = have_values(cancelled, board.counting)
        return AllOf((compared, *valued)) if valued else compared
    return compared


def equal_totals(board: Board, kind: str, groups: Sequence[Sequence[Cell]]) -> Iterator[Part]:
    """State that the groups have one total: one part per group but the shortest, against it.

    Against the shortest, because the cost of a sum grows with the square of its cells and because
    the shortest bounds the total most tightly.
    """
    shortest = min(groups, key=len)
    for group in groups:
        if group is not shortest:
            label = f"{kind} {spell(group)} = {spell(shortest)}"
            yield Part(label, comparison(board, group, "==", shortest))


def _read_groups(given: object) -> object:
    return tuple(given) if isinstance(given, list) else given


Groups = Annotated[tuple[Cells, ...], BeforeValidator(_read_groups)]
"""Several lists of cells, written as an array with one entry per group."""


class GroupRule(Rule):
    """Base of the rules on groups of cells; a cell may be in several groups, once in each."""

    groups: Groups

    most: ClassVar[int | None] = None
    between: ClassVar[str] = "="

    def where(self) -> tuple[Cell, ...]:
        """The cells of all groups, each once."""
        return tuple(dict.fromkeys(cell for group in self.groups for cell in group))

    def site(self) -> str:
        """Its groups, separated by its sign."""
        return f" {self.between} ".join(map(spell, self.groups))

    def check(self, board: Board) -> None:
        """The cells are on the canvas, and there are enough groups, none without cells."""
        super().check(board)
        if len(self.groups) < 2 or (self.most is not None and len(self.groups) > self.most):
            wanted = "at least 2" if self.most is None else f"{self.most}"
            raise RuleError(
                f"groups lists {len(self.groups)}, but {wanted} are needed", key="groups"
            )
        for number, group in enumerate(self.groups, start=1):
            if not group:
                raise RuleError(f"group {number} has no cells", key="groups")
            distinct_cells(group, "groups")


class EqualSums(GroupRule):
    """All groups have the same total, which the solver has to find.

    Digits may repeat if houses allow it.

    Example: `kind = "equal-sums"`, `groups = ["r1c1 r1c2", "r5c5"]` with a 9 in r5c5 makes r1c1 and
    r1c2 total 9.
    """

    kind: Literal["equal-sums"] = "equal-sums"

    together: ClassVar[bool] = True
    sentence: ClassVar[str] = "Groups of cells marked with = have equal totals."

    def holds(self, filled: Filled) -> bool:
        """There is one total."""
        return len({sum(filled.values(group)) for group in self.groups}) == 1

    def parts(self, board: Board) -> Iterator[Part]:
        """A part for each group but the shortest, against it."""
        return equal_totals(board, self.kind, self.groups)

    def shapes(self, board: Board) -> Iterator[Shape]:
        """One outline per group, with an equals sign."""
        for group in self.groups:
            yield Shape("cage", group, "=")


class GreaterSum(GroupRule):
    """The first group's total is greater than the second's.

    Example: `kind = "greater-sum"`, `groups = ["r1c1", "r2c1 r2c2"]` leaves no 1 and no 2 for r1c1
    in a Latin square.
    """

    kind: Literal["greater-sum"] = "greater-sum"

    most: ClassVar[int | None] = 2
    between: ClassVar[str] = ">"
    together: ClassVar[bool] = True
    sentence: ClassVar[str] = (
        "The total of a group marked with > is greater than that of the group marked with <."
    )

    def holds(self, filled: Filled) -> bool:
        """First total > second total."""
        first, second = (sum(filled.values(group)) for group in self.groups)
        return first > second

    def parts(self, board: Board) -> Iterator[Part]:
        """One part."""
        greater, smaller = self.groups
        label = f"greater-sum {spell(greater)} > {spell(smaller)}"
        yield Part(label, comparison(board, greater, ">=", smaller, least=1))

    def shapes(self, board: Board) -> Iterator[Shape]:
        """Two outlines."""
        for group, sign in zip(self.groups, "><", strict=True):
            yield Shape("cage", group, sign)
