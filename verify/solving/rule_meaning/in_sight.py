"""Arguments told from what they name: a listener sees the candidates of a cell that is named.

A sentence needs to say beforehand only what it does not name: candidates of other cells, and where a
digit can be if that is not what it speaks of. With what is seen, an argument says less, or leaves less.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from gridassay.verify.engines.deletion import fewest
from gridassay.verify.solving.board.ideas import Spot
from gridassay.verify.solving.board.position import Mark
from gridassay.verify.solving.rule_meaning.arguments import Argument
from gridassay.verify.solving.rule_meaning.clashes import Clashes

_MOST_TRIED = 4
"""How often the arguments are looked for again from what they name."""


@dataclass(frozen=True)
class InSight:
    """An argument against each candidate, and the cells and places that must be said beforehand."""

    arguments: Mapping[Mark, Argument]
    cells: tuple[int, ...]
    spots: tuple[Spot, ...]


@dataclass(frozen=True)
class _Named:
    cells: frozenset[int] = frozenset()
    spots: frozenset[Spot] = frozenset()

    def __or__(self, other: _Named) -> _Named:
        return _Named(self.cells | other.cells, self.spots | other.spots)


def arguments_in_sight(
    clashes: Clashes,
    cells: Sequence[int],
    spots: Sequence[Spot],
    struck: Sequence[Mark],
    most: int,
    *,
    least: bool,
) -> InSight | None:
    """The arguments against the struck candidates; None if they say more than ``most`` things.

    ``cells`` and ``spots`` are the premises.
    """
    told: dict[Mark, Argument] = {}
    named = _Named()
    for _ in range(_MOST_TRIED):
        clashes.know({*cells, *named.cells}, {*spots, *named.spots})
        told = _arguments(clashes, struck, most, least=least)
        if not told:
            return None
        names = _all_names(told)
        if names.cells <= named.cells and names.spots <= named.spots:
            break
        named |= names
    else:
        return None
    # What was seen on the way and is not named in the end is said if it is needed.
    premises: list[int | Spot] = [*cells, *spots, *sorted(named.cells - names.cells - {*cells})]
    premises += named.spots - names.spots - {*spots}
    named = names

    def tell_again(some: Sequence[int | Spot]) -> dict[Mark, Argument]:
        kept_cells, kept_spots = _cells_and_spots(some)
        clashes.know({*kept_cells, *named.cells}, {*kept_spots, *named.spots})
        now: dict[Mark, Argument] = {}
        for mark, argument in told.items():
            found = clashes.again(mark, argument)
            if found is None:
                return {}
            now[mark] = found
        return now if _all_names(now) == named else {}

    kept = fewest(premises, lambda some: bool(tell_again(some)))
    return InSight(tell_again(kept), *_cells_and_spots(kept))


def _cells_and_spots(premises: Sequence[int | Spot]) -> tuple[tuple[int, ...], tuple[Spot, ...]]:
    return (
        tuple(one for one in premises if isinstance(one, int)),
        tuple(one for one in premises if not isinstance(one, int)),
    )


def _arguments(
    clashes: Clashes, struck: Sequence[Mark], most: int, *, least: bool
) -> dict[Mark, Argument]:
    """The argument against each candidate; nothing if one has none, or they are too long."""
    told: dict[Mark, Argument] = {}
    for mark in struck:
        argument = clashes.argument(mark, least=least)
        if argument is None:
            return {}
        told[mark] = argument
        different = []
        for one in told.values():
            if one not in different:
                different.append(one)
        if sum(one.length + 1 for one in different) > most:
            return {}
    return told


def _all_names(told: Mapping[Mark, Argument]) -> _Named:
    named = _Named(frozenset(unknown for unknown, _ in told))
    for argument in told.values():
        named |= _names_in(argument)
    return named


def _names_in(told: Argument) -> _Named:
    """The unknowns that an argument names, and the digits of whose places it speaks."""
    cells = {unknown for act in told.acts for unknown, _ in (*act.places, *act.removes)}
    spots: set[Spot] = set()
    if told.clash:
        cells |= {*told.clash.cells, *told.clash.also}
        if told.clash.by_digits and told.clash.zone:
            spots |= {(digit, told.clash.zone) for digit in told.clash.digits}
    if told.digit is not None and told.zone is not None:
        spots.add((told.digit, told.zone))
    named = _Named(frozenset(cells), frozenset(spots))
    for (unknown, _), case in told.cases:
        named |= _Named(frozenset({unknown})) | _names_in(case)
    return named
