"""Steps left out before a claim: singles may be, if one single, rule or short technique comes last.

The puzzle has thermometers; which steps a claim needs is seen by leaving out each of those shown.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from gridassay.verify import read_file
from gridassay.verify.auditing.auditing import audit
from gridassay.verify.listening.talk import audit_talk

GAUGE = read_file(Path(__file__).parent / "narrations" / "puzzles" / "gauge.toml")


@pytest.mark.parametrize("claim", ["r4c4 is 6.", "r1c8 is 8."])
def test_one_rule_after_quiet_singles_is_sound(claim: str) -> None:
    (step,) = audit_talk(GAUGE, claim, form="prose").steps
    assert step.result == "sound"
    assert step.skipped
    assert all("single" in one for one in step.skipped)
    assert [one.result for one in audit(GAUGE, "\n".join(step.skipped)).steps] == ["sound"]


def test_a_rule_left_out_before_another_rule_is_early() -> None:
    (step,) = audit_talk(GAUGE, "r1c6 is 2.", form="prose").steps
    assert step.result == "early"
    assert any("rule alone" in one for one in step.skipped)


def test_one_rule_left_out_before_a_strike_is_sound() -> None:
    """The 8 of a thermometer strikes it from r2c3 once the thermometer has placed it."""
    (step,) = audit_talk(GAUGE, "r2c3 is not 8.", form="prose").steps
    assert step.result == "sound"
    assert ["rule alone" in one for one in step.skipped] == [True]
    audited = audit(GAUGE, "\n".join(step.clean)).steps
    assert {one.result for one in audited} == {"sound"}


HERON = read_file(Path(__file__).parent / "narrations" / "puzzles" / "heron.txt")
"""Here r2c1 and r1c3 follow from singles alone, two and five of which have to come first."""


def test_a_bare_claim_after_many_singles_is_early() -> None:
    (few,) = audit_talk(HERON, "r2c1 is 4.", form="prose").steps
    assert (few.result, len(few.skipped)) == ("sound", 2)
    (many,) = audit_talk(HERON, "r1c3 is 9.", form="prose").steps
    assert (many.result, len(many.skipped)) == ("early", 5)
    assert {one.result for one in audit(HERON, "\n".join(many.clean)).steps} == {"sound"}


def test_a_true_claim_for_which_nothing_is_said_and_found_is_early() -> None:
    (step,) = audit_talk(GAUGE, "r2c5 is 1.", form="prose").steps
    assert (step.result, step.detail) == ("early", "true, but no named technique gives it")


def test_nor_do_captions_leave_out_many() -> None:
    cue = "WEBVTT\n\n00:00:01.000 --> 00:00:03.000\nrow one column three is a nine\n"
    (step,) = audit_talk(HERON, cue).steps
    assert (step.means, step.result, len(step.skipped)) == ("r1c3 = 9", "early", 5)


def test_what_a_single_struck_that_was_left_out_is_not_idle() -> None:
    """The 1 of r2c4, which has to come before r2c1 = 4, takes the 1 out of r5c4."""
    first, then = audit_talk(HERON, "r2c1 is 4. r5c4 is not 1.", form="prose").steps
    assert "r2c4 = 1 because naked single: r2c4" in first.skipped
    assert (then.means, then.result) == ("r5c4 not 1", "sound")
    (alone,) = audit_talk(HERON, "r2c4 is 1. r5c4 is not 1.", form="prose").steps[1:]
    assert alone.result == "idle"
