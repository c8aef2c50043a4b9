"""Premises about candidates, to be said aloud: "r4c3 is 5 or 9", "9 in box 1 is in r1c1 or r2c3"."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from gridassay.verify.solving.board.ideas import Spot, cell_names, word_list, zone_in
from gridassay.verify.solving.board.layer_words import in_words, is_layered, marks_said
from gridassay.verify.solving.board.position import Layout, Position, Zone, members

_MOST_LOST = 2
_MOST_NAMED = 3
"""Up to so many values are named one by one, more in a row as *4 to 8*."""


def left_said(layout: Layout, unknown: int, mask: int) -> str:
    """The values left to an unknown: ``2, 3 or 6``, ``1 or 4 to 8``, ``not 2 or 9``."""
    values = [layout.value_name((unknown, value)) for value in members(mask)]
    if not values:
        return "nothing"
    if len(values) <= _MOST_NAMED:
        return word_list(values, "or")
    runs = _runs([layout.domains[unknown][value] for value in members(mask)])
    lost = members(layout.full[unknown] & ~mask)
    if layout.is_cell(unknown) and len(runs) > 1 and len(lost) <= _MOST_LOST:
        return f"not {word_list([layout.value_name((unknown, value)) for value in lost], 'or')}"
    said: list[str] = []
    for run in runs:
        named = [values[place] for place in run]
        said += [f"{named[0]} to {named[-1]}"] if len(run) >= _MOST_NAMED else named
    return word_list(said, "or")


def _runs(numbers: Sequence[int]) -> list[list[int]]:
    """The places of numbers that follow one another."""
    runs: list[list[int]] = []
    for place, number in enumerate(numbers):
        if runs and numbers[runs[-1][-1]] == number - 1:
            runs[-1].append(place)
        else:
            runs.append([place])
    return runs


def candidates_said(layout: Layout, masks: Mapping[int, int]) -> list[str]:
    """Clauses about unknowns and their candidates, those with the same together: ``r1c1 is 2 or 3``."""
    alike: dict[str, list[int]] = {}
    layered = []
    for unknown, mask in masks.items():
        # That all values are left says nothing.
        if is_layered(layout.unknowns[unknown]) or (
            in_words(layout.unknowns[unknown]) and mask != layout.full[unknown]
        ):
            layered.append((unknown, mask))
        elif mask != layout.full[unknown]:
            alike.setdefault(left_said(layout, unknown, mask), []).append(unknown)
    clauses = []
    for left, unknowns in alike.items():
        each = " each" if len(unknowns) > 1 and (" or " in left or " to " in left) else ""
        verb = "is" if len(unknowns) == 1 else "are"
        each = "" if left.startswith("not ") else each
        clauses.append(f"{cell_names(layout, unknowns)} {verb}{each} {left}")
    return [*clauses, *([marks_said(layout, [], layered)] if layered else [])]


def premises_said(position: Position, cells: Iterable[int], spots: Iterable[Spot]) -> list[str]:
    """Clauses about candidates of cells and the places of digits."""
    layout = position.layout
    clauses = candidates_said(layout, {cell: position.masks[cell] for cell in cells})
    of_zone: dict[Zone, list[str]] = {}
    for digit, zone in spots:
        # The house is named with the first of its digits.
        home = "" if zone in of_zone else f"{zone_in(layout, zone)} is "
        places = cell_names(layout, members(zone.bits & position.where[digit]), "or")
        said = f"{layout.symbol(digit)} {home}in {places}"
        of_zone.setdefault(zone, []).append(said)
    return [*clauses, *(said for several in of_zone.values() for said in several)]


def as_given(clauses: Sequence[str]) -> str:
    """Clauses before what follows from them: ``as r1c1 is 2 or 3, ``; nothing if there are none."""
    return f"as {word_list(clauses)}, " if clauses else ""
