"""The gate holds for what was recorded, and fails for a slow encoding and for a wrong one."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator, Sequence
from pathlib import Path

import pytest

from benchmarks import __main__ as command
from benchmarks import gate, tables
from benchmarks.gate import Contest, Figures, judge, record
from benchmarks.measure import Measured

from .plugged import measure_here, plant

SMALL = (Contest("AtMostOne", "hard9", 3),)
FIGURES = Figures({"loop": 1.4}, {"hard9: clauses": 100, "hard9: conflicts": 50})


@pytest.fixture(scope="module", autouse=True)
def _quick_to_measure() -> Iterator[None]:
    """Few encodings, each measured in this process: what is tested is what the gate makes of figures."""
    every = gate.alternatives

    def few(names: list[str]) -> list[str]:
        return names[:1] + [name for name in names[1:] if name in ("slow", "wrong")]

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(tables, "measure_apart", measure_here)
        patch.setattr(gate, "alternatives", lambda kind: few(list(every(kind))))
        yield


@pytest.fixture(scope="module")
def recorded() -> dict[str, object]:
    return record(gate.measure(2, SMALL, {}), "a first record", "2024-05-01", {})


def test_a_slow_encoding_fails_on_its_ratio_alone(
    recorded: dict[str, object], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    plant(tmp_path, monkeypatch, "slow")
    judgement = judge(gate.measure(1, SMALL, {"AtMostOne": "slow"}), recorded)
    assert judgement.failures
    assert all("configured / AtMostOne" in failure for failure in judgement.failures)


def test_a_wrong_encoding_fails_whatever_its_time(
    recorded: dict[str, object], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    plant(tmp_path, monkeypatch, "wrong")
    chosen = gate.measure(1, SMALL, {"AtMostOne": "wrong"})
    assert any("hard9, as configured: WRONG on " in one for one in judge(chosen, recorded).failures)
    with pytest.raises(ValueError, match="wrong answers are not recorded"):
        record(chosen, "to hide it", "2024-05-01", {})
    beside = judge(gate.measure(1, SMALL, {}), recorded)
    assert any("hard9, AtMostOne wrong: WRONG on " in failure for failure in beside.failures)


def test_bands_are_wide_for_ratios_and_narrow_for_counts() -> None:
    bands = record(FIGURES, "why", "2024-05-01", {})
    assert judge(FIGURES, bands) == gate.Judgement((), ())
    for ratio, clauses, conflicts, failing in [
        (1.4 * 1.6, 100, 50, []),
        (1.4 * 1.8, 100, 50, ["loop"]),
        (1.4 / 1.8, 100, 50, ["loop"]),
        (1.4, 101, 50, ["hard9: clauses"]),
        (1.4, 100, 54, []),
        (1.4, 100, 60, ["hard9: conflicts"]),
    ]:
        counts = {"hard9: clauses": clauses, "hard9: conflicts": conflicts}
        failures = judge(Figures({"loop": ratio}, counts), bands).failures
        assert [failure.rpartition(":")[0] for failure in failures] == failing


def test_a_ratio_outside_its_band_counts_only_if_it_stays_there() -> None:
    """Two ratios of one corpus were seen half as large on a machine that was busy for a second."""
    both = ["hard9: configured / AtMostOne slow", "hard9: configured / AtMostOne native"]
    bands = record(Figures(dict.fromkeys(both, 1.0), {}), "why", "2024-05-01", {})
    for later, times, failing in [
        ([(1.0, 2.0)], 1, []),
        ([(2.0, 2.0), (1.0, 2.0)], 2, []),
        ([(2.0, 2.0), (2.0, 1.0)], 2, both[:1]),
    ]:
        asked = []

        def once_more(
            contests: Sequence[Contest],
            asked: list[str] = asked,
            later: list[tuple[float, float]] = later,
        ) -> Figures:
            asked += [one.corpus for one in contests]
            return Figures(dict(zip(both, later[len(asked) - 1], strict=True)), {})

        first = Figures(dict(zip(both, (2.0, 1.0), strict=True)), {})
        settled = gate.measured_again(first, bands, once_more)
        assert asked == ["hard9"] * times
        assert [one.rpartition(":")[0] for one in judge(settled, bands).failures] == failing


def test_what_is_not_measured_fails_and_what_is_new_is_noted() -> None:
    bands = record(FIGURES, "why", "2024-05-01", {})
    judgement = judge(Figures({"new": 2.0}, FIGURES.counts), bands)
    assert judgement.failures == ("loop: was not measured",)
    assert judgement.notes == ("new: 2, no band is recorded",)


def test_another_solver_version_is_not_held_to_its_conflicts() -> None:
    bands = {**record(FIGURES, "why", "2024-05-01", {}), "python-sat": "0.0"}
    changed = {"hard9: clauses": 101, "hard9: conflicts": 500}
    judgement = judge(Figures(FIGURES.ratios, changed), bands)
    assert [failure.partition(" ")[0] for failure in judgement.failures] == ["hard9:"]
    assert "clauses: 101" in judgement.failures[0]
    assert "conflicts and propagations are not compared" in judgement.notes[0]


def test_the_command(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(gate, "CONTESTS", (Contest("Compare", "greater9", 1),))
    monkeypatch.setattr(gate, "warm_against_bare_loop", lambda quick: Measured(1.4, 1, 2))
    monkeypatch.setenv("COLUMNS", "20")
    file = tmp_path / ("a long name " * 10) / "gate.json"
    file.parent.mkdir()

    def run(*arguments: str) -> int:
        monkeypatch.setattr(
            sys, "argv", ["benchmarks", "--quick", "--gate-file", str(file), *arguments]
        )
        return command.main()

    assert run("--gate") == 2
    # Paths are as long as they are, and the terminal as narrow: a message is a line all the same.
    said = f"{file}: nothing is recorded yet; record it with --update-gate --because REASON"
    assert said in capsys.readouterr().err.splitlines()
    with pytest.raises(SystemExit):
        run("--update-gate")
    assert "needs a reason" in capsys.readouterr().err
    assert run("--update-gate", "--because", "the first record") == 0
    held = json.loads(file.read_text())
    assert [reason["because"] for reason in held["reasons"]] == ["the first record"]
    assert "a verdict / the bare loop's" in held["bands"]
    held["bands"]["greater9: clauses"] = [1, 1]
    file.write_text(json.dumps(held))
    assert run("--gate") == 1
    assert "FAILED: greater9: clauses" in capsys.readouterr().err
