"""Changes between two versions of a puzzle: clues, verdict and solution."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from gridassay.encodings.constraints import Variable
from gridassay.encodings.grid import TOP_LEFT, Cell
from gridassay.encodings.puzzle import Puzzle
from gridassay.encodings.variables import word
from gridassay.encodings.wording import quantity
from gridassay.verify.budget import DEFAULT_SECONDS, Clock, within_budget
from gridassay.verify.counting.verdict import Verdict, check
from gridassay.verify.in_short import InShort

if TYPE_CHECKING:
    from gridassay.encodings.rules.base import Rule
    from gridassay.verify.auditing.results import AuditedStep


HELD = ("sound", "idle")
"""The results of an audit that a step can be shown with."""


@dataclass(frozen=True)
class Change:
    """One difference in the clues: ``what`` was ``old`` and is ``new``; None if it was not there.

    ``called`` is the name that people use, if it is another one.
    """

    what: str
    old: str | None
    new: str | None
    called: str = ""

    def __str__(self) -> str:
        """``r1c1: 5, was 4``, ``added …``, ``removed …``."""
        named = self.called or self.what
        if self.old is None:
            return f"added {named}: {self.new}" if self.new else f"added {named}"
        if self.new is None:
            return f"removed {named}: {self.old}" if self.old else f"removed {named}"
        return f"{named}: {self.new}, was {self.old}"

    def to_json(self) -> dict[str, str | None]:
        """Its three fields."""
        return {"what": self.what, "old": self.old, "new": self.new}


@dataclass(frozen=True, repr=False)
class Comparison(InShort):
    """Two versions: the changes in givens, rules and grid, and both verdicts.

    ``moved`` lists the cells and unknowns whose value differs between the two solutions; it is None
    if there are not two unique solutions over the same cells to compare. ``lost`` are the steps
    of a walkthrough that were sound or idle and no longer are, with their new results; None if
    no walkthrough was given, or if ``unheld`` says why none of its steps can be checked.
    """

    changes: tuple[Change, ...]
    old: Verdict
    new: Verdict
    moved: tuple[Variable, ...] | None
    lost: tuple[AuditedStep, ...] | None = None
    unheld: str = ""

    def in_short(self) -> str:
        """How much changed, and what that did."""
        was = f"{quantity(len(self.changes), 'change')}, {self.old.status}"
        return was if self.old.status == self.new.status else f"{was}, now {self.new.status}"

    @property
    def same(self) -> bool:
        """Whether verdict and solution are unchanged."""
        return self.old.status == self.new.status and not self.moved

    def to_json(self) -> dict[str, Any]:
        """The changes and their effects."""
        result: dict[str, Any] = {
            "changes": [change.to_json() for change in self.changes],
            "old": self.old.to_json(),
            "new": self.new.to_json(),
            "same_verdict": self.old.status == self.new.status,
            "moved": None if self.moved is None else [str(cell) for cell in self.moved],
        }
        if self.lost is not None:
            result["lost"] = [step.to_json() for step in self.lost]
        elif self.unheld:
            result |= {"lost": None, "unheld": self.unheld}
        return result


@within_budget
def compare(
    old: Puzzle,
    new: Puzzle,
    steps: str | None = None,
    *,
    budget: float | Clock = DEFAULT_SECONDS,
) -> Comparison:
    """Compare two versions of a puzzle and, with the text of a steps file, check its steps in both.

    ``budget`` is for everything together. Raises OutOfTime if it does not suffice for the steps.
    """
    clock = Clock.of(budget)
    before = check(old, budget=clock.share(0.5))
    after = check(new, budget=clock)
    moved: tuple[Variable, ...] | None = None
    shown = old.board.shown
    if before.status == after.status == "unique" and shown == new.board.shown:
        triples = zip(shown, before.solutions[0], after.solutions[0], strict=True)
        moved = tuple(variable for variable, one, other in triples if one != other)
    found = Comparison(tuple(changes(old, new)), before, after, moved)
    return found if steps is None else _add_steps_that_held(found, old, new, steps, clock)


def _add_steps_that_held(
    found: Comparison, old: Puzzle, new: Puzzle, steps: str, clock: Clock
) -> Comparison:
    """Add the steps that held in the old version and do not hold in the new one."""
    # Imported here: two versions are compared without the techniques.
    from gridassay.verify.auditing.auditing import audit

    audits = audit(old, steps, budget=clock), audit(new, steps, budget=clock)
    for name, one in zip(("earlier", "later"), audits, strict=True):
        if one.truth.verdict == "none":
            why = f"the {name} version has no solution, so no step can be checked against it"
            return replace(found, unheld=why)
    held = {step.line for step in audits[0].steps if step.result in HELD}
    lost = [step for step in audits[1].steps if step.line in held and step.result not in HELD]
    return replace(found, lost=tuple(lost))


def changes(old: Puzzle, new: Puzzle) -> Iterator[Change]:
    """The differences between two puzzles' texts: grid, givens, rules, and what holds for all."""
    if old.canvas != new.canvas:
        yield Change("the grid", _grid(old), _grid(new))
    before, after = dict(old.givens), dict(new.givens)
    for cell in sorted({*before, *after}, key=_in_order):
        if before.get(cell) != after.get(cell):
            yield Change(
                str(cell), _given_symbol(old, before, cell), _given_symbol(new, after, cell)
            )
    yield from _rules(old, new)
    for what, one, other in (
        ("title", old.title, new.title),
        ("credit", old.credit, new.credit),
        ("expect", old.expect or "", new.expect or ""),
        ("doublers", str(old.doublers), str(new.doublers)),
        ("layers", _layers(old), _layers(new)),
        ("different letters differ", str(old.letters_differ), str(new.letters_differ)),
    ):
        if one != other:
            yield Change(what, one, other)


def _layers(puzzle: Puzzle) -> str:
    """The layers with their fields, givens apart, which are compared one by one."""
    fields = (
        {key: value for key, value in layer.fields().items() if key != "givens"}
        for layer in puzzle.layers
    )
    return "; ".join(", ".join(f"{key} {value}" for key, value in one.items()) for one in fields)


def _grid(puzzle: Puzzle) -> str:
    canvas = puzzle.canvas
    houses = f"{len(canvas.houses)} houses" if canvas.houses else "no houses"
    return f"{canvas.rows}x{canvas.columns}, {len(canvas.cells)} cells, {houses}"


def _given_symbol(puzzle: Puzzle, givens: Mapping[Variable, int], cell: Variable) -> str | None:
    if cell not in givens:
        return None
    value = givens[cell]
    return puzzle.canvas.symbols[value] if isinstance(cell, Cell) else str(word(cell, value))


def _in_order(variable: Variable) -> tuple[bool, Cell, str]:
    """Cells first, in reading order, then givens of layers."""
    is_cell = isinstance(variable, Cell)
    return not is_cell, variable if isinstance(variable, Cell) else TOP_LEFT, str(variable)


def _rules(old: Puzzle, new: Puzzle) -> Iterator[Change]:
    """Rules that are the same up to order are skipped; the rest are paired by name."""
    left = dict(zip(old.rule_names, old.rules, strict=True))
    right = dict(zip(new.rule_names, new.rules, strict=True))
    kept = list(right.values())
    for name, rule in list(left.items()):
        if rule in kept:
            kept.remove(rule)
            del left[name]
    right = {name: rule for name, rule in right.items() if any(rule is one for one in kept)}
    for name, rule in left.items():
        if name in right:
            yield from _fields(name, old.rule_phrases[name], rule, right.pop(name))
        else:
            yield Change(name, _spelt(rule), None, old.rule_phrases[name])
    for name, rule in right.items():
        yield Change(name, None, _spelt(rule), new.rule_phrases[name])


def _fields(name: str, called: str, old: Rule, new: Rule) -> Iterator[Change]:
    before, after = _named_fields(old), _named_fields(new)
    for key in dict.fromkeys((*before, *after)):
        if before.get(key) != after.get(key):
            told = str(before.get(key, "")), str(after.get(key, ""))
            yield Change(f"{name}, {key}", *told, f"{called}, {key}")


def _named_fields(rule: Rule) -> dict[str, Any]:
    return {"kind": rule.kind} | rule.model_dump(by_alias=True, exclude_defaults=True)


def _spelt(rule: Rule) -> str:
    fields = {key: value for key, value in _named_fields(rule).items() if key != "cells"}
    return ", ".join(f"{key} {value}" for key, value in fields.items())
