"""The extra content of a picture, besides the puzzle itself, as plain data."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from typing import Literal

from gridassay.encodings.grid import Cell, House
from gridassay.encodings.variables import Variable

Spot = tuple[Cell, int]
"""A candidate: a digit in a cell."""


@dataclass(frozen=True)
class Join:
    """A line between two candidates: a strong link, a weak one, or a line of sight."""

    start: Spot
    end: Spot
    kind: Literal["strong", "weak", "sight"]


@dataclass(frozen=True)
class View:
    """Digits, candidates and highlights. All of them may be left out.

    ``digits`` are written in a lighter hand than givens, ``candidates`` small and each digit in a
    place of its own. A cell of ``differing`` is split between the digits of two solutions. ``heat`` (0
    to 1) shades a cell by how much depends on it.

    Premises are ringed: whole cells (``ringed``), candidates of a cell (``ringed_candidates``);
    ``sights`` are light lines from a digit to a cell that it keeps another like it out of; ``joins``
    lines between candidates: strong links, weak ones, and what is seen; ``houses`` have a bracket at
    their ends; while ``rules`` names some, the others fade. Conclusions: the
    candidates in ``struck`` are struck through, and ``placed`` digits stand on a plate.

    ``layers`` are values of layers that were found, drawn lighter than those that are given;
    ``layers_apart`` the variables in which two solutions differ.
    ``doubled`` cells are marked as counting double. ``caption`` is a line or two below the grid.
    """

    digits: Mapping[Cell, int] = field(default_factory=dict)
    candidates: Mapping[Cell, Collection[int]] = field(default_factory=dict)
    differing: Mapping[Cell, tuple[int, int]] = field(default_factory=dict)
    heat: Mapping[Cell, float] = field(default_factory=dict)
    ringed: Collection[Cell] = ()
    ringed_candidates: Collection[tuple[Cell, int]] = ()
    sights: Collection[tuple[Cell, Cell]] = ()
    joins: Collection[Join] = ()
    houses: Collection[House] = ()
    rules: Collection[str] = ()
    struck: Collection[tuple[Cell, int]] = ()
    placed: Mapping[Cell, int] = field(default_factory=dict)
    doubled: Collection[Cell] = ()
    caption: str = ""
    layers: Mapping[Variable, int] = field(default_factory=dict)
    layers_apart: Collection[Variable] = ()


PLAIN = View()
"""The puzzle alone."""
