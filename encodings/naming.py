"""Names that people give to rules, by what one sees: "the 17 cage in box 1".

One name for one rule wherever people read it; results for programs use ``Puzzle.rule_names``.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from itertools import pairwise
from typing import TYPE_CHECKING

from gridassay.encodings.grid import Cell
from gridassay.encodings.notation import listing
from gridassay.encodings.wording import ORDINALS, plural, reach

if TYPE_CHECKING:
    from gridassay.encodings.board import Board
    from gridassay.encodings.rules.base import Rule

_FROM = " from "
_PLACED = {"line": "on", "cage": "in", "cell mark": "in"}
"""How cells lie in a rule of some form."""

_FEW = 5
"""Up to so many cells are named one by one."""


def phrases(named: Mapping[str, Rule], board: Board) -> dict[str, str]:
    """A phrase for each rule, by its name in results.

    A rule with an id is called by it. Otherwise it is called by what is written at it, its kind and
    its house, or the two ends of its line; if two would share that, by the way that it takes, then by
    all its cells; and if that is not enough, by its place among those: "the second 12 cage r1c1 r1c2".
    """
    told: dict[str, str] = {"doublers": "the doublers", "letters": "the letters being different"}
    for tell in (_short, _by_ends, _by_way, _by_cells):
        times = Counter(told.values())
        for name, rule in named.items():
            if name not in told or times[told[name]] > 1:
                told[name] = tell(board, rule)
    times, met = Counter(told.values()), Counter[str]()
    for name, phrase in told.items():
        if times[phrase] > 1:
            told[name] = _numbered(phrase, met[phrase], name)
            met[phrase] += 1
    return told


def sights(named: Mapping[str, Rule], board: Board) -> dict[str, str]:
    """How a cell sees another by each rule, by its name in results: ``a knight's move``, ``on``, ``in``.

    Cells of a line are *on* it, cells of an area *in* it; other rules work between cells: ``by``.
    """
    return {
        name: rule.move or _PLACED.get(_form(board, rule), "by") for name, rule in named.items()
    }


def _form(board: Board, rule: Rule) -> str:
    shape = next(iter(rule.shapes(board)), None)
    return shape.form if shape else ""


def without_its_way(phrase: str) -> str:
    """The phrase for a line when it is said again: ``the thermometer``, not from where to where."""
    return phrase.partition(_FROM)[0]


def _numbered(phrase: str, place: int, name: str) -> str:
    """A phrase that several rules share, for one of them: ``the second palindrome r1c1 r1c2``."""
    if place < len(ORDINALS):
        return f"the {ORDINALS[place]} {phrase.removeprefix('the ')}"
    return name


def _short(board: Board, rule: Rule) -> str:
    if rule.id is not None:
        return f"the {rule.spoken} {rule.id!r}"
    cells = rule.where()
    shape = next(iter(rule.shapes(board)))
    if shape.form == "cell mark" and len(cells) > 1 and _by_its_cells(rule):
        return plural(_thing(rule))
    within = [
        house.name for house in board.canvas.houses if cells and set(cells) <= set(house.cells)
    ]
    if within and len(cells) > 1 and _by_its_cells(rule):
        return f"{_thing(rule)} in {within[-1]}"
    return _by_ends(board, rule)


def _by_ends(board: Board, rule: Rule) -> str:
    """Words for the two ends of a line, however it turns between them."""
    cells = rule.where()
    a_line = len(cells) > 1 and next(iter(rule.shapes(board))).form == "line"
    if a_line and _by_its_cells(rule) and len(_corners(cells)) <= _FEW:
        return f"{_thing(rule)}{_FROM}{cells[0]} to {cells[-1]}"
    return _by_way(board, rule)


def _by_way(board: Board, rule: Rule) -> str:
    """Words for the way of a line, or the cells of an area; some rules have another sort of place."""
    cells = rule.where()
    if not _by_its_cells(rule):
        return _place_words(rule)
    if len(cells) == 1:
        return f"{_thing(rule)} at {cells[0]}"
    if next(iter(rule.shapes(board))).form == "line":
        corners = _corners(cells)
        if len(corners) <= _FEW:
            first, *between, last = corners
            by = f" by {listing([str(cell) for cell in between], 'and')}" if between else ""
            return f"{_thing(rule)}{_FROM}{first}{by} to {last}"
    return _by_cells(board, rule)


def _by_cells(board: Board, rule: Rule) -> str:
    if rule.id is not None or not _by_its_cells(rule):
        return _place_words(rule)
    return f"{_thing(rule)} {' '.join(map(str, rule.where()))}"


def _by_its_cells(rule: Rule) -> bool:
    """Whether its place is the cells it is drawn on, and nothing else."""
    cells = rule.where()
    return bool(cells) and rule.site() in (" ".join(map(str, cells)), reach(cells))


def _place_words(rule: Rule) -> str:
    site = rule.site()
    link = "of" if site.startswith(("row ", "column ")) else ""
    return " ".join(filter(None, (_thing(rule), link, site)))


def _thing(rule: Rule) -> str:
    """The rule by what one sees: ``the 17 cage``."""
    sign = rule.sign()
    return " ".join(filter(None, ("the", sign if len(sign) < 12 else "", rule.spoken)))


def _corners(cells: Sequence[Cell]) -> list[Cell]:
    """Where a line begins, turns or jumps, and ends."""
    kept = [cells[0]]
    steps = [(b.row - a.row, b.column - a.column) for a, b in pairwise(cells)]
    for cell, (before, after) in zip(cells[1:], pairwise(steps), strict=False):
        if before != after or max(map(abs, before)) > 1:
            kept.append(cell)
    return [*kept, cells[-1]]
