"""The parts of every technique, and the words for its steps.

A technique looks at a position for its pattern and proposes *ideas*: conclusions, with exactly the
premises from which they should follow. It never decides whether they do: the engine proves every
idea (``reasons/proving.py``) before it is shown. A technique is one file with a ``find`` function
and is entered, in the order in which it is taught, in ``techniques/__init__.py``.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import Literal

from gridassay.verify.engines.questions import Switch
from gridassay.verify.solving.board.layer_words import thing_said
from gridassay.verify.solving.board.position import Layout, Mark, Position, Zone, members

Spot = tuple[int, Zone]
"""A digit and a zone: the premise "its places there are these"."""

Group = Literal["", "opening"]
"""Steps that are told as one: the opening marks of the drawn rules."""

Deadly = tuple[tuple[int, int], ...]
"""Cells and the two digits of each, one bit per digit: see ``techniques/uniqueness.py``."""


Narrowed = tuple[int, int, int]
"""An unknown, its candidates before the supposition of a story, and those that are left then.

Of a naked single, those before the first of several in a row, and the one that is left.
"""


@dataclass(frozen=True, slots=True, eq=False)
class Ending:
    """The end of a story: an unknown, a digit in a zone, or a rule, for which nothing is left.

    ``left`` are the unknowns that leave no way to fill the rule.
    """

    unknown: int | None = None
    digit: int | None = None
    zone: Zone | None = None
    switch: Switch | None = None
    left: tuple[Narrowed, ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class Branch:
    """A branch: some candidates of an unknown are supposed, and links follow.

    ``end`` says what then has nothing left; None if the last link is the conclusion. ``reasons`` give,
    link by link, the undecided unknowns on which it rests that had lost candidates by then, and those
    that it strikes.
    """

    supposed: tuple[Mark, ...]
    links: tuple[Idea, ...]
    end: Ending | None = None
    reasons: tuple[Callable[[], tuple[Narrowed, ...]], ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class Story:
    """The telling of a step without a short technique.

    ``about`` is what an *either* goes through: an unknown, or a digit's places in a zone.
    """

    form: Literal["suppose", "either"]
    branches: tuple[Branch, ...]
    about: Ending | None = None

    @property
    def length(self) -> int:
        """The number of its links."""
        return sum(len(branch.links) for branch in self.branches)


@dataclass(frozen=True, slots=True, eq=False)
class Idea:
    """Conclusions, and the premises from which they should follow.

    ``cells`` are premises "the candidates of this cell are these", ``spots`` are premises "the
    places of this digit in this zone are these", ``switches`` are houses and rule parts. ``shown``
    and ``digits`` are the cells and digits that the step names; ``core`` the cells that a written
    step must name, if these are fewer than ``shown``. ``deadly`` is set if the idea rests on the
    promise of one solution: the pattern that would have a twin (see ``techniques/uniqueness.py``).
    ``adding`` and ``taking`` are set if it rests on totals that are added up (see
    ``techniques/house_totals.py``). ``group`` names the group in which several such steps in a row
    are told. ``story`` is set if the idea is a story. ``say`` gives the sentence.
    """

    technique: str
    places: tuple[Mark, ...] = ()
    removes: tuple[Mark, ...] = ()
    cells: tuple[int, ...] = ()
    spots: tuple[Spot, ...] = ()
    switches: tuple[Switch, ...] = ()
    shown: tuple[int, ...] = ()
    core: tuple[int, ...] = ()
    digits: tuple[int, ...] = ()
    deadly: Deadly = ()
    adding: tuple[Switch, ...] = ()
    taking: tuple[Switch, ...] = ()
    group: Group = ""
    story: Story | None = None
    say: Callable[[], str] = field(default=lambda: "", repr=False)

    @property
    def all_switches(self) -> tuple[Switch, ...]:
        """The houses and rule parts among the premises; those that belong to the spots come first."""
        return tuple(dict.fromkeys([*(zone.switch for _, zone in self.spots), *self.switches]))

    @property
    def size(self) -> tuple[int, int]:
        """The size of the reason: houses and rule parts, then cell and place premises."""
        return len(self.all_switches), len(self.cells) + len(self.spots)

    @property
    def marks(self) -> tuple[Mark, ...]:
        """All conclusions, placements first."""
        return (*self.places, *self.removes)

    @property
    def touched(self) -> tuple[int, ...]:
        """The unknowns in its conclusions."""
        return tuple(dict.fromkeys(cell for cell, _ in self.marks))


Finder = Callable[[Position], Iterable[Idea]]


@dataclass(frozen=True, slots=True)
class Technique:
    """A technique by its trade name. ``group`` numbers the groups in teaching order, from 1.

    ``also`` lists other names that its ideas may carry. ``promised`` marks the techniques that rest
    on the promise that the puzzle has one solution. ``ranked`` marks techniques with many ideas,
    which come smallest first: the first is taken.
    """

    name: str
    group: int
    find: Finder
    also: tuple[str, ...] = ()
    promised: bool = False
    ranked: bool = False

    @property
    def names(self) -> tuple[str, ...]:
        """Every name that its ideas may carry."""
        return (self.name, *self.also)


def word_list(words: Iterable[str], last: str = "and") -> str:
    """A list of words: ``a, b and c``."""
    several = list(words)
    if len(several) < 2:
        return "".join(several)
    return f"{', '.join(several[:-1])} {last} {several[-1]}"


def cell_names(layout: Layout, cells: Iterable[int], last: str = "and") -> str:
    """A list of cells: ``r1c2, r1c5 and r1c9``."""
    return word_list([thing_said(layout, cell) for cell in cells], last)


def digit_names(layout: Layout, digits: Iterable[int], last: str = "and") -> str:
    """A list of digits: ``2, 5 and 7``."""
    return word_list(map(layout.symbol, digits), last)


def removal(layout: Layout, removes: Sequence[Mark]) -> str:
    """Words for removals, ``so 4 can be removed from r2c1, and 3 from r3c1``.

    Values with the same cells are said together, or cells with the same values if that is shorter.
    """
    cells_of: dict[str, list[int]] = {}
    values_of: dict[int, list[str]] = {}
    for cell, value in sorted(removes, key=lambda mark: (mark[1], mark[0])):
        name = layout.value_name((cell, value))
        cells_of.setdefault(name, []).append(cell)
        values_of.setdefault(cell, []).append(name)
    by_cells: dict[tuple[int, ...], list[str]] = {}
    for name, cells in cells_of.items():
        by_cells.setdefault(tuple(cells), []).append(name)
    by_values: dict[tuple[str, ...], list[int]] = {}
    for cell, names in sorted(values_of.items()):
        by_values.setdefault(tuple(names), []).append(cell)
    going = [(tuple(names), cells) for cells, names in by_cells.items()]
    other = [(names, tuple(cells)) for names, cells in by_values.items()]
    if sum(len(n) + len(c) for n, c in other) < sum(len(n) + len(c) for n, c in going):
        going = other
    first, *more = (f"{word_list(names)}#{cell_names(layout, cells)}" for names, cells in going)
    said = [
        first.replace("#", " can be removed from "),
        *(one.replace("#", " from ") for one in more),
    ]
    joined = len(said) > 1 and any(" and " in one for one in said)
    return "so " + (f"{', '.join(said[:-1])}, and {said[-1]}" if joined else word_list(said))


def premise_name(layout: Layout, switch: Switch) -> str:
    """A house or rule as a presenter would point at it: ``row 3``, ``the cage in box 1``."""
    premise = layout.premise_of(switch)
    return layout.said.get(premise.name, premise.name)


def zone_said(layout: Layout, zone: Zone) -> str:
    """A zone as a presenter would point at it; for a rule with several zones, the part's label."""
    premise = layout.premise_of(zone.switch)
    if isinstance(zone.switch, str) or len(premise.parts) == 1:
        return premise_name(layout, zone.switch)
    return premise.parts[zone.switch[1]].label


def zone_in(layout: Layout, zone: Zone) -> str:
    """Where a digit is that is in a zone: ``in row 3``, ``on the rising diagonal``."""
    way = layout.sights.get(zone.name, "in")
    return f"{'on' if way == 'on' else 'in'} {zone_said(layout, zone)}"


def open_cells(position: Position, zone: Zone) -> Iterator[int]:
    """The cells of a zone without a placed digit, in order."""
    for cell in zone.cells:
        if not position.placed >> cell & 1:
            yield cell


def marks_at(position: Position, cells: int, digit: int) -> tuple[Mark, ...]:
    """The candidates of a digit among some cells (a bit set)."""
    return tuple((cell, digit) for cell in members(cells & position.where[digit]))


def common_sight(layout: Layout, cells: Iterable[int]) -> int:
    """The cells that see all of these cells."""
    seen = -1
    for cell in cells:
        seen &= layout.sees[cell]
        if not seen:
            break
    return seen
