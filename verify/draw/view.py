"""The extra content of a picture, besides the puzzle itself, as plain data."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, field, fields
from typing import Any, Literal

from gridassay.encodings.grid import Cell, House, parse_cells
from gridassay.encodings.variables import Variable

Spot = tuple[Cell, int]
"""A candidate: a digit in a cell."""


@dataclass(frozen=True)
class Join:
    """A line between two candidates: a strong link, a weak one, or a line of sight."""

    start: Spot
    end: Spot
    kind: Literal["strong", "weak", "sight"]


@dataclass(frozen=True, repr=False)
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
    ``layers_apart`` the variables in which two solutions differ, ``layers_new`` those of ``layers``
    that a step has just found.
    ``doubled`` cells are marked as counting double. ``caption`` is a line or two below the grid.

    Wherever a cell is meant ``"r3c7"`` will do, and ``"r3c7 r3c8"`` for several of them.
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
    layers_new: Collection[Variable] = ()

    def __repr__(self) -> str:
        shown = [one.name for one in fields(self) if getattr(self, one.name)]
        return f"<View: {', '.join(shown) or 'givens'}>"

    def __post_init__(self) -> None:
        for name in ("digits", "candidates", "differing", "heat", "placed"):
            self._put(name, {_cell(cell): value for cell, value in getattr(self, name).items()})
        for name in ("ringed", "doubled"):
            given = getattr(self, name)
            self._put(name, parse_cells(given) if isinstance(given, str) else map(_cell, given))
        for name in ("ringed_candidates", "struck"):
            self._put(name, ((_cell(cell), digit) for cell, digit in getattr(self, name)))
        joins = (((*one.start, *one.end), one.kind) for one in self.joins)
        self._put(
            "joins", (Join((_cell(a), x), (_cell(b), y), kind) for (a, x, b, y), kind in joins)
        )
        self._put("sights", ((_cell(one), _cell(other)) for one, other in self.sights))

    def _put(self, name: str, value: Mapping[Cell, Any] | Iterable[object]) -> None:
        """Replace a field by its standard form."""
        found = value if isinstance(value, Mapping) else tuple(value)
        given = getattr(self, name)
        if found != (given if isinstance(given, Mapping) else tuple(given)):
            object.__setattr__(self, name, found)


def _cell(given: Cell | str) -> Cell:
    """A cell, which may be written as its name."""
    return given if isinstance(given, Cell) else next(iter(parse_cells(given)))


PLAIN = View()
"""The puzzle alone."""
