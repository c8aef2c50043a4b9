"""Claims about rules, on Lobster Pots and Sandbanks, and the planted errors of whole narrations.

The truth of a claim about a cage or a thermometer is arithmetic, said beside it.
"""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from gridassay.verify import read_file
from gridassay.verify.auditing.auditing import audit
from gridassay.verify.listening.talk import audit_talk
from gridassay.verify.solving.routes import route

EXAMPLES = Path(__file__).parents[3] / "examples"
POTS = read_file(EXAMPLES / "lobster-pots.toml")
LIGHTS = read_file(EXAMPLES / "harbour-lights.toml")

RULES = [
    # Two cells make 8: 4 and 4 would be the same digit, and 8 leaves nothing.
    ("The 8 cage in box 2 can't have a 4, so 4 goes from r2c4 and r3c4.", "sound"),
    ("By the 8 cage, r2c4 is not 8 or 9.", "sound"),
    # The bulb of a thermometer of four cells is at most 6.
    ("r2c2 can't be 9 because of the thermometer from r2c2.", "sound"),
    # Not by the renban: 2, 3 and 4 would fit it. With 5 and 8 in its box, 7, 8 and 9 would not.
    ("The renban in box 5 rules out 4 in r5c5.", "wider"),
    ("The renban in box 5 rules out 9 in r5c5.", "sound"),
]


@pytest.mark.parametrize(("said", "result"), RULES)
def test_rules_are_pointed_at_as_people_do(said: str, result: str) -> None:
    (step,) = audit_talk(POTS, said).steps
    assert step.result == result, step


FILLINGS = [
    # Two cells make 8 by 1+7, 2+6 or 3+5: 4, 8 and 9 are in none of these.
    "The 8 cage in column 4 is 1 and 7, 2 and 6 or 3 and 5.",
    "The 8 cage in box 2 is either 1 and 7, 2 and 6 or 3 and 5.",
    "The 8 cage in column 4: 17, 26 or 35.",
    "The cage of 8 in box 2 can only hold 1, 2, 3, 5, 6 and 7.",
    "In the 8 cage in column 4 only 1, 2, 3, 5, 6 and 7 are left.",
    "r2c4 and r3c4 are 1+7 or 2+6 or 3+5.",
]


@pytest.mark.parametrize("said", FILLINGS)
def test_fillings_of_a_cage_deny_other_digits(said: str) -> None:
    (step,) = audit_talk(POTS, said).steps
    assert (step.means or "").partition(" because ")[0] == "r2c4 not 4 8 9; r3c4 not 4 8 9"
    assert step.result == "sound"


@pytest.mark.parametrize(
    "said", ["The 13 in column 4 has no 9.", "The thirteen in box five has no nine."]
)
def test_a_cage_is_called_by_its_total(said: str) -> None:
    """5 stands in r5c4, so that the other two cells of the cage make 8."""
    (step,) = audit_talk(POTS, said).steps
    assert (step.means or "").partition(" because ")[0] == "r4c4 not 9; r5c4 not 9; r6c4 not 9"
    assert step.result == "sound"


def test_a_whole_solve_with_planted_errors() -> None:
    """Every third placement is said with a wrong digit: each is found, and no true one is wrong."""
    rng = random.Random(23)
    ways = ["{c} is {d}.", "The {d} goes in {c}.", "{c}={d}", "{d} in {c}", "Put {d} in {c}.",
            "{c} has to be a {d}."]  # fmt: skip
    told, planted = [], set()
    placed = [step.places[0] for step in route(LIGHTS).steps if step.places]
    for line, (cell, digit) in enumerate(placed, start=1):
        if line % 3 == 0:
            planted.add(line)
            digit = digit % 9 + 1
        told.append(rng.choice(ways).format(c=cell, d=digit))
    found = audit_talk(LIGHTS, "\n".join(told))
    assert {step.line for step in found.steps} == set(range(1, len(placed) + 1))
    assert {step.line for step in found.steps if step.result == "wrong"} == planted
    assert {step.result for step in found.steps if step.line not in planted} <= {"sound", "early"}
    audited = audit(LIGHTS, found.clean())
    assert {step.result for step in audited.steps} == {"sound"}
