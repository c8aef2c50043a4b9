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


LOOSELY = [
    # one cell and one digit, and words that are in no list
    ("Box 2 hands its 2 over to r2c6.", ["r2c6 = 2"]),
    ("A 7 has landed upon r2c7.", ["r2c7 = 7"]),
    ("Box 2 hands a 2 over to r2c6, and box 3 a 7 to r2c7.", ["r2c6 = 2", "r2c7 = 7"]),
]


@pytest.mark.parametrize(("said", "meant"), LOOSELY)
def test_a_cell_and_a_digit_in_unknown_words_count_if_they_are_a_single(
    said: str, meant: list[str]
) -> None:
    steps = audit_talk(HERON, said, form="prose").steps
    assert [(step.means or "").partition(" because ")[0] for step in steps] == meant
    assert {step.result for step in steps} <= {"sound"}


def test_they_count_for_nothing_if_they_are_denied() -> None:
    steps = audit_talk(HERON, "Box 2 never hands its 2 to r2c6.", form="prose").steps
    assert {step.result for step in steps} <= {"unclear"}


def test_a_digit_that_is_said_not_to_be_coming_is_struck() -> None:
    """In column 6 the 6 is in r5c6, which r8c6 and r9c6 see."""
    said = "In r9c6, 6 is not coming. Nor is r8c6 a 6."
    steps = audit_talk(HERON, said, form="prose").steps
    assert [step.means for step in steps] == ["r9c6 not 6", "r8c6 not 6"]


SPOKEN = [  # r5c6 is 6
    "row five column six is five and something so two or six",
    "row five column six is the three of them together",
    "row five column five so it's never going to be six neither",
]


@pytest.mark.parametrize("said", SPOKEN)
def test_what_is_said_beside_it_may_be_what_was_meant(said: str) -> None:
    told = results(said, "row five column six")
    assert "wrong" not in [result for _, result in told]


def test_a_cell_may_be_given_the_digit_that_comes_last() -> None:
    told = results("row two column six makes five together with the three so two it is")
    assert told == [("r2c6 = 2", "sound")]


def test_a_digit_that_a_cell_does_not_have_is_not_understood() -> None:
    told = results("row two column six makes five together with the three so four it is")
    assert told == [("", "unclear")]


PLAIN = [  # r2c6 is 2, which a listener could have heard in each
    (("row two column five is a two", "row two column six comes next"), "r2c5 = 2"),
    (("two in row two column five", "row two column six comes next"), "r2c5 = 2"),
    (("row two column six is a three", "no what am i saying the two is there"), "r2c6 = 3"),
]


@pytest.mark.parametrize(("said", "means"), PLAIN)
def test_a_cell_with_its_digit_is_not_mended_into_what_is_true(
    said: tuple[str, ...], means: str
) -> None:
    assert (means, "wrong") in results(*said)


TOLD = [
    ("Only r2c6 is left for the 2.", [("r2c6 = 2", "sound")]),
    ("r2c6 is completed with a 2.", [("r2c6 = 2", "sound")]),
    ("The slow one, from r2c6 up to r3c7, is better.", []),
    # r5c6 is 6; a given 6 sees r8c6
    ("A 6 in r8c6 was not possible.", [("r8c6 not 6", "idle")]),
    ("r8c6 can't be 6, as column 2 has its 4.", [("r8c6 not 6", "idle")]),
    ("r5c6 is left to be seen, but 6 is out of r5c6.", [("r5c6 not 6", "wrong")]),
]


@pytest.mark.parametrize(("said", "heard"), TOLD)
def test_these_words_are_heard_as_they_are_meant(said: str, heard: list[tuple[str, str]]) -> None:
    steps = audit_talk(HERON, said, form="prose").steps
    told = [((step.means or "").partition(" because ")[0], step.result) for step in steps]
    assert told == heard


def test_of_several_strikes_the_false_ones_are_wrong() -> None:
    """r5c6 is 6; a given 6 sees r8c6."""
    steps = audit_talk(HERON, "There is no 6 in r8c6, and none in r5c6.", form="prose").steps
    assert [(step.means, step.result) for step in steps] == [
        ("r8c6 not 6", "idle"),
        ("r5c6 not 6", "wrong"),
    ]
