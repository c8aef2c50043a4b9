"""Stories that go through the cases of a cell or of a digit: sound ones, and each damage caught."""

from __future__ import annotations

import pytest

from gridassay.verify import audit, read

# In row 1 the cells of box 1 are 1 and 2, either way, so r2c1 is not 1.
PUZZLE = read("size = 4\ngivens = '''\n..34\n....\n....\n....\n'''\n", "either.toml")
BY_CELL = """r2c1 not 1 because either r1c1:
    if r1c1 = 1:
        r2c1 not 1 because locked candidates: r1c1, digit 1, box 1
    if r1c1 = 2:
        r1c2 = 1 because naked single: r1c2
        r2c1 not 1 because locked candidates: r1c2, digit 1, box 1
"""
BY_DIGIT = """r2c1 not 1 because either digit 1, row 1:
    if r1c1 = 1:
        r2c1 not 1 because locked candidates: r1c1, digit 1, box 1
    if r1c2 = 1:
        r2c1 not 1 because locked candidates: r1c2, digit 1, box 1
"""


@pytest.mark.parametrize("text", [BY_CELL, BY_DIGIT])
def test_a_sound_one(text: str) -> None:
    (step,) = audit(PUZZLE, text).steps
    assert (step.result, step.detail) == ("sound", "")
    assert len(step.branches) == 2


@pytest.mark.parametrize(
    ("text", "old", "new"),
    [
        (BY_CELL, "r1c2 = 1 because", "r1c2 = 2 because"),
        (BY_CELL, "        r1c2 = 1 because naked single: r1c2\n", ""),
        (BY_CELL, "if r1c1 = 2", "if r1c1 = 3"),
        (BY_CELL, "if r1c1 = 2", "if r1c1 = 1"),
        (BY_DIGIT, "if r1c2 = 1", "if r1c2 = 2"),
        (BY_DIGIT, "if r1c2 = 1", "if r1c3 = 1"),
        (BY_DIGIT, "digit 1, row 1:", "digit 2, row 1:"),
    ],
)
def test_a_damaged_one_is_caught(text: str, old: str, new: str) -> None:
    assert old in text
    (step,) = audit(PUZZLE, text.replace(old, new)).steps
    assert step.result in ("wider", "unreadable")


def test_a_wrong_conclusion_is_said_of_the_whole() -> None:
    (step,) = audit(
        PUZZLE, BY_CELL.replace("r2c1 not 1 because either", "r2c1 not 3 because either")
    ).steps
    assert step.result == "unforced"
