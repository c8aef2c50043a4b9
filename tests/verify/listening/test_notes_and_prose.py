"""Notes and prose about Harbour Lights, written apart from the grammar, each claim with its truth.

The truth is the puzzle's solution and its singles, which stand in ``examples/harbour-lights.toml``.
"""

from __future__ import annotations

import random
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gridassay.verify import read_file
from gridassay.verify.auditing.auditing import audit
from gridassay.verify.listening.forms import form_of
from gridassay.verify.listening.hints import hinted
from gridassay.verify.listening.results import TalkStep
from gridassay.verify.listening.talk import audit_talk

EXAMPLES = Path(__file__).parents[3] / "examples"
PUZZLE = read_file(EXAMPLES / "harbour-lights.toml")

NOTES = [
    ("r1c6=6 (hidden single)", "r1c6 = 6", "sound"),
    ("9 in r3c5 by cross-hatching", "r3c5 = 9", "sound"),
    ("r7c5: 6", "r7c5 = 6", "sound"),
    ("r9c4=7 naked single", "r9c4 = 7", "wider"),
    ("R8C1 := 9 [hidden single, box 7]", "r8c1 = 9", "sound"),
    ("r2c13 <> 9", "r2c1 not 9; r2c3 not 9", "idle"),
    ("r7c2 = 7 last digit", "r7c2 = 7", "wider"),
    ("r3c1=3 (hidden single)", "r3c1 = 3", "wrong"),
    ("r1c2≠5", "r1c2 not 5", "sound"),
]

PROSE = [
    ("The only place for the six in box two is row one column six.", "r1c6 = 6", "sound"),
    ("Column five wants its nine in row three.", "r3c5 = 9", "sound"),
    ("In box 8 the 6 has to go in r7c5.", "r7c5 = 6", "sound"),
    ("So row nine, column four must be a seven.", "r9c4 = 7", "sound"),
    ("The 9 in r8c1 is a hidden single in box 7.", "r8c1 = 9", "sound"),
    ("There is only one place for the 7 in box 7.", "r7c2 = 7", "sound"),
    ("Now r7c3 can only be a two!", "r7c3 = 2", "sound"),
    ("Next, r9c2 is five.", "r9c2 = 5", "sound"),
    ("You can eliminate 9 from r1c3.", "r1c3 not 9", "idle"),
    ("Box 7 is done when r9c1 is then obviously six.", "r9c1 = 6", "sound"),
    ("And r3c1 is a 7.", "r3c1 = 7", "wrong"),
]

SILENT = [
    "What about row 7?",
    "Could r7c2 be a 7?",
    "r7c2 might be a 7 or an 8.",
    "I like this corner of the harbour.",
    "We have nine boxes, and the tide is slack.",
    "If r1c2 were a 3, then r1c3 would be a 5.",
    "",
]


def held(text: str) -> tuple[TalkStep, ...]:
    return audit_talk(PUZZLE, text).steps


@pytest.mark.parametrize("told", [NOTES, PROSE], ids=["notes", "prose"])
def test_a_narration_is_judged_as_its_author_would(told: list[tuple[str, str, str]]) -> None:
    steps = {step.line: step for step in reversed(held("\n".join(said for said, _, _ in told)))}
    for line, (said, means, result) in enumerate(told, start=1):
        step = steps[line]
        assert (step.means or "").partition(" because ")[0] == means, said
        assert step.result == result, (said, step)


@pytest.mark.parametrize("said", SILENT)
def test_what_claims_nothing_is_no_step(said: str) -> None:
    assert not held(said)


def test_what_is_taken_back_is_no_claim() -> None:
    assert not held("r1c6 is a 4. No wait, that's wrong.")
    (step,) = held("r1c6 is a 4, no wait, r1c6 is 6.")
    assert step.means == "r1c6 = 6"


def test_singles_left_out_are_bridged_and_shown() -> None:
    (step,) = held("The only place for 7 in box 7 is r7c2.")
    assert step.result == "sound"
    assert step.means is not None
    assert step.means.startswith("r7c2 = 7 because hidden single")
    assert 1 <= len(step.skipped) <= 6
    audited = audit(PUZZLE, "\n".join([*step.skipped, step.means]))
    assert {one.result for one in audited.steps} == {"sound"}


def test_several_steps_stand_on_a_line() -> None:
    steps = held("r1c6=6 (hidden single), r3c5=9; 6 in r7c5")
    assert [step.means for step in steps] == [
        "r1c6 = 6 because hidden single",
        "r3c5 = 9",
        "r7c5 = 6",
    ]


def test_what_may_mean_several_things_is_unclear_with_its_readings() -> None:
    (step,) = held("There is a hidden single for the 6.")
    assert (step.result, step.means) == ("unclear", None)
    assert len(step.readings) > 1


def test_a_cell_and_a_digit_side_by_side_are_understood_or_unclear() -> None:
    (step,) = held("6's: r1c6")
    assert (step.result, (step.means or "")[:8]) == ("sound", "r1c6 = 6")
    (step,) = held("6's: r1c2")
    assert (step.result, step.means) == ("unclear", None)


def test_the_clean_steps_audit_sound() -> None:
    said = "\n".join(said for said, _, _ in [*NOTES, *PROSE])
    found = audit_talk(PUZZLE, said)
    audited = audit(PUZZLE, found.clean())
    assert audited.steps
    assert {step.result for step in audited.steps} == {"sound"}


def test_the_form_is_told_by_the_text() -> None:
    assert form_of("r1c6 = 6\nr3c5 = 9 because hidden single\n", PUZZLE) == "steps"
    assert form_of("r1c6 = 6 because hidden single\nr5c7<>1\n", PUZZLE) == "steps"
    assert form_of("r5c7<>1\nr1c6 = 6 (hidden single)\n", PUZZLE) == "prose"


@pytest.mark.parametrize("seed", range(4))
def test_planted_errors_are_found(seed: int) -> None:
    """A true placement said with another digit, the rest as it was."""
    rng = random.Random(seed)
    told = [(said, means) for said, means, result in PROSE[:7] if result == "sound"]
    figures = [
        one for one in told if one[1][-1] in one[0].split()[-1] or f" {one[1][-1]} " in one[0]
    ]
    said, means = rng.choice(figures)
    cell, _, digit = means.partition(" = ")
    other = rng.choice([figure for figure in "123456789" if figure != digit])
    wrong = said.replace(f" {digit} ", f" {other} ", 1)
    steps = held(f"{cell} is {other}. {wrong}")
    assert steps[0].result == "wrong"
    assert all(step.result != "sound" or f"= {other}" not in (step.means or "") for step in steps)


SOME_WORDS = """
    r1c6 6 nine is not the in box row 2 only place for hidden single so because then loses from and or
    no wait column four seven gone lantern ( ) , ; ? : <> = can't r99c1 r0c0 ² ١ box 12 either
"""
WORDS = st.sampled_from(SOME_WORDS.split())


@settings(max_examples=25, deadline=None)
@given(st.lists(WORDS, max_size=14))
def test_any_words_are_heard_without_a_fault(words: list[str]) -> None:
    """No row of words ends in a traceback, and every claim has one of the results."""
    for step in held(" ".join(words)):
        assert step.result in ("sound", "idle", "wider", "early", "wrong", "unclear")


@pytest.mark.parametrize(
    ("slip", "meant"),
    [
        ("r5c7<>1", "r5c7 not 1"),
        ("r1c6=6 (hidden single)", "r1c6 = 6 because hidden single"),
        ("9 in r3c5 by cross-hatching", "r3c5 = 9 because hidden single"),
    ],
)
def test_a_slip_of_form_in_a_steps_file_gets_a_hint(slip: str, meant: str) -> None:
    found = hinted(audit(PUZZLE, f"{slip}\nr7c5 = 6\n"))
    assert found.steps[0].result == "unreadable"
    assert f"is read as {meant!r}" in found.steps[0].detail
    assert not hinted(audit(PUZZLE, "lantern\n")).steps[0].detail.endswith("notes")
