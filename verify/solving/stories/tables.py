"""The fillings of rules with few of them, as bit sets, from which the strikes of a rule are read at once.

A rule's fillings from the candidates of a position are listed once and numbered; for every candidate
a bit set tells the fillings that have it (as tables are kept in J. Demeulenaere and others, "Compact-
Table: efficiently filtering table constraints with reversible sparse bit-sets", CP 2016). Rules with
too many are read part by part and, if that is also too much, not at all.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from math import prod
from typing import NamedTuple

from gridassay.encodings.board import Board
from gridassay.encodings.constraints import (
    AllDifferent,
    AllOf,
    AnyOf,
    Automaton,
    CellMark,
    CellValue,
    Constraint,
    Sum,
    Variable,
)
from gridassay.verify.engines.questions import Switch
from gridassay.verify.solving.board.position import ALL, Layout, members
from gridassay.verify.solving.rule_meaning.pieces import Piece
from gridassay.verify.solving.stories.pruning import AutomatonCheck, Check, Choices, SumCheck

MOST_TRIED = 4000
"""The most values tried in listing the fillings of a rule; beyond that it has too many."""


_MOST_LEFT = 5000
"""Sets of fillings of one table of which it is kept what they leave."""

MOST_CHOICES = 100_000
"""The most combinations of candidates for which the fillings are listed at all."""


@dataclass(frozen=True, slots=True, eq=False)
class FillingTable:
    """The fillings of a rule, or a part of it, that some candidates allow.

    ``having[place][value]`` is the bit set of the fillings in which the unknown ``scope[place]`` has a
    value; ``every`` is that of them all, from the candidates ``masks``. It is ``whole`` if it covers all
    that the rule says.
    """

    switch: Switch
    whole: bool
    scope: tuple[int, ...]
    masks: tuple[int, ...]
    having: tuple[tuple[int, ...], ...]
    every: int
    _with_any: tuple[dict[int, int], ...]
    _lost: dict[int, tuple[tuple[int, int, int], ...]]

    def narrowed(self, masks: Sequence[int]) -> FillingTable:
        """The table for fewer candidates: the fillings that are left, under the same numbers."""
        own = tuple([masks[unknown] for unknown in self.scope])
        return replace(self, masks=own, every=self.alive(masks, ALL), _lost={})

    def with_any(self, place: int, mask: int) -> int:
        """The fillings, of all that were listed, that have one of some values at a place."""
        known = self._with_any[place]
        some = known.get(mask)
        if some is None:
            some, having = 0, self.having[place]
            for value in members(mask):
                some |= having[value]
            known[mask] = some
        return some

    def alive(self, masks: Sequence[int], changed: int) -> int:
        """The fillings left by the candidates of the unknowns that changed (a bit set of them)."""
        alive, known = self.every, self._with_any
        for place, unknown in enumerate(self.scope):
            if changed >> unknown & 1:
                mask = masks[unknown]
                some = known[place].get(mask)
                alive &= self.with_any(place, mask) if some is None else some
        return alive

    def lost(self, alive: int) -> tuple[tuple[int, int, int], ...]:
        """The values (a bit set) that none of these fillings has, by place and unknown."""
        lost = self._lost.get(alive)
        if lost is None:
            found = []
            for place, (unknown, mask) in enumerate(zip(self.scope, self.masks, strict=True)):
                having = self.having[place]
                gone = sum([1 << value for value in members(mask) if not having[value] & alive])
                if gone:
                    found.append((place, unknown, gone))
            lost = tuple(found)
            if len(self._lost) == _MOST_LEFT:
                self._lost.clear()
            self._lost[alive] = lost
        return lost


class Tables:
    """The tables of a puzzle's rules, from position to position."""

    def __init__(self, layout: Layout, board: Board, pieces: Sequence[Piece]) -> None:
        self._layout = layout
        self._board = board
        self._lists = [_Lists(layout, board, piece) for piece in pieces]

    def at(self, masks: Sequence[int]) -> Iterator[FillingTable]:
        """The tables for these candidates, rule by rule."""
        for one in self._lists:
            yield from one.tables(masks)


class _Lists:
    """The tables of one piece, kept for the candidates they were last made for."""

    def __init__(self, layout: Layout, board: Board, piece: Piece) -> None:
        self._piece = piece
        self._whole = _Filler(
            layout,
            board,
            piece.switch,
            [p.constraint for p in piece.premise.parts],
            whole=True,
        )
        self._parts = [
            _Filler(layout, board, piece.switch, [part.constraint]) for part in piece.premise.parts
        ]
        self._known: tuple[tuple[int, ...], tuple[FillingTable, ...]] | None = None

    def tables(self, masks: Sequence[int]) -> tuple[FillingTable, ...]:
        key = tuple([masks[unknown] for unknown in self._piece.scope])
        if self._known is None or self._known[0] != key:
            whole = self._whole.table(masks)
            found = [whole] if whole else [filler.table(masks) for filler in self._parts]
            self._known = key, tuple(table for table in found if table)
        return self._known[1]


class _WorkedOut(NamedTuple):
    """A value or mark, its cell and what stands beside that, and its numbers by those of the two."""

    variable: Variable
    cell: Variable
    beside: Variable
    known: dict[tuple[int, int], int]


class _Filler:
    """Lists the fillings of a few constraints over the unknowns behind their variables."""

    def __init__(
        self,
        layout: Layout,
        board: Board,
        switch: Switch,
        constraints: Sequence[Constraint],
        *,
        whole: bool = False,
    ) -> None:
        self._layout = layout
        self._board = board
        self._switch = switch
        self._is_whole = whole
        self._last: tuple[tuple[int, ...], FillingTable] | None = None
        flat = list(_flat(constraints))
        variables = dict.fromkeys(v for one in flat for v in one.scope())
        order: dict[int, None] = {}
        for variable in variables:
            for unknown in self._behind(variable):
                order[layout.index[unknown]] = None
        self.scope = tuple(order)
        place = {unknown: number for number, unknown in enumerate(self.scope)}
        last = {
            variable: max(place[layout.index[unknown]] for unknown in self._behind(variable))
            for variable in variables
        }
        # What to calculate and what to check once a place is filled.
        self._derived: list[list[_WorkedOut]] = [[] for _ in self.scope]
        for variable, number in last.items():
            if isinstance(variable, CellValue | CellMark):
                cell, beside = self._behind(variable)
                self._derived[number].append(_WorkedOut(variable, cell, beside, {}))
        self._asked: list[list[Constraint]] = [[] for _ in self.scope]
        self._checks: list[Check] = []
        for one in flat if self.scope else ():
            # Totals that cancel out are about nothing: they are checked at once, if there is a place.
            check = self._check(one, last)
            if check:
                self._checks.append(check)
            else:
                self._asked[_last_place(one, last)].append(one)
        self._checks_at = [
            [check for check in self._checks if number in check.places]
            for number in range(len(self.scope))
        ]
        # Cells that differ are held against those before them.
        self._before: list[list[Variable]] = [[] for _ in self.scope]
        for one in flat:
            if isinstance(one, AllDifferent) or (isinstance(one, Sum) and one.distinct):
                cells = [v for v in one.scope() if v in layout.index]
                for cell in cells:
                    number = place[layout.index[cell]]
                    self._before[number] += [v for v in cells if place[layout.index[v]] < number]

    def _behind(self, variable: Variable) -> tuple[Variable, ...]:
        counting = self._board.counting
        return counting.behind(variable) if counting else (variable,)

    def _worked_out(self, variable: Variable, values: Mapping[Variable, int]) -> int:
        """The number of a value or mark, from the digit of its cell and what stands beside it."""
        assert isinstance(variable, CellValue | CellMark)
        assert self._board.counting
        return self._board.counting.worked_out(variable, values)

    def _check(self, one: Constraint, last: Mapping[Variable, int]) -> Check | None:
        """A check that follows a constraint from cell to cell; None if it is asked at its last cell."""
        if isinstance(one, AnyOf) and one.members:
            several = [list(_flat([member])) for member in one.members]
            return Choices([[(_last_place(said, last), said) for said in some] for some in several])
        variables = list(one.scope())
        if not variables:
            return None
        places = [last[variable] for variable in variables]
        once = len(set(places)) == len(places)
        # Only digits are compared with those before them.
        apart = once and all(variable in self._layout.index for variable in variables)
        if isinstance(one, Sum) and one.relation != "!=" and (apart or not one.distinct):
            return SumCheck(one, places)
        if isinstance(one, Automaton) and one.accepted and once and places == sorted(places):
            return AutomatonCheck(one, places)
        return None

    def table(self, masks: Sequence[int]) -> FillingTable | None:
        """The table for some candidates; None if there are too many fillings."""
        key = tuple([masks[unknown] for unknown in self.scope])
        if self._last and self._last[0] != key:
            before, table = self._last
            fewer = not any(new & ~old for new, old in zip(key, before, strict=True))
            # What could be listed for more candidates can be listed for fewer.
            self._last = (key, table.narrowed(masks)) if fewer else None
        if self._last is None and prod(mask.bit_count() for mask in key) <= MOST_CHOICES:
            listed = self._list(masks)
            self._last = (key, listed) if listed else None
        return self._last[1] if self._last else None

    def _numbers(
        self, possible: Sequence[Sequence[tuple[int, int]]]
    ) -> dict[Variable, Collection[int]]:
        """The numbers that each variable may have, with those that are worked out."""
        numbers: dict[Variable, Collection[int]] = {
            self._layout.unknowns[unknown]: [number for _, number in some]
            for unknown, some in zip(self.scope, possible, strict=True)
        }
        for variable, cell, beside, _ in (one for some in self._derived for one in some):
            numbers[variable] = {
                self._worked_out(variable, {cell: digit, beside: number})
                for digit in numbers[cell]
                for number in numbers[beside]
            }
        return numbers

    def _list(self, masks: Sequence[int]) -> FillingTable | None:
        domains, unknowns = self._layout.domains, self._layout.unknowns
        found: list[tuple[int, ...]] = []
        values: dict[Variable, int] = {}
        chosen = [0] * len(self.scope)
        possible = [
            [(value, domains[unknown][value]) for value in members(masks[unknown])]
            for unknown in self.scope
        ]
        numbers = self._numbers(possible)
        for check in self._checks:
            check.begin(numbers)
        tried = 0

        def stands(checks: Sequence[Check], asked: Sequence[Constraint], place: int) -> bool:
            for check in checks:
                if not check.take(place, values):
                    return False
            return all(one.holds(values) for one in asked)

        def fill(place: int) -> bool:
            nonlocal tried
            if place == len(self.scope):
                found.append(tuple(chosen))
                return True
            name, before = unknowns[self.scope[place]], self._before[place]
            derived, checks, asked = (
                self._derived[place],
                self._checks_at[place],
                self._asked[place],
            )
            for value, number in possible[place]:
                tried += 1
                if tried > MOST_TRIED:
                    return False
                if number in [values[other] for other in before]:
                    continue
                values[name] = number
                chosen[place] = value
                for variable, cell, beside, known in derived:
                    both = values[cell], values[beside]
                    counted = known.get(both)
                    if counted is None:
                        counted = known[both] = self._worked_out(variable, values)
                    values[variable] = counted
                if stands(checks, asked, place) and not fill(place + 1):
                    return False
            return True

        if not fill(0):
            return None
        having = [[0] * len(domains[unknown]) for unknown in self.scope]
        for number, filling in enumerate(found):
            for place, value in enumerate(filling):
                having[place][value] |= 1 << number
        return FillingTable(
            self._switch,
            self._is_whole,
            self.scope,
            tuple([masks[unknown] for unknown in self.scope]),
            tuple(map(tuple, having)),
            (1 << len(found)) - 1,
            tuple({} for _ in self.scope),
            {},
        )


def _flat(constraints: Sequence[Constraint]) -> Iterator[Constraint]:
    for one in constraints:
        if isinstance(one, AllOf):
            yield from _flat(one.members)
        else:
            yield one


def _last_place(one: Constraint, last: Mapping[Variable, int]) -> int:
    """The place after which everything that a constraint speaks of is filled."""
    return max((last[variable] for variable in one.scope()), default=0)
