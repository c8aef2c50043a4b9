"""The statistics on series whose figures are known by hand."""

from __future__ import annotations

import pytest

from benchmarks import __main__ as command
from benchmarks.measure import (
    Measured,
    NotMeasured,
    Row,
    inverse,
    peak_megabytes,
    ratio,
    slope,
    spread,
)


def test_spread_is_the_median_and_the_quartiles() -> None:
    # Quartiles of 1 … 7 by the exclusive method: 2, 4, 6.
    assert spread([7, 1, 3, 5, 2, 6, 4]) == Measured(4, 2, 6)
    assert spread([2.5]) == Measured(2.5, 2.5, 2.5)


def test_one_wild_round_moves_nothing() -> None:
    assert spread([1, 1, 1, 1, 1, 1, 900]) == Measured(1, 1, 1)


def test_what_cannot_be_measured_here_is_said_and_left_out(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def missing(quick: bool) -> Measured:
        raise NotMeasured("no Chromium")

    rows = [
        Row(9, "page", "at most", 1, "ms", missing),
        Row(9, "picture", "at most", 1, "ms", lambda quick: Measured(1, 1, 1)),
    ]
    monkeypatch.setattr(command, "every_row", lambda: rows)
    monkeypatch.setattr("sys.argv", ["benchmarks"])
    assert command.main() == 0
    said = capsys.readouterr()
    assert "page: not measured: no Chromium" in said.err
    assert "picture" in said.out
    assert "page" not in said.out


def test_the_inverse_swaps_the_quartiles() -> None:
    assert inverse(Measured(4, 2, 8)) == Measured(0.25, 0.125, 0.5)


@pytest.mark.parametrize("exponent", [0.0, 1.0, 2.5, 4.0])
def test_the_slope_of_a_power_is_its_exponent(exponent: float) -> None:
    sizes = [4, 9, 16, 25]
    assert slope(sizes, [3 * size**exponent for size in sizes]) == pytest.approx(exponent)


def test_the_slope_of_two_points_by_hand() -> None:
    assert slope([1, 10], [5, 500]) == pytest.approx(2)


def test_a_ratio_drops_its_warm_up_and_alternates() -> None:
    calls: list[str] = []

    def work(name: str, amount: int) -> None:
        calls.append(name)
        sum(range(amount))

    found = ratio(lambda: work("A", 2_000_000), lambda: work("B", 200_000), rounds=3)
    assert "".join(calls) == "ABABABAB"
    assert found.value > 2  # ten times the work, on however noisy a machine


def row(sense: str, unit: str = "×") -> Row:
    """A row whose target is seven."""
    return Row(2, "x", sense, 7, unit, lambda quick: Measured(0, 0, 0))  # type: ignore[arg-type]


def test_targets_are_met_on_their_own_side() -> None:
    assert row("at most").met(Measured(7, 0, 0))
    assert not row("at most").met(Measured(7.1, 0, 0))
    assert row("at least").met(Measured(7, 0, 0))
    assert not row("at least").met(Measured(6.9, 0, 0))


def test_a_time_is_held_to_a_longer_target_on_a_slower_machine() -> None:
    time = row("at most", "ms")
    assert time.met(Measured(10, 0, 0), 1.5)
    assert not time.met(Measured(11, 0, 0), 1.5)
    assert not row("at most").met(Measured(7.1, 0, 0), 1.5)  # a ratio


def test_the_peak_is_that_of_the_process_asked_about() -> None:
    held = bytearray(200 * 2**20)  # this process is far larger than a bare one
    assert peak_megabytes("pass") < 120
    assert 60 < peak_megabytes("x = bytearray(60 * 2**20)") < 200
    del held
