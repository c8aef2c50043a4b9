"""Likely slips although nothing is wrong for certain: a line that jumps, a rule given twice.

A warning changes no verdict. Warnings that need only the rule come from the rule itself
(``Rule.doubts``); the ones here need the whole puzzle, or a question to an engine.
"""

from __future__ import annotations

import random
from collections.abc import Collection, Iterator, Mapping, Sequence
from contextlib import closing, suppress
from dataclasses import replace
from typing import Any

from gridassay.encodings.board import Part
from gridassay.encodings.constraints import AnyOf, Letter
from gridassay.encodings.grid import Canvas, Cell
from gridassay.encodings.model import Model, Premise
from gridassay.encodings.puzzle import Puzzle, Solution
from gridassay.encodings.rules.base import Rule
from gridassay.verify.budget import Clock, OutOfTime
from gridassay.verify.engines.one_shot import OutrightEngine

_GRIDS = 40
"""How many filled grids a rule is tried on before an engine is asked: most rules show an effect there."""
_MOST_HOUSES = 4
"""The most neighbouring rows, columns or boxes whose cages are added up."""


def warnings(puzzle: Puzzle, clock: Clock) -> tuple[str, ...]:
    """Likely slips of a puzzle with rules or layers, one sentence each.

    Those that would take too long are left out.
    """
    if not (puzzle.rules or puzzle.layers):
        return ()
    found = [
        *_layers(puzzle),
        *_doubts(puzzle),
        *_twice(puzzle),
        *_letters(puzzle),
        *missed_totals(puzzle),
    ]
    with suppress(OutOfTime):
        found += _effects(puzzle, clock)
    return tuple(dict.fromkeys(f"{one[0].upper()}{one[1:]}" for one in found))


def _rules_by_name(puzzle: Puzzle) -> Iterator[tuple[str, Rule]]:
    for name, rule in zip(puzzle.rule_names, puzzle.rules, strict=True):
        yield puzzle.rule_phrases[name], rule


def _doubts(puzzle: Puzzle) -> Iterator[str]:
    for name, rule in zip(puzzle.rule_names, puzzle.rules, strict=True):
        phrase = puzzle.rule_phrases[name]
        inside = puzzle.clue_phrases.get(name, ())
        told = [f"{clue}, in {phrase}," for clue in inside] or [phrase]
        for said, inner in zip(told, rule.drawn(), strict=True):
            yield from (f"{said} {doubt}" for doubt in inner.doubts())


def _layers(puzzle: Puzzle) -> Iterator[str]:
    """Layers that no rule mentions."""
    spoken = {name for rule in puzzle.rules for one in rule.drawn() for name in one.of_layers()}
    for layer in puzzle.layers:
        if layer.name not in spoken and not layer.binds_digits:
            yield f"no rule mentions the layer {layer.name}"


def _twice(puzzle: Puzzle) -> Iterator[str]:
    """Rules that say the same as an earlier one."""
    known: dict[str, str] = {}
    for phrase, rule in _rules_by_name(puzzle):
        said: dict[str, Any] = rule.model_dump(exclude={"id", "text", "optional"})
        if all(shape.form in ("cage", "cell mark") for shape in rule.shapes(puzzle.board)):
            said |= {key: sorted(said[key].split()) for key in ("cells",) if key in said}
        first = known.setdefault(repr(said), phrase)
        if first != phrase:
            yield f"{phrase} says the same as {first}"


def _letters(puzzle: Puzzle) -> Iterator[str]:
    """Letters that are used in only one clue, which may have been meant as numbers."""
    phrases = dict(zip(puzzle.rule_names, puzzle.rules, strict=True))
    for letter, names in puzzle.model.mentions.items():
        if not isinstance(letter, Letter) or len(names) != 1:
            continue
        # Imported here, as below: a file with one solution reads the kinds that it uses.
        from gridassay.encodings.rules.combinations import Combination
        from gridassay.encodings.rules.relations import Relation

        rule = phrases[names[0]]
        if isinstance(rule, Relation | Combination):
            continue
        meant = {"x": " (X is 10)", "v": " (V is 5)"}.get(letter.name.lower(), "")
        yield (
            f"the letter {letter.name} is used in only one clue, {puzzle.rule_phrases[names[0]]}; if "
            f"a number was meant{meant}, write it without quotes"
        )


def missed_totals(puzzle: Puzzle) -> Iterator[str]:
    """Cages that fill neighbouring houses but do not have their total."""
    if all(rule.kind != "cage" for rule in puzzle.rules):
        return
    from gridassay.encodings.rules.cages import Cage

    cages = [
        rule
        for rule in puzzle.rules
        if isinstance(rule, Cage) and isinstance(rule.sum, int) and not rule.optional
    ]
    if not cages or puzzle.board.counting:
        return
    owner: dict[Cell, Cage] = {}
    for cage in cages:
        for cell in cage.cells:
            if cell in owner:  # cages that overlap cannot be added up
                return
            owner[cell] = cage
    wrong: list[frozenset[Cell]] = []
    for named, houses, cells in _blocks(puzzle.canvas):
        if any(cells.issuperset(fewer) for fewer in wrong):
            continue
        inside = {id(owner[cell]): owner[cell] for cell in cells if cell in owner}
        whole = [cage for cage in inside.values() if cells.issuperset(cage.cells)]
        if sum(len(cage.cells) for cage in whole) != len(cells):
            continue
        made = sum(cage.sum for cage in whole if isinstance(cage.sum, int))
        due = houses * sum(puzzle.canvas.digits)
        if made != due:
            wrong.append(cells)
            yield f"the cages of {named} total {made}, but should total {due}"


def _blocks(canvas: Canvas) -> Iterator[tuple[str, int, frozenset[Cell]]]:
    """Full houses of a grid, single ones and groups of neighbours, with their name and number."""
    for grid in canvas.grids:
        if grid.size != len(canvas.digits):
            continue
        of = f" of {grid.name}" if len(canvas.grids) > 1 else ""
        areas = [area.cells for area in grid.areas]
        for noun, lines in (("row", grid.rows), ("column", grid.columns), ("box", areas)):
            longest = 1 if noun == "box" else min(_MOST_HOUSES, len(lines) - 1)
            for length in range(1, longest + 1):
                for start in range(len(lines) - length + 1):
                    cells = frozenset(c for line in lines[start : start + length] for c in line)
                    first, last = start + 1, start + length
                    name = f"{noun} {first}" if length == 1 else f"{noun}s {first} to {last}"
                    yield f"{name}{of}", length, cells
        yield f"the whole grid{of}", grid.size, frozenset(grid.cells)


def _effects(puzzle: Puzzle, clock: Clock) -> Iterator[str]:
    """Rules that no digits satisfy, and rules that every grid allowed by the houses satisfies."""
    grids = [puzzle.fill(grid) for grid in _sample_grids(puzzle, clock)]
    named = zip(puzzle.rule_names, puzzle.rules, strict=True)
    rules = {name: rule for name, rule in named if not rule.defines}
    kept = {name: [rule.is_kept(grid) for grid in grids] for name, rule in rules.items()}
    lettered = {name: rule.letters(puzzle.board) for name, rule in rules.items()}
    for name, holds in kept.items():
        phrase = puzzle.rule_phrases[name]
        if not any(holds):
            alone = puzzle.model.excerpt([one for one in puzzle.model.premises if one.name == name])
            if _solution(alone, [name], clock) is None:
                yield f"no digits satisfy {phrase}"
        elif all(holds) and not lettered[name] and _always(puzzle, name, clock):
            yield f"{phrase} has no effect: every grid satisfies it"


def _always(puzzle: Puzzle, name: str, clock: Clock) -> bool:
    """Whether every grid that the houses allow satisfies a rule."""
    model = puzzle.model
    houses = [premise for premise in model.premises if premise.kind == "house"]
    (rule,) = (premise for premise in model.premises if premise.name == name)
    broken = AnyOf(tuple(part.constraint.negated() for part in rule.parts))
    denied = Premise(f"not {name}", "rule", (Part(f"not {name}", broken),))
    both = replace(model.excerpt([*houses, denied]), ground=model.ground)
    return _solution(both, both.by_default, clock) is None


def _solution(model: Model, on: Collection[str], clock: Clock) -> Solution | None:
    """A solution of some premises of a model.

    Each is asked once, and mostly easy: a solver of its own is loaded sooner than the shared one.
    """
    with closing(OutrightEngine(model, (), clock, on)) as engine:
        return engine.solve(clock)


def _sample_grids(puzzle: Puzzle, clock: Clock) -> Iterator[Solution]:
    """Grids that the houses allow: one of them, with its digits exchanged at random."""
    houses = [premise.name for premise in puzzle.model.premises if premise.kind == "house"]
    first = _solution(puzzle.model, houses, clock)
    if first is None:
        return
    chance = random.Random(1)
    digits = puzzle.canvas.digits
    cells = len(puzzle.canvas.digit_cells)
    layers = puzzle.board.layered
    for _ in range(_GRIDS):
        if puzzle.canvas.houses:
            other: Mapping[int, int] = dict(
                zip(digits, chance.sample(digits, len(digits)), strict=True)
            )
            filled: Sequence[int] = [other[digit] for digit in first[:cells]]
        else:
            filled = chance.choices(digits, k=cells)
        unknowns = first[cells : len(first) - len(layers)]
        yield (*filled, *unknowns, *(chance.choice(domain) for domain in layers.values()))
