"""Words in which a cell and a digit stand side by side without a claim are never called wrong."""

from __future__ import annotations

from pathlib import Path

import pytest

from gridassay.verify import read_file
from gridassay.verify.listening.results import TalkStep
from gridassay.verify.listening.talk import audit_talk

HERON = read_file(Path(__file__).parent / "narrations" / "puzzles" / "heron.txt")


def _heard(text: str) -> tuple[TalkStep, ...]:
    return audit_talk(HERON, text).steps


def _right_digit(cell: str) -> int:
    """The digit of a cell in the solution."""
    return next(one for one in range(1, 10) if _heard(f"{cell} is a {one}.")[0].result != "wrong")


RIGHT = _right_digit("r1c1")
WRONG = [one for one in range(1, 10) if one != RIGHT]


@pytest.mark.parametrize(
    "words",
    [
        "The line goes from the {wrong} in row 2 down to {cell}.",
        "On the far side it is {cell} and a {wrong}.",
        "{wrong}&{other} corner at {cell}.",
    ],
)
def test_a_pair_in_other_words_is_not_wrong(words: str) -> None:
    """Lists and the run of a line say nothing of the digit in the cell."""
    text = words.format(cell="r1c1", wrong=WRONG[0], other=WRONG[1])
    assert "wrong" not in {step.result for step in _heard(text)}


def test_a_digit_that_is_gone_with_its_cell_is_a_reason() -> None:
    """*With the 5 in r1c1 gone from the box* does not strike that 5; *remove the 5 from r1c1* does."""
    said = _heard(f"With the {RIGHT} in r1c1 gone from the box.")
    assert "wrong" not in {step.result for step in said}
    assert [step.result for step in _heard(f"Remove the {RIGHT} from r1c1.")] == ["wrong"]


def test_the_only_one_is_no_digit() -> None:
    """*One* after *the only* stands for the digit that was named before it."""
    said = _heard(f"The {WRONG[-1]} at r1c1 is the only one that row 1 will allow.")
    assert all(step.means != "r1c1 = 1" for step in said)


def test_none_of_several_cells_is_above_a_bound() -> None:
    """*None of* before the cells denies the digits beyond the bound, not those within it."""
    (step,) = _heard("None of r1c1, r1c2 and r1c3 is over 8.")
    assert step.means == "r1c1 not 9; r1c2 not 9; r1c3 not 9"


@pytest.mark.parametrize(
    ("words", "means"),
    [
        ("b1: {d} -> r1c1, r1c2 = {e} last", ["r1c1 = {d}", "r1c2 = {e}"]),
        ("{d} -> r1c1. {e} -> r1c2", ["r1c1 = {d}", "r1c2 = {e}"]),
        ("b1: {d} r1c1 / {e} r1c2", ["r1c1 = {d}", "r1c2 = {e}"]),
    ],
)
def test_arrows_and_slashes_part_placements(words: str, means: list[str]) -> None:
    """The next claim begins after the cell of an arrow, or a slash set off by spaces."""
    digits = {"d": RIGHT, "e": _right_digit("r1c2")}
    said = [(step.means or "").partition(" because ")[0] for step in _heard(words.format(**digits))]
    assert said == [one.format(**digits) for one in means]


def test_a_column_after_and_is_a_cell_of_the_row() -> None:
    """*Row 1 column 1 and column 2 cannot be a 9* says so of both cells."""
    (step,) = _heard("Row 1 column 1 and column 2 cannot be a 9.")
    assert step.means == "r1c1 not 9; r1c2 not 9"


def test_a_reason_that_ends_with_it_is_of_the_digit_before() -> None:
    """*C1 has no other for it* after a digit is held against column 1, not against the next digit."""
    other = _right_digit("r1c2")
    first, second = _heard(f"b1: {RIGHT} r1c1, c1 has no other for it, {other} r1c2")
    assert first.said.endswith("for it")
    assert "column 1" in f"{first.means}{first.detail}"
    assert second.means == f"r1c2 = {other}"
