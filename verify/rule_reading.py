"""What a rule, or a part of it, strikes by itself: read off its meaning by asking an engine.

No rule has code of its own here. A candidate stays when some filling of the rule's cells with their
candidates keeps the rule and has it; every filling found speaks for all the candidates in it, so few
questions are needed. Each rule is asked in a small engine of its own, which knows the rule's cells
and nothing else, and answers are kept by the candidates they were given for.

Read *with its houses* a rule also keeps apart those of its cells that share a house, as anyone does
who fills in a line through a box.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from functools import cached_property, lru_cache

from gridassay.encodings.board import Part
from gridassay.encodings.constraints import (
    AllDifferent,
    AllOf,
    Compare,
    Constraint,
    Permutation,
)
from gridassay.encodings.puzzle import Fact, Premise, Solution
from gridassay.verify.budget import Clock
from gridassay.verify.engines.questions import Demand, Denial, Switch
from gridassay.verify.engines.sat import SatEngine
from gridassay.verify.position import Layout, Mark, Position, bits_of, members

MOST_TOGETHER = 12
"""Cells of a rule up to which it is read as a whole; a larger one is read part by part."""

_SOLVER = "minisat22"
_NO_LIMIT = Clock(float("inf"))


@dataclass(frozen=True)
class Reading:
    """What a rule strikes, perhaps with houses, and the cells whose candidates it needs for that."""

    switch: Switch
    houses: tuple[Switch, ...]
    removes: tuple[Mark, ...]
    cells: tuple[int, ...]


class RuleReader:
    """Reads the rules of one layout; made on first use and kept with it."""

    def __init__(self, layout: Layout) -> None:
        self._pieces = [
            piece
            for premise in layout.premises.values()
            if premise.kind == "rule"
            for piece in _pieces(layout, premise)
        ]

    def readings(self, position: Position) -> Iterator[Reading]:
        """What each rule strikes by itself, rule by rule; nothing for those that strike nothing."""
        for piece in self._pieces:
            yield from piece.readings(position, houses=False)

    def with_houses(self, position: Position) -> Iterator[Reading]:
        """What each rule strikes with the houses that its cells share, the fewest houses first."""
        for piece in self._pieces:
            yield from piece.readings(position, houses=True)


@dataclass(eq=False)
class _Piece:
    """A rule, or a part of one, with the engine that reads it."""

    layout: Layout
    switch: Switch
    premise: Premise
    scope: tuple[int, ...]
    _known: dict[tuple[bool, tuple[int, ...]], tuple[Reading, ...]] = field(default_factory=dict)
    _about: dict[Mark, Demand] = field(default_factory=dict)
    _fillings: dict[bool, list[int]] = field(default_factory=dict)

    def readings(self, position: Position, *, houses: bool) -> tuple[Reading, ...]:
        """What the rule strikes by itself in one reading; or with each few of its houses."""
        key = (houses, tuple(position.masks[cell] for cell in self.scope))
        if key not in self._known:
            read = self._with_houses if houses else self._alone
            self._known[key] = tuple(read(position)) if not houses or self._houses else ()
        return self._known[key]

    @cached_property
    def _houses(self) -> dict[str, Switch]:
        """The zones that hold several of the cells, by what the engine calls them.

        One whose cells here are all in another is not needed.
        """
        bits = bits_of(self.scope)
        shared: dict[int, Switch] = {}
        for zone in self.layout.zones:
            both = zone.bits & bits
            if both.bit_count() > 1 and zone.switch != self.switch:
                shared.setdefault(both, zone.switch)
        return {
            f"shared {both}": switch
            for both, switch in shared.items()
            if not any(both != other and not both & ~other for other in shared)
        }

    @cached_property
    def _engine(self) -> SatEngine:
        """The engine for the rule and what its houses keep apart, and nothing else."""
        cells = self.layout.cells
        apart = []
        for name in self._houses:
            differ = tuple(cells[cell] for cell in members(int(name.split()[1])))
            apart.append(Premise(name, "house", (Part(name, AllDifferent(differ)),)))
        model = self.layout.model.excerpt([self.premise, *apart])
        self._shown = [model.shown.index(cells[cell]) for cell in self.scope]
        return SatEngine(model, _NO_LIMIT, solver=_SOLVER)

    def _alone(self, position: Position) -> Iterator[Reading]:
        struck = self._struck(position, ())
        if struck:
            yield self._reading(position, struck, ())

    def _with_houses(self, position: Position) -> Iterator[Reading]:
        alone = self._struck(position, ())
        left = set(self._struck(position, tuple(self._houses))).difference(alone)
        found: dict[tuple[str, ...], list[Mark]] = {}
        for mark in sorted(left):
            few = self._fewest_houses(position, mark)
            found.setdefault(few, []).append(mark)
        for few, marks in sorted(found.items(), key=lambda item: (len(item[0]), item[1])):
            yield self._reading(position, marks, few)

    def _struck(self, position: Position, houses: Sequence[str]) -> list[Mark]:
        """The candidates that no filling has, in order."""
        size = len(self.layout.digits)
        open_bits = 0
        for place, cell in enumerate(self.scope):
            open_bits |= position.masks[cell] << place * size
        fillings = self._fillings.setdefault(bool(houses), [])
        # Fillings found before are fillings still while each of their candidates is there.
        fillings[:] = [filling for filling in fillings if not filling & ~open_bits]
        left, struck = open_bits, []
        for filling in fillings:
            left &= ~filling
        about = self._candidates(position, self.scope)
        while left:
            bit = (left & -left).bit_length() - 1
            mark = self.scope[bit // size], bit % size
            self._engine.lean(self._facts(left))
            solution = self._ask(mark, houses, about)
            if solution is None:
                struck.append(mark)
                left &= ~(1 << bit)
                continue
            filling = 0
            for place, shown in enumerate(self._shown):
                filling |= 1 << place * size + self.layout.digit_index[solution[shown]]
            fillings.append(filling)
            left &= ~filling
        return struck

    def _facts(self, bits: int) -> Iterator[Fact]:
        """The candidates in a bit set, as what they say."""
        cells, digits = self.layout.cells, self.layout.digits
        for place, cell in enumerate(self.scope):
            for digit in members(bits >> place * len(digits) & self.layout.all_digits):
                yield Fact(cells[cell], digits[digit])

    def _fewest_houses(self, position: Position, mark: Mark) -> tuple[str, ...]:
        """Houses with which the rule strikes the mark, none of them needless."""
        about = self._candidates(position, self.scope)
        self._ask(mark, self._houses, about)
        core = [name for name in self._engine.why().premises if name in self._houses]
        for name in tuple(core):
            fewer = [other for other in core if other != name]
            if self._ask(mark, fewer, about) is None:
                core = fewer
        return tuple(str(name) for name in core)

    def _reading(
        self, position: Position, struck: Sequence[Mark], houses: Sequence[str]
    ) -> Reading:
        """The reading that strikes these, with no more cells than it needs."""
        full = self.layout.all_digits
        cells = [cell for cell in self.scope if position.masks[cell] != full]
        needed: set[Demand] = set()
        for mark in struck:
            self._ask(mark, houses, self._candidates(position, cells))
            needed.update(self._engine.why().demands)
        cells = [cell for cell in cells if self._candidates(position, [cell])[0] in needed]
        for cell in tuple(cells):
            fewer = [other for other in cells if other != cell]
            about = self._candidates(position, fewer)
            if all(self._ask(mark, houses, about) is None for mark in struck):
                cells = fewer
        switches = tuple(dict.fromkeys(self._houses[name] for name in houses))
        return Reading(self.switch, switches, tuple(struck), tuple(cells))

    def _ask(
        self, mark: Mark, houses: Iterable[str], about: Iterable[Demand]
    ) -> Solution | None:
        cell, digit = mark
        fact = Fact(self.layout.cells[cell], self.layout.digits[digit])
        on = [self.premise.name, *houses]
        return self._engine.solve([fact], _NO_LIMIT, on=on, demands=about)

    def _candidates(self, position: Position, cells: Iterable[int]) -> list[Demand]:
        """The handles on "the candidates of this cell are these"."""
        layout, handles = self.layout, []
        for cell in cells:
            mask = position.masks[cell]
            handle = self._about.get((cell, mask))
            if handle is None:
                denied = members(layout.all_digits & ~mask)
                handle = self._engine.every(
                    [Denial(layout.cells[cell], layout.digits[digit]) for digit in denied]
                )
                self._about[cell, mask] = handle
            handles.append(handle)
        return handles


def _pieces(layout: Layout, premise: Premise) -> Iterator[_Piece]:
    """A rule as a whole, or its parts where it is large; none that only keeps cells different.

    What those strike is a cell's digit from the cells it sees, which needs no saying, and what their
    Hall sets strike, which other techniques say.
    """
    telling = [n for n, part in enumerate(premise.parts) if not _only_differs(part.constraint)]
    if not telling:
        return
    whole = layout.scope(premise.name)
    if len(whole) <= MOST_TOGETHER or len(premise.parts) == 1:
        yield _Piece(layout, premise.name, premise, whole)
        return
    for number in telling:
        part = premise.parts[number]
        alone = Premise(premise.name, premise.kind, (part,))
        yield _Piece(layout, (premise.name, number), alone, layout.part_scope(part))


def _only_differs(constraint: Constraint) -> bool:
    if isinstance(constraint, AllOf):
        return all(map(_only_differs, constraint.members))
    if isinstance(constraint, Compare):
        return constraint.relation == "!=" and constraint.offset == 0
    return isinstance(constraint, AllDifferent | Permutation)


@lru_cache(maxsize=16)
def reader_of(layout: Layout) -> RuleReader:
    """The reader of a layout's rules, kept with what it has read."""
    return RuleReader(layout)
