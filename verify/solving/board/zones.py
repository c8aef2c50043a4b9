"""Zones: the sets of cells that hold no digit twice, by a house or by a part of a rule."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from gridassay.encodings.constraints import AllDifferent, AllOf, Constraint, Permutation, Sum
from gridassay.encodings.grid import Cell
from gridassay.encodings.model import Premise
from gridassay.verify.engines.questions import Switch

ZoneKind = Literal["row", "column", "box", "region", "rule"]


@dataclass(frozen=True, eq=False)
class Zone:
    """Cells that hold no digit twice; if ``full``, every digit once.

    A zone is a house or a part of a rule; ``switch`` is the premise behind it and ``name`` its name
    in steps. An area is a box or a region.
    """

    name: str
    switch: Switch
    kind: ZoneKind
    cells: tuple[int, ...]
    bits: int
    full: bool

    @property
    def is_area(self) -> bool:
        """Whether it is a box or a region."""
        return self.kind in ("box", "region")


def distinct_sets(
    constraint: Constraint, digits: Sequence[int]
) -> Iterator[tuple[tuple[Cell, ...], bool]]:
    """The sets of cells that a constraint makes differ, and whether each holds every digit."""
    if isinstance(constraint, AllOf):
        for member in constraint.members:
            yield from distinct_sets(member, digits)
        return
    cells = tuple(dict.fromkeys(v for v in constraint.scope() if isinstance(v, Cell)))
    if isinstance(constraint, AllDifferent | Permutation) or (
        isinstance(constraint, Sum) and constraint.distinct
    ):
        if len(cells) > 1:
            yield cells, isinstance(constraint, Permutation)
    elif len(cells) == 2 and len(list(constraint.scope())) == 2:
        one, other = cells
        if not any(constraint.holds({one: digit, other: digit}) for digit in digits):
            yield cells, False


def zone_kind(premise: Premise) -> ZoneKind:
    """The kind of zone that a premise makes."""
    return premise.house or "rule"
