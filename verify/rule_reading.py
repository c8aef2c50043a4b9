"""What a rule, or a part of it, strikes by itself: read off its meaning by asking an engine.

No rule has code of its own here. A candidate stays when some filling of the rule's cells with their
candidates keeps the rule and has it; every filling found speaks for all the candidates in it, so few
questions are needed. Answers are kept by the candidates they were given for.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import lru_cache

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
from gridassay.verify.position import Layout, Mark, Position, members

MOST_TOGETHER = 12
"""Cells of a rule up to which it is read as a whole; a larger one is read part by part."""

_SOLVER = "minisat22"


@dataclass(frozen=True)
class Reading:
    """What a rule strikes, and the cells whose candidates it needs for that."""

    switch: Switch
    removes: tuple[Mark, ...]
    cells: tuple[int, ...]


class RuleReader:
    """Reads the rules of one layout; made on first use and kept with it."""

    def __init__(self, layout: Layout) -> None:
        self.layout = layout
        self._clock = Clock(float("inf"))
        self._engine: SatEngine | None = None
        self._readable = [
            (switch, scope)
            for premise in layout.premises.values()
            if premise.kind == "rule"
            for switch, scope in _pieces(layout, premise)
        ]
        self._known: dict[tuple[Switch, tuple[int, ...]], Reading | None] = {}
        self._about: dict[Mark, Demand] = {}

    def readings(self, position: Position) -> Iterator[Reading]:
        """What each rule strikes in a position, rule by rule, nothing for those that strike nothing."""
        for switch, scope in self._readable:
            key = (switch, tuple(position.masks[cell] for cell in scope))
            if key not in self._known:
                self._known[key] = self._read(switch, scope, position)
            reading = self._known[key]
            if reading:
                yield reading

    def _read(self, switch: Switch, scope: tuple[int, ...], position: Position) -> Reading | None:
        layout = self.layout
        about = {cell: self._candidates(cell, position.masks[cell]) for cell in scope}
        open_marks = {(cell, digit) for cell in scope for digit in members(position.masks[cell])}
        struck = []
        while open_marks:
            mark = min(open_marks)
            solution = self._ask(switch, mark, about.values())
            if solution is None:
                struck.append(mark)
                open_marks.discard(mark)
                continue
            for cell in scope:
                open_marks.discard((cell, layout.digit_index[solution[cell]]))
        if not struck:
            return None
        for cell in scope:
            fewer = [demand for other, demand in about.items() if other != cell]
            if position.masks[cell] == layout.all_digits or all(
                self._ask(switch, mark, fewer) is None for mark in struck
            ):
                del about[cell]
        return Reading(switch, tuple(struck), tuple(about))

    def _ask(self, switch: Switch, mark: Mark, about: Iterable[Demand]) -> Solution | None:
        cell, digit = mark
        fact = Fact(self.layout.cells[cell], self.layout.digits[digit])
        if self._engine is None:
            self._engine = SatEngine(self.layout.model, self._clock, solver=_SOLVER)
        return self._engine.solve([fact], self._clock, on=[switch], demands=about)

    def _candidates(self, cell: int, mask: int) -> Demand:
        """The handle on "the candidates of this cell are these"."""
        if self._engine is None:
            self._engine = SatEngine(self.layout.model, self._clock, solver=_SOLVER)
        if (cell, mask) not in self._about:
            layout = self.layout
            denied = members(layout.all_digits & ~mask)
            self._about[cell, mask] = self._engine.every(
                [Denial(layout.cells[cell], layout.digits[digit]) for digit in denied]
            )
        return self._about[cell, mask]


def _pieces(layout: Layout, premise: Premise) -> Iterator[tuple[Switch, tuple[int, ...]]]:
    """A rule as a whole, or its parts where it is large; none that only keeps cells different.

    What those strike is a cell's digit from the cells it sees, which needs no saying, and what their
    Hall sets strike, which other techniques say.
    """
    telling = [n for n, part in enumerate(premise.parts) if not _only_differs(part.constraint)]
    if not telling:
        return
    whole = layout.scope(premise.name)
    if len(whole) <= MOST_TOGETHER or len(premise.parts) == 1:
        yield premise.name, whole
        return
    for number in telling:
        yield (premise.name, number), layout.part_scope(premise.parts[number])


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
