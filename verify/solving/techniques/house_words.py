"""Houses in words: in a row, what is left of them; house totals, with the cages that are added up."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from gridassay.verify.engines.questions import Switch
from gridassay.verify.solving.board.ideas import (
    cell_names,
    digit_names,
    premise_name,
    removal,
    word_list,
    zone_said,
)
from gridassay.verify.solving.board.position import Layout, Mark, Position, Zone, members
from gridassay.verify.solving.techniques.facts import number

_PLURALS = {"box": "boxes"}
_MOST_NAMED = 2
"""The most cages that are named one by one; more are named by the houses they lie in."""


_MOST_REMOVED = 3
"""The most cells that are named one by one if they are the rest of a house."""


@dataclass(frozen=True)
class Balance:
    """Houses against cages: ``inside`` is in the houses only, ``outside`` in the cages only.

    ``houses`` and ``cages`` are added up; they are given by names and amounts. ``every`` tells that
    the cages are all of those in question, so that they need not be named one by one.
    """

    houses: tuple[Zone, ...]
    cages: tuple[str, ...]
    made: int
    total: int
    inside: tuple[int, ...]
    outside: tuple[int, ...]
    every: bool

    def words(self, layout: Layout) -> str:
        """Words for what is added up, and for the total of the cells left over."""
        where = houses_said([premise_name(layout, house.switch) for house in self.houses])
        several = len(self.houses) > 1
        whole = f"{where} {'make' if several else 'makes'} {self.total}"
        if not self.outside:
            return f"{whole}; {self._cages(f'in {where}')} {self.made}"
        out = cell_names(layout, self.outside)
        alone = " alone" if len(self.outside) == 1 else ""
        if not self.inside:
            cages = self._cages(f"that cover {where}")
            return f"{cages} {self.made} and stick out by {out}{alone}; {whole}"
        left = cell_names(layout, self.inside)
        cages = self._cages(f"in and across {where}")
        return f"{cages} {self.made}, leave out {left} and stick out by {out}; {whole}"

    def _cages(self, which: str) -> str:
        if self.every and len(self.cages) > _MOST_NAMED:
            return f"the {number(len(self.cages))} cages {which} make"
        return f"{word_list(self.cages)} {'make' if len(self.cages) > 1 else 'makes'}"

    def result(self, layout: Layout) -> str:
        """The total of the cells left over: ``r4c2 and r4c3 make 8``."""
        rest = self.total - self.made
        if not self.inside:
            return _come_to(layout, self.outside, -rest)
        if not self.outside:
            return _come_to(layout, self.inside, rest)
        more, less = (self.inside, self.outside) if rest >= 0 else (self.outside, self.inside)
        verb = "is" if len(more) == 1 else "make"
        as_much = f"{abs(rest)} more than" if rest else "as much as"
        together = " together" if len(less) > 1 else ""
        return f"{cell_names(layout, more)} {verb} {as_much} {cell_names(layout, less)}{together}"


def _come_to(layout: Layout, cells: Sequence[int], amount: int) -> str:
    return f"{cell_names(layout, cells)} {'is' if len(cells) == 1 else 'make'} {amount}"


def houses_said(names: Sequence[str]) -> str:
    """Houses of one kind in a row: ``box 1``, ``boxes 1 and 2``, ``rows 1 to 3``."""
    words = [name.rpartition(" ") for name in names]
    kinds = {kind for kind, _, _ in words}
    if len(names) == 1 or len(kinds) > 1 or "" in kinds:
        return word_list(names)
    kind = kinds.pop()
    plural = _PLURALS.get(kind, f"{kind}s")
    numbers = [last for _, _, last in words]
    if len(numbers) > 2 and all(n.isdigit() for n in numbers):
        first, last = int(numbers[0]), int(numbers[-1])
        if [*map(int, numbers)] == list(range(first, last + 1)):
            return f"{plural} {first} to {last}"
    return f"{plural} {word_list(numbers)}"


def houses_in_a_row(names: Sequence[str]) -> list[str]:
    """Houses, those of a kind together by their numbers: ``rows 2 and 5``, ``box 1``."""
    of_kind: dict[str, list[str]] = {}
    for name in names:
        kind, _, last = name.rpartition(" ")
        of_kind.setdefault(kind if last.isdigit() else name, []).append(name)
    return [
        houses_said(sorted(some, key=lambda name: (len(name), name))) for some in of_kind.values()
    ]


def rest_removal(
    position: Position, links: Iterable[Switch], holders: int, removes: Sequence[Mark]
) -> str:
    """Words for removals; where many cells lose digits, the rest of the houses that have them.

    ``links`` are the premises of these houses, ``holders`` the cells that keep the digits (bits).
    """
    layout = position.layout
    if len({cell for cell, _ in removes}) > _MOST_REMOVED:
        zones = [zone for zone in layout.zones if zone.switch in {*links}]
        digits = sorted({digit for _, digit in removes})
        rest = {
            (cell, digit)
            for zone in zones
            for digit in digits
            for cell in members(zone.bits & position.where[digit] & ~holders)
        }
        if rest == {*removes}:
            names = houses_in_a_row([zone_said(layout, zone) for zone in zones])
            going = digit_names(layout, digits)
            return f"so {going} can be removed from the rest of {word_list(names)}"
    return removal(layout, removes)
