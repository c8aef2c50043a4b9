"""Clue effects and routes of small puzzles with layers, held against their fillings.

``without`` has the fillings that keep all rules but one, by the name of that rule.
"""

from __future__ import annotations

import random
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

import gridassay.verify as ga

from .layer_makers import ref
from .layer_readings import World, beside

Checks = Iterator[tuple[str, bool, str]]
"""What was checked, whether it is right, and what was said."""


def effects(
    puzzle: Any, names: Sequence[str], without: Mapping[str, Sequence[World]], budget: float
) -> Checks:
    """The worth of each rule in a puzzle with one solution: solutions without it, cells that open."""
    said = {one["premise"]: one for one in ga.clues(puzzle, budget=budget).to_json()["rules"]}
    for name, worlds in without.items():
        effect, left = said[name], len(worlds)
        count = effect["without"]
        right = count["count"] == left if count["exact"] else 1 < count["count"] <= left
        right = right and effect["wasted"] == (left == 1)
        told = f"{name}: {count}, wasted {effect['wasted']}, and it is {left}"
        yield "effect of a clue", right, told
        every = [values(world, names) for world in worlds]
        opens = {one for one in every[0] if len({known[one] for known in every}) > 1}
        told = f"{name}: {effect['opens']}, not {sorted(opens)}"
        yield "what opens", set(effect["opens"]) == opens, told
        if effect["nearest"]:
            there = effect["nearest"]["layers"]
            yield "nearest", set(there) == set(names), f"{name}: {there}"


def steps(
    puzzle: Any, names: Sequence[str], worlds: Sequence[World], budget: float, dice: random.Random
) -> Checks:
    """Every step of a route says what is true of all solutions; the audit finds the route sound."""
    found = ga.route(puzzle, budget=budget)
    every = [values(world, names) for world in worlds]
    for step in found.to_json()["steps"]:
        placed = [_named(mark) for mark in step["place"]]
        struck = [_named(mark) for mark in step["remove"]]
        right = all(
            all(known[name] == value for name, value in placed)
            and all(known[name] != value for name, value in struck)
            for known in every
        )
        yield "step of a route", right, f"{step['text']}: {step['place']} {step['remove']}"
    if len(worlds) == 1:
        yield "end of a route", found.solved, f"{len(found.steps)} steps do not solve it"
        name, value = dice.choice([*every[0].items()])
        is_said = f"{name} not {value}\n"
        results = [step.result for step in ga.audit(puzzle, is_said, budget=budget).steps]
        yield "audit of a false step", results == ["wrong"], f"{is_said}: {results}"
    if found.steps:
        audited = ga.audit(puzzle, ga.write_steps(found.steps, puzzle), budget=budget)
        bad = [step.to_json() for step in audited.steps if step.result not in ("sound", "idle")]
        yield "audit of a route", not bad, str(bad[:2])


def _named(mark: Mapping[str, Any]) -> tuple[str, str]:
    if "cell" in mark:
        return mark["cell"], str(mark["digit"])
    return mark["unknown"], str(mark["value"])


def values(world: World, names: Sequence[str]) -> dict[str, str]:
    """Everything that is to be found, by its name, and what it is."""
    cells = world.cells
    pairs = [(a, b) for a in cells for b in cells if a < b and beside(a, b)]
    found = {ref(cell): str(digit) for cell, digit in world.digits.items()}
    for name in names:
        if name == "water":
            found |= {f"water {ref(cell)}": world.shades[cell] for cell in cells}
        elif name == "cruise":
            found |= {
                f"cruise {ref(a)}-{ref(b)}": _yes(frozenset((a, b)) in world.line) for a, b in pairs
            }
        elif name == "parishes":
            found |= {
                f"parishes {ref(a)}-{ref(b)}": _yes(world.region[a] == world.region[b])
                for a, b in pairs
            }
        else:
            found |= {f"fence {side}": _yes(pair in world.sides) for side, pair in sides(world)}
    return found


def _yes(true: bool) -> str:
    return "yes" if true else "no"


def sides(world: World) -> Iterator[tuple[str, frozenset[tuple[int, int]]]]:
    """Every side of a cell as it is written, and its two corners: by cells, top, left, right, bottom."""
    done = set()
    for r, c in world.cells:
        corners = {
            "top": ((r, c), (r, c + 1), (r - 1, c)),
            "left": ((r, c), (r + 1, c), (r, c - 1)),
            "right": ((r, c + 1), (r + 1, c + 1), (r, c + 1)),
            "bottom": ((r + 1, c), (r + 1, c + 1), (r + 1, c)),
        }
        for side, (one, other, beyond) in corners.items():
            pair = frozenset((one, other))
            if pair not in done:
                done.add(pair)
                there = beyond in world.cells
                yield f"{ref((r, c))}|{ref(beyond) if there else side}", pair
