"""A claim after words that were not understood: these may have been the step that seems left out.

In Slipway, r1c6 = 1 is a single only after the 7 of r1c6 and r2c7 was struck by an XY-wing, which
no earlier technique of the teaching order does. In Harbour Lights the 3 of box 1 follows after two
naked pairs of 3 and 5 and four singles: a 1, a 2, a 5 and a 3.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from gridassay.verify import read_file
from gridassay.verify.listening.missed_claims import MissedClaims
from gridassay.verify.listening.results import TalkStep
from gridassay.verify.listening.talk import audit_talk

from ...cli.run import EXAMPLES
from .cues import spoken_of

SLIPWAY = read_file(Path(__file__).parent / "narrations" / "puzzles" / "slipway.txt")


def last_step(*cues: str) -> TalkStep:
    times = (
        f"00:00:{4 * number:02}.000 --> 00:00:{4 * number + 3:02}.000\n{said}\n"
        for number, said in enumerate(cues)
    )
    return audit_talk(SLIPWAY, "WEBVTT\n\n" + "\n".join(times)).steps[-1]


def test_a_claim_without_the_step_before_it_is_early() -> None:
    assert last_step("row one column six is a one").result == "early"


@pytest.mark.parametrize(
    "unheard",
    ["whoever sits up there, no seven for them", "the wing over yonder knocks sevens about"],
)
def test_what_was_not_understood_may_have_been_that_step(unheard: str) -> None:
    step = last_step(unheard, "row one column six is a one")
    assert (step.means, step.result) == ("r1c6 = 1", "sound")
    assert len(step.skipped) == 1
    assert step.detail == "after what was left out or not understood"


def test_other_talk_is_no_excuse() -> None:
    told = last_step("seven people came to the slipway", "row one column six is a one")
    assert told.result == "early"


def test_other_digits_are_no_excuse_unless_they_were_spoken() -> None:
    missed = MissedClaims()
    missed.next_claim([(1, 2)])
    assert not missed.cover([[4]], spoken=False)
    assert missed.cover([[4]], spoken=True)


def test_each_excuses_one_step_for_six_claims() -> None:
    missed = MissedClaims()
    missed.next_claim([(1, 2)])
    assert not missed.cover([[1], [2]], spoken=False)
    assert missed.cover([[2, 5]], spoken=False)
    assert not missed.cover([[2]], spoken=False)
    missed.add((7,))
    for _ in range(6):
        missed.next_claim([])
    assert missed.cover([[7]], spoken=False)
    missed.add((7,))
    for _ in range(7):
        missed.next_claim([])
    assert not missed.cover([[7]], spoken=False)


def test_steps_that_were_not_understood_are_known_by_their_digits() -> None:
    missed = MissedClaims()
    missed.next_claim([(1, 2)])
    assert missed.may_hold([2])
    assert not missed.may_hold([4])
    missed.next_claim([()])
    assert missed.may_hold([4])


@pytest.mark.parametrize(("digits", "result"), [("ones", "early"), ("threes fives", "sound")])
def test_many_left_out_steps_are_excused_by_words_with_their_digits(
    digits: str, result: str
) -> None:
    told = spoken_of(
        read_file(EXAMPLES / "harbour-lights.toml"),
        f"the wing over yonder knocks {digits} about",
        "the three in box one goes in the centre",
    )
    assert told[-1:] == [("r2c2 = 3", result)]
