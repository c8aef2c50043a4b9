"""The rules of a layout as anybody reads them: each as a whole, or part by part where it is large."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from gridassay.encodings.constraints import AllDifferent, AllOf, Compare, Constraint, Permutation
from gridassay.encodings.puzzle import Premise
from gridassay.verify.engines.questions import Switch
from gridassay.verify.solving.board.position import Layout

MOST_TOGETHER = 12
"""Cells of a rule up to which it is read as a whole; a larger one is read part by part."""

MOST_READ = 18
"""Cells of a rule, or a part of one, beyond which nobody reads it at a glance."""


@dataclass(frozen=True)
class Piece:
    """A rule, or a part of one: ``premise`` says what it is alone, ``scope`` lists its cells."""

    switch: Switch
    premise: Premise
    scope: tuple[int, ...]


def pieces_of(layout: Layout) -> Iterator[Piece]:
    """Every piece of every rule that can be read; none that only keeps cells different.

    What those strike is a cell's digit from the cells it sees, which needs no saying, and what their
    Hall sets strike, which other techniques say.
    """
    for premise in layout.premises.values():
        if premise.kind == "rule":
            for piece in _pieces(layout, premise):
                if len(piece.scope) <= MOST_READ:
                    yield piece


def _pieces(layout: Layout, premise: Premise) -> Iterator[Piece]:
    telling = [
        number
        for number, part in enumerate(premise.parts)
        if not _only_differs(part.constraint)
        # Where the doublers lie tells nothing of a digit by itself.
        and not layout.doublers.issuperset(part.constraint.scope())
    ]
    whole = layout.scope(premise.name)
    if telling and (len(whole) <= MOST_TOGETHER or len(premise.parts) == 1):
        yield Piece(premise.name, premise, whole)
        return
    for number in telling:
        part = premise.parts[number]
        alone = Premise(premise.name, premise.kind, (part,))
        yield Piece((premise.name, number), alone, layout.part_scope(part))


def _only_differs(constraint: Constraint) -> bool:
    if isinstance(constraint, AllOf):
        return all(map(_only_differs, constraint.members))
    if isinstance(constraint, Compare):
        return constraint.relation == "!=" and constraint.offset == 0
    return isinstance(constraint, AllDifferent | Permutation)
