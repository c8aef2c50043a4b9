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
