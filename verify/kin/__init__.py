"""Kin: symmetries of a puzzle, and the same puzzle in disguise.

``symmetries`` describes how one puzzle looks and how it maps onto itself; ``canonical`` gives the
same text for all puzzles that are the same in disguise; ``kin_groups`` finds those among many,
``Catalogue`` among all that were ever stored. How: ``terms`` states constraints without an order of
writing, ``graph`` makes a coloured graph of them, ``form`` labels it, ``transformation`` reads the
way from the labels.
"""

from __future__ import annotations

from gridassay.verify.kin.catalogue import Catalogue
from gridassay.verify.kin.examine import Symmetries, symmetries
from gridassay.verify.kin.form import canonical
from gridassay.verify.kin.groups import (
    KinGroup,
    SameSolution,
    groups_of,
    kin_groups,
    same_solutions,
    way_between,
)
from gridassay.verify.kin.layout import layout
from gridassay.verify.kin.transformation import Transformation

__all__ = [
    "Catalogue",
    "KinGroup",
    "SameSolution",
    "Symmetries",
    "Transformation",
    "canonical",
    "groups_of",
    "kin_groups",
    "layout",
    "same_solutions",
    "symmetries",
    "way_between",
]
