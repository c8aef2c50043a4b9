"""Routes on every kind of rule: never against the solution, to the end, and sound when audited.

Each kind's worked example (docs/rules) is completed to a full grid, whose givens are then left out one
by one as long as the rule keeps the solution the only one. Letters, doublers, several rules at once and
rules that lie have puzzles of their own.
"""

from __future__ import annotations

import random
from dataclasses import replace
from pathlib import Path

import pytest

from gridassay.encodings.puzzle import Puzzle
from gridassay.verify import check, read, route
from gridassay.verify.auditing.auditing import audit
from gridassay.verify.solving.board.steps import write_steps

from ..minimal import random_solution, without_spare_givens

PAGES = Path(__file__).parents[3] / "docs" / "rules"
# Routes over layers are held in tests of their own.
KINDS = sorted(
    page.stem
    for page in PAGES.glob("*.toml")
    if "[[layer]]" not in page.read_text(encoding="utf-8")
)

MIXED = {
    "letters": """
size = 4
rule = [
    {kind = "cage", cells = "r1c1 r1c2", sum = "A"},
    {kind = "cage", cells = "r2c3 r3c3", sum = "A"},
    {kind = "cage", cells = "r4c1 r4c2", sum = "B"},
    {kind = "cage", cells = "r2c1 r2c2", sum = "B"},
]
""",
    "doublers": """
size = 4
[doublers]
[[rule]]
kind = "cage"
cells = "r1c1 r1c2 r2c1"
[[rule]]
kind = "arrow"
bulb = "r4c4"
shaft = "r3c4 r3c3"
[[rule]]
kind = "thermometer"
cells = "r1c3 r1c4 r2c4"
""",
    "lines through each other": """
size = 6
rule = [
    {kind = "cage", cells = "r1c1 r1c2 r2c1", sum = 9},
    {kind = "arrow", bulb = "r3c1", shaft = "r4c1 r4c2"},
    {kind = "whisper", cells = "r1c4 r2c4 r3c4 r3c3", difference = 3},
    {kind = "renban", cells = "r5c3 r5c4 r6c4 r6c3"},
    {kind = "parity-line", cells = "r1c6 r2c6 r3c6 r4c6"},
    {kind = "consecutive-pair", cells = "r5c1 r5c2"},
    {kind = "double-pair", cells = "r6c1 r6c2"},
]
""",
    "cages that lie": """
size = 6
[[rule]]
kind = "exactly"
count = 2
[[rule.of]]
kind = "cage"
cells = "r1c1 r1c2"
sum = 3
[[rule.of]]
kind = "cage"
cells = "r3c3 r3c4"
sum = 4
[[rule.of]]
kind = "cage"
cells = "r6c5 r6c6"
sum = 11
""",
    "irregular": """
regions = "AAABBBACCCBBAACDDBECCDFFEEDDDFEEEFFF"
size = 6
rule = [
    {kind = "cage", cells = "r1c1 r1c2 r2c1", sum = 9},
    {kind = "thermometer", cells = "r4c4 r4c5 r3c5"},
    {kind = "entropic", cells = "r6c1..r6c5"},
]
""",
    "digits from 0": """
size = 4
digits = [0, 1, 2, 3]
rule = [
    {kind = "cage", cells = "r1c1 r1c2", sum = 3},
    {kind = "sandwich", line = "r3", sum = 2},
    {kind = "slow-thermometer", cells = "r4c1 r4c2 r3c2"},
]
""",
}


def example(kind: str) -> Puzzle:
    """The rules of a kind's worked example, and the givens that it takes for one solution."""
    page = read((PAGES / f"{kind}.toml").read_text(encoding="utf-8"), f"{kind}.toml")
    solution = random_solution(page, random.Random(kind))
    return without_spare_givens(replace(page, givens=()), 0, solution)


def hold(puzzle: Puzzle) -> None:
    found = route(puzzle, budget=60)
    assert found.verdict == "unique"
    assert found.solved
    (solution,) = check(puzzle, budget=60).solutions
    values = dict(zip(puzzle.board.shown, solution, strict=True))
    for step in found.steps:
        assert all(values[one] == value for one, value in step.places)
        assert all(values[one] != value for one, value in step.removes)
    held = audit(puzzle, write_steps(found.steps, puzzle), budget=60)
    assert [step for step in held.steps if step.result != "sound"] == []
    assert held.solved


@pytest.mark.parametrize("kind", KINDS)
def test_a_route_on_every_kind_of_rule(kind: str) -> None:
    hold(example(kind))


@pytest.mark.parametrize("seed", range(3))
@pytest.mark.parametrize("name", MIXED)
def test_a_route_on_several_rules(name: str, seed: int) -> None:
    hold(without_spare_givens(read(MIXED[name], f"{name}.toml"), seed))
