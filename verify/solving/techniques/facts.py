"""The parts of a step's sentence: facts that can be checked on the board, and a conclusion.

Each fact holds what it says as data and knows its words; a sentence puts facts in a row and ends in
what follows from them. Nothing is written beside the facts, so a reader that knows their forms can
hold every sentence against the board (tests/verify/telling does).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import factorial, prod
from typing import Protocol

from gridassay.verify.solving.board.ideas import (
    cell_names,
    digit_names,
    removal,
    word_list,
)
from gridassay.verify.solving.board.layer_words import is_layered
from gridassay.verify.solving.board.position import Layout, Mark, Position, members
from gridassay.verify.solving.techniques.bounds import bounds, is_letter

NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")


class BoardFact(Protocol):
    """Something that is true on the board, or by one of its rules."""

    def words(self, layout: Layout) -> str:
        """The fact as a clause."""


def number(count: int) -> str:
    """A number as one says it: in words up to nine."""
    return NUMBERS[count] if count < len(NUMBERS) else str(count)


def every(count: int) -> str:
    """All of so many, which have just been named: ``both``, ``all three``."""
    return "both" if count == 2 else f"all {number(count)}"


def sums_said(layout: Layout, sets: Iterable[int]) -> str:
    """Sets of digits as sums: ``1+7, 2+6 or 3+5``."""
    return word_list(["+".join(map(layout.symbol, members(one))) for one in sets], "or")


@dataclass(frozen=True)
class Ways:
    """The sets of digits that make a total in so many cells: ``8 in two cells is 1+7, 2+6 or 3+5``."""

    amount: int
    count: int
    sets: tuple[int, ...]

    def words(self, layout: Layout) -> str:
        """All the sets."""
        return f"{self.amount} in {number(self.count)} cells is {sums_said(layout, self.sets)}"


@dataclass(frozen=True)
class GoneFromAll:
    """Digits that no cell of a rule has: ``1 is gone from both``."""

    digits: int
    count: int

    def words(self, layout: Layout) -> str:
        """The digits."""
        verb = "is" if self.digits.bit_count() == 1 else "are"
        return f"{digit_names(layout, members(self.digits))} {verb} gone from {every(self.count)}"


@dataclass(frozen=True)
class Gone:
    """Digits that a cell has lost: ``3 is gone from r9c7``."""

    digits: int
    cell: int

    def words(self, layout: Layout) -> str:
        """The digits and the cell."""
        verb = "is" if self.digits.bit_count() == 1 else "are"
        return f"{digit_names(layout, members(self.digits))} {verb} gone from {layout.cells[self.cell]}"


@dataclass(frozen=True)
class SetsLeft:
    """The sets of digits that are left to a rule: ``2+6 or 3+5``."""

    sets: tuple[int, ...]

    def words(self, layout: Layout) -> str:
        """The sets."""
        return sums_said(layout, self.sets)


@dataclass(frozen=True)
class Reads:
    """All the ways in which some cells can be filled: ``r1c1-r1c2 is 2-6 or 3-5``.

    ``any_order`` tells that every arrangement of each filling is one as well.
    """

    cells: tuple[int, ...]
    fillings: tuple[tuple[int, ...], ...]
    any_order: bool = False

    @classmethod
    def of(cls, cells: tuple[int, ...], fillings: Sequence[tuple[int, ...]]) -> Reads:
        """These ways, each arrangement once if all are there."""
        sets = Counter(tuple(sorted(filling)) for filling in fillings)
        every = all(count == _arrangements(one) for one, count in sets.items())
        if every and any(len(set(one)) > 1 for one in sets):
            return cls(cells, tuple(sets), any_order=True)
        return cls(cells, tuple(fillings))

    def words(self, layout: Layout) -> str:
        """The cells in order, and the digits of each filling in the same order."""
        ways = [
            "-".join(map(layout.value_name, zip(self.cells, f, strict=True))) for f in self.fillings
        ]
        names = "-".join(str(layout.unknowns[cell]) for cell in self.cells)
        order = "either" if len(self.cells) == 2 else "any"
        return f"{names} is {word_list(ways, 'or')}{f' in {order} order' if self.any_order else ''}"


@dataclass(frozen=True)
class Makes:
    """The least or the most that some cells add up to: ``r1c1 and r1c2 make at least 3``.

    With ``others``, they are called the other cells: ``the other two``.
    """

    cells: tuple[int, ...]
    least: int | None = None
    most: int | None = None
    others: bool = False

    def words(self, layout: Layout) -> str:
        """The cells and their bounds."""
        bounds = [
            f"at {kind} {amount}"
            for kind, amount in (("least", self.least), ("most", self.most))
            if amount is not None
        ]
        count = len(self.cells)
        if self.others:
            who = "the other" if count == 1 else f"the other {number(count)}"
        else:
            who = cell_names(layout, self.cells)
        exactly = self.least is not None and self.least == self.most
        amount = str(self.least) if exactly else word_list(bounds)
        return f"{who} {'is' if count == 1 else 'make'} {amount}"


@dataclass(frozen=True)
class AddsUp:
    """Numbers that are added up, or taken from one: ``2 and 7 make 9``, ``18 less 6 and 3 is 9``."""

    more: tuple[int, ...]
    less: tuple[int, ...]

    def words(self, layout: Layout) -> str:
        """The numbers and what they make."""
        made = sum(self.more) - sum(self.less)
        if not self.less:
            verb = "make" if len(self.more) > 1 else "is"
            return f"{word_list(map(str, self.more))} {verb} {made}"
        return f"{self.more[0]} less {word_list(map(str, self.less))} is {made}"


@dataclass(frozen=True)
class MakesNever:
    """Amounts between these bounds that the cells cannot make: ``, never 17``."""

    amounts: tuple[int, ...]

    def words(self, layout: Layout) -> str:
        """The amounts."""
        return f", never {word_list(map(str, self.amounts), 'or')}"


@dataclass(frozen=True)
class CannotMake:
    """Amounts that the other cells of a total cannot make: ``the other two cannot make 14``.

    Each amount with the digit that they cannot have in it, or none: ``14 without 5``.
    """

    count: int
    amounts: tuple[tuple[int, int | None], ...]

    def words(self, layout: Layout) -> str:
        """How many cells there are, and the amounts."""
        said = [
            str(amount) if digit is None else f"{amount} without {layout.symbol(digit)}"
            for amount, digit in self.amounts
        ]
        return f"the other {number(self.count)} cannot make {', nor '.join(said)}"


@dataclass(frozen=True)
class CannotDiffer:
    """Totals that cells cannot make: ``r1c1 and r1c2 cannot make 3``."""

    more: tuple[int, ...]
    less: tuple[int, ...]
    amounts: tuple[int, ...]

    def words(self, layout: Layout) -> str:
        """The cells and the amounts."""
        amounts = word_list(map(str, self.amounts), "or")
        verb = "be" if len(self.more) == 1 else "make"
        head = f"{cell_names(layout, self.more)} cannot {verb} {amounts}"
        if not self.less:
            return head
        together = " together" if len(self.less) > 1 else ""
        return f"{head} more than {cell_names(layout, self.less)}{together}"


@dataclass(frozen=True)
class Needs:
    """The digits that a cell's digits need next to them by a rule: ``4 in r1c1 needs 9 in r1c2``.

    If one cell is beside, the digits that fit are gone from it, or there are none; if two, the one
    digit that is left to both cannot be in both. If no cell is named, nothing anywhere goes with
    the digits. With ``swapped``, the same goes for the cell beside.
    """

    cell: int
    digits: tuple[int, ...]
    needs: tuple[tuple[int, int], ...]
    swapped: bool = False

    def words(self, layout: Layout) -> str:
        """The digits and what they need."""
        named, several = digit_names(layout, self.digits), len(self.digits) > 1
        if not self.needs:
            return f"nothing goes beside {digit_names(layout, self.digits, 'or')}"
        (other, fitting), *_ = self.needs
        if not fitting:
            here = f"{digit_names(layout, self.digits, 'or')} in {layout.cells[self.cell]}"
            return f"nothing in {layout.cells[other]} goes with {here}"
        wanted = digit_names(layout, members(fitting), "or")
        cells = [str(layout.cells[cell]) for cell, _ in self.needs]
        cell = str(layout.cells[self.cell])
        if self.swapped:
            cell, cells = f"{cell} or {cells[0]}", ["the other"]
        head = f"{named} in {cell} {'need' if several else 'needs'} {wanted} in"
        if len(cells) > 1:
            return f"{head} both {word_list(cells)}"
        lost = "it is gone" if self.needs[0][1].bit_count() == 1 else "none is left"
        return f"{head} {cells[0]}, where {lost}"


@dataclass(frozen=True)
class ClueTruth:
    """Clues of which it is known whether they are true; ``others``: how many others, without names."""

    names: tuple[str, ...]
    true: bool
    others: int = 0

    def words(self, layout: Layout) -> str:
        """The clues, or the others, and what they are."""
        word = "true" if self.true else "false"
        if self.others:
            if not self.names and self.others == 1:
                return f"the other one is {word}"
            return f"the other {number(self.others)} are {word}"
        return f"{word_list(self.names)} {'is' if len(self.names) == 1 else 'are'} {word}"


def _arrangements(filling: Sequence[int]) -> int:
    """In how many orders the digits of a filling can stand."""
    return factorial(len(filling)) // prod(map(factorial, Counter(filling).values()))


def conclusion(position: Position, places: Sequence[Mark], removes: Sequence[Mark]) -> str:
    """The conclusion: ``so r4c2 is 8; 4 can be removed from r2c1``."""
    layout = position.layout
    # Of a cell that loses several digits, and of a letter, one says what it still may be.
    layered = [mark for mark in removes if is_layered(layout.unknowns[mark[0]])]
    letters = [mark for mark in removes if is_letter(layout, mark[0])]
    cells = [mark for mark in removes if mark not in layered and mark not in letters]
    said = [bounds(position, letters)] if letters else []
    if places:
        said.append(word_list(f"{layout.cells[cell]} is {layout.symbol(d)}" for cell, d in places))
    said += [bounds(position, cells)] if cells else []
    said += [removal(layout, layered)[3:]] if layered else []
    return f"so {'; '.join(said)}"


def placements_and_removals(
    position: Position, removes: Iterable[Mark]
) -> tuple[tuple[Mark, ...], tuple[Mark, ...], tuple[int, ...]]:
    """The strikes of a rule as placements and removals, and the placed ones that had lost some before.

    What is left with one digit or value of a layer has it placed in the same step; but of cells that see
    each other, as may be where something is supposed, only one can have a digit.
    """
    struck, layout = list(removes), position.layout
    lost: dict[int, int] = {}
    for cell, digit in struck:
        lost[cell] = lost.get(cell, 0) | 1 << digit
    places: list[Mark] = []
    seen: set[Mark] = set()
    for cell, gone in lost.items():
        left = position.masks[cell] & ~gone
        single = left and not left & (left - 1)
        told = layout.is_cell(cell) or is_layered(layout.unknowns[cell])
        mark = cell, left.bit_length() - 1
        if single and told and not position.is_placed(cell) and mark not in seen:
            places.append(mark)
            if layout.is_cell(cell):
                seen.update((peer, mark[1]) for peer in members(layout.sees[cell]))
    placed = {cell for cell, _ in places}
    return (
        tuple(places),
        tuple(mark for mark in struck if mark[0] not in placed),
        tuple(
            cell
            for cell, _ in places
            if layout.is_cell(cell) or position.masks[cell] != layout.full[cell]
        ),
    )
