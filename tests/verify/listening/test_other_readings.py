"""A claim that is false as it was heard, while the same words may say something true.

What is true is what the route of the puzzle shows: r2c6 is 2, r7c5 is 8, r5c6 is 6.
"""

from __future__ import annotations

import pytest

from gridassay.verify.listening.talk import audit_talk

from .test_confined import HERON, results

DIGIT_FIRST = "which leaves row five column five the two in row two is where {}"


def test_a_digit_belongs_to_the_cell_on_its_other_side_if_it_is_true_there() -> None:
    assert results(DIGIT_FIRST.format("row two column six")) == [("r2c6 = 2", "sound")]


def test_a_digit_that_is_false_on_both_sides_is_wrong() -> None:
    ((_, result),) = results(DIGIT_FIRST.format("row two column eight"))
    assert result == "wrong"


DOUBTFUL = [
    "In r5c5 a 2 is hopeless, not ever.",  # r5c5 is not 2
    "r5c6, the only one for 6.",
    "24/3 r7c5 r7c6 r7c7.",
]


@pytest.mark.parametrize("said", DOUBTFUL)
def test_words_that_say_more_than_was_heard_are_never_wrong(said: str) -> None:
    assert "wrong" not in [step.result for step in audit_talk(HERON, said, form="prose").steps]


WRONG = ["r5c5 is 2.", "r5c6 is 3.", "r2c6 isn't 2.", "r5c6 is 3 and r2c6 is 2."]


@pytest.mark.parametrize("said", WRONG)
def test_plain_words_that_are_false_are_wrong(said: str) -> None:
    assert "wrong" in [step.result for step in audit_talk(HERON, said, form="prose").steps]
