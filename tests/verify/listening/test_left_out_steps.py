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
