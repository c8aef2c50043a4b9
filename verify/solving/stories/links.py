"""The parts of a story before it is told: a board, links with the links they rest on, an end."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from functools import lru_cache

from gridassay.verify.engines.questions import Switch
from gridassay.verify.solving.board.ideas import Idea
from gridassay.verify.solving.board.position import Layout, Mark, Position, Zone, members
from gridassay.verify.solving.stories.tables import FillingTable
from gridassay.verify.solving.techniques import rule_alone, rule_with_houses

COMPLETING = (rule_alone.NAME, rule_with_houses.NAME)
"""Techniques that place the digit of a cell that they leave with one."""

SUPPOSED = 0
"""The number that stands for the supposition, in place of a link."""

Distance = Callable[[int], int]
"""How far an unknown is from the last placement."""

Telling = tuple[str, Switch | None, Mark]
"""A conclusion, with the technique and the rule by which it was to be told."""


@dataclass(slots=True, eq=False)
class StoryLink:
    """A step on the supposed board, and the candidates that have to be gone for it.

    ``zone`` is where a hidden single stands, ``switch`` the rule that strikes, ``idea`` the step of
    another technique.
    """

    technique: str
    places: tuple[Mark, ...] = ()
    removes: tuple[Mark, ...] = ()
    zone: Zone | None = None
    switch: Switch | None = None
    idea: Idea | None = None
    uses: tuple[Mark, ...] = ()


def tellings(link: StoryLink) -> Iterator[Telling]:
    """The conclusions of a link, each with its technique and rule."""
    for mark in (*link.places, *link.removes):
        yield link.technique, link.switch, mark


@dataclass(slots=True, eq=False)
class End:
    """An unknown, a digit in a zone or a rule with nothing left, and the candidates gone for that."""

    unknown: int | None = None
    digit: int | None = None
    zone: Zone | None = None
    switch: Switch | None = None
    uses: tuple[Mark, ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class Outcome:
    """How a supposition ends, and the links that lead there, in order."""

    supposed: tuple[Mark, ...]
    links: tuple[StoryLink, ...]
    end: End

    @property
    def premises(self) -> int:
        """Roughly how many unknowns and places its links and its end rest on."""
        uses = [mark for link in self.links for mark in link.uses]
        return len({unknown for unknown, _ in (*uses, *self.end.uses)})


@lru_cache(maxsize=1 << 16)
def zones_at(layout: Layout, cells: int) -> tuple[tuple[int, Zone], ...]:
    """The zones with every digit around some cells (a bit set) with their cells, none twice."""
    several = [
        (zone.bits, zone)
        for cell in members(cells & layout.cell_bits)
        for zone in layout.zones_of[cell]
        if zone.full
    ]
    return tuple(dict.fromkeys(several))


class Ground:
    """A position, with the data needed to suppose things on it."""

    def __init__(self, position: Position, tables: Iterable[FillingTable]) -> None:
        layout: Layout = position.layout
        self.position = position
        self.layout = layout
        self.tables = tuple(tables)
        self.read_whole = frozenset(table.switch for table in self.tables if table.whole)
        self._tables_of: list[list[int]] = [[] for _ in layout.unknowns]
        for number, table in enumerate(self.tables):
            for unknown in table.scope:
                self._tables_of[unknown].append(number)
        self._tables_at: dict[int, tuple[int, ...]] = {}

    def tables_at(self, unknowns: int) -> tuple[int, ...]:
        """The numbers of the tables of some unknowns (a bit set), one by one, none twice."""
        found = self._tables_at.get(unknowns)
        if found is None:
            several = [number for one in members(unknowns) for number in self._tables_of[one]]
            found = self._tables_at[unknowns] = tuple(dict.fromkeys(several))
        return found
