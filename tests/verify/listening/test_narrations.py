"""A share of the narrations, held against their truth; ``measure.py`` measures all of them."""

from __future__ import annotations

import json
import random

import pytest

from gridassay.verify import read_file
from gridassay.verify.listening.talk import audit_talk

from .measure import NARRATIONS, measure

SHARE = [
    "01-hask-terse",
    "05-tregenna-lesson",
    "15-tam-stream",
    "31-dee-porch",
    "69-opie-class",
    "82-quint-proof",
    "84-coyle-tins",
    "87-dack-column",
    "88-sal-blog",
]


@pytest.mark.parametrize("name", SHARE)
def test_a_narration_is_understood_and_judged_as_its_truth_has_it(name: str) -> None:
    style, tally = measure(NARRATIONS / f"{name}.truth.json")
    assert tally.called_wrong == 0, tally.misses
    assert tally.understood >= (0.85 if style == "captions" else 0.95) * tally.claims, tally.misses
    assert tally.right >= 0.95 * tally.understood, tally.misses


@pytest.mark.parametrize("seed", [1, 2])
def test_a_narration_with_words_lost_and_doubled_is_heard_without_a_fault(seed: int) -> None:
    """Captions drop words and say them twice: no traceback, and nothing true of the grid is wrong."""
    rng = random.Random(seed)
    truth = json.loads((NARRATIONS / "31-dee-porch.truth.json").read_text("utf-8"))
    puzzle = read_file(NARRATIONS / truth["puzzle"])
    lines = (NARRATIONS / truth["narration"]).read_text("utf-8").splitlines()[:80]
    for number, line in enumerate(lines):
        words = line.split()
        if "-->" not in line and len(words) > 3:
            place = rng.randrange(len(words))
            words[place : place + 1] = rng.choice([[], [words[place]] * 2, ["lantern"]])
            lines[number] = " ".join(words)
    found = audit_talk(puzzle, "\n".join(lines))
    assert found.steps
    results = {"sound", "idle", "wider", "early", "wrong", "unclear"}
    assert {step.result for step in found.steps} <= results
