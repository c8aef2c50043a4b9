"""The rules of a layout as people read them: each as a whole, or part by part if it is large."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from gridassay.encodings.constraints import AllDifferent, AllOf, Compare, Constraint, Permutation
from gridassay.encodings.model import Premise
from gridassay.encodings.variables import Letter
from gridassay.verify.engines.questions import Switch
from gridassay.verify.solving.board.position import Layout, Mark

MOST_TOGETHER = 12
"""The most cells of a rule that is read as a whole; a larger one is read part by part."""

MOST_READ = 18
"""The most cells of a rule, or of a part of one, that can be read at a glance."""


@dataclass(frozen=True)
class Piece:
    """A rule, or a part of one: ``premise`` states it alone, ``scope`` lists its unknowns.

    These are cells, which count by their digits, and other unknowns; ``cells`` are only the cells.
    """

    switch: Switch
    premise: Premise
    scope: tuple[int, ...]
    cells: tuple[int, ...]

    def reaches(self, marks: Iterable[Mark]) -> bool:
        """Whether it uses the unknowns of all these candidates."""
        return all(unknown in self.scope for unknown, _ in marks)


def pieces_of(layout: Layout) -> Iterator[Piece]:
    """Every piece of every rule that can be read, except those that only keep cells different.

    Those strike a cell's digit from the cells that it sees, which needs no words, and the strikes
    of their Hall sets, which other techniques tell. Letters that differ are read.
    """
    for premise in layout.premises.values():
        if premise.kind == "rule":
            for piece in _pieces(layout, premise):
                if _asked_of(layout, piece.scope) <= MOST_READ:
                    yield piece


def _pieces(layout: Layout, premise: Premise) -> Iterator[Piece]:
    telling = [
        number
        for number, part in enumerate(premise.parts)
        if not _only_differs(part.constraint) or not all(map(layout.is_cell, layout.reach(part)))
    ]
    whole = [unknown for part in premise.parts for unknown in layout.reach(part)]
    if telling and (_asked_of(layout, whole) <= MOST_TOGETHER or len(premise.parts) == 1):
        yield _piece(layout, premise.name, premise, whole)
        return
    for number in telling:
        part = premise.parts[number]
        alone = Premise(premise.name, premise.kind, (part,))
        yield _piece(layout, (premise.name, number), alone, layout.reach(part))


def _piece(layout: Layout, switch: Switch, premise: Premise, scope: Iterable[int]) -> Piece:
    unknowns = tuple(dict.fromkeys(scope))
    return Piece(switch, premise, unknowns, tuple(filter(layout.is_cell, unknowns)))


def _asked_of(layout: Layout, scope: Iterable[int]) -> int:
    """The number of cells that a reader has to look at: a cell with its doubler is one."""
    cells = {getattr(layout.unknowns[one], "cell", layout.unknowns[one]) for one in scope}
    return len(cells)


def _only_differs(constraint: Constraint) -> bool:
    if isinstance(constraint, AllOf):
        return all(map(_only_differs, constraint.members))
    if isinstance(constraint, Compare):
        differing = constraint.relation == "!=" and constraint.offset == 0
        return differing and not isinstance(constraint.left, Letter)
    return isinstance(constraint, AllDifferent | Permutation)
