"""Shared by the techniques that rest on one promised solution: the deadly pattern and its twin.

A *deadly pattern* is a set of cells with two digits each such that exchanging the two in every cell
turns any filling of it into another that keeps every house and rule: then no solution that fills the
pattern so is the only one. A step that would leave the pattern is therefore struck, on the extra
premise "one solution is promised". The obligation is checked for each step, not taken from its shape:
none of the cells is given, and every house and every rule that touches them either holds no digit
twice or only totals its cells, and has as many of the cells as these have digits there, each digit in
just two.
"""

from __future__ import annotations

from gridassay.encodings.constraints import AllDifferent, Constraint, Permutation, Sum
from gridassay.encodings.grid import Cell
from gridassay.verify.solving.board.ideas import Deadly
from gridassay.verify.solving.board.position import Layout, Position, members


def has_twin(position: Position, pattern: Deadly) -> bool:
    """Whether every filling of the pattern has a twin that differs in it."""
    layout = position.layout
    pairs = dict(pattern)
    if any(position.given >> cell & 1 for cell in pairs):
        return False
    if any(digits.bit_count() != 2 for digits in pairs.values()):
        return False
    return all(
        _keeps(layout, part.constraint, pairs, layout.part_scope(part))
        for premise in layout.premises.values()
        for part in premise.parts
    )


def _keeps(
    layout: Layout, constraint: Constraint, pairs: dict[int, int], scope: tuple[int, ...]
) -> bool:
    """Whether exchanging the pattern's digits keeps a part true or false."""
    touched = [cell for cell in scope if cell in pairs]
    if not touched:
        return True
    if isinstance(constraint, Sum):
        # Equal cells in equal weights: only the set of digits counts, if each counts as itself.
        plain = all(isinstance(variable, Cell) for variable in constraint.scope())
        if not plain or len(set(constraint.coefficients)) > 1:
            return False
    elif not isinstance(constraint, AllDifferent | Permutation):
        return False
    union = 0
    for cell in touched:
        union |= pairs[cell]
    return union.bit_count() == len(touched) and all(
        sum(pairs[cell] >> digit & 1 for cell in touched) == 2 for digit in members(union)
    )
