"""What a presenter calls a clue: a given as printed, a rule by what one sees, "the 17 cage in box 1"."""

from __future__ import annotations

import re
from collections import Counter

from gridassay.encodings.grid import Cell
from gridassay.encodings.puzzle import Fact, Puzzle


def as_printed(puzzle: Puzzle, clue: Fact | str) -> str:
    """A clue as a reader knows it: ``r1c1=A`` where the tenth digit is written A; a rule by its name."""
    if isinstance(clue, str) or not isinstance(clue.variable, Cell):
        return str(clue)
    return f"{clue.variable}={puzzle.canvas.symbols[clue.value]}"


def rule_phrases(puzzle: Puzzle) -> dict[str, str]:
    """A phrase for each rule by its name; rules that would share one are told apart by their cells.

    A rule with an id of its own is called by it.
    """
    phrases = {}
    for name, rule in zip(puzzle.rule_names, puzzle.rules, strict=True):
        if rule.id:
            phrases[name] = f"the {_spoken(rule.kind)} {rule.id!r}"
            continue
        shape = next(iter(rule.shapes(puzzle.board)), None)
        label = f"{shape.label} " if shape and shape.label and len(shape.label) < 12 else ""
        place = _place(puzzle, rule.where())
        if not place and rule.place():
            place = f" at {rule.place()}"
        phrases[name] = f"the {label}{_spoken(rule.kind)}{place}"
    times = Counter(phrases.values())
    for name, rule in zip(puzzle.rule_names, puzzle.rules, strict=True):
        if times[phrases[name]] > 1 and rule.place() and rule.where():
            phrases[name] = f"{phrases[name].partition(' in ')[0]} {rule.place()}"
    return phrases


def _spoken(kind: str) -> str:
    """A kind of rule as it is said: a letter keeps its hyphen, as in ``x-sum``."""
    return re.sub(r"(?<=\w\w)-", " ", kind)


def _place(puzzle: Puzzle, cells: tuple[Cell, ...]) -> str:
    if not cells:
        return ""
    within = [house.name for house in puzzle.canvas.houses if set(cells) <= set(house.cells)]
    if within:
        return f" in {within[-1]}"
    return f" at {cells[0]}" if len(cells) == 1 else f" from {cells[0]} to {cells[-1]}"


def counted(number: int, one: str, several: str = "") -> str:
    """A number with its noun: ``1 step``, ``2 steps``."""
    return f"{number} {one if number == 1 else several or f'{one}s'}"
