"""Settings for every test: no answer depends on how busy the machine is, or on its terminal."""

from __future__ import annotations

import os
from time import process_time

import pytest
from hypothesis import HealthCheck, settings

from gridassay.verify import budget

# A test is not at fault where a busy machine is slow to make its examples.
# CI makes the same examples each time, so that a rerun repeats what it found; others make new ones.
settings.register_profile(
    "patient",
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow],
    derandomize=bool(os.environ.get("CI")),
)
settings.load_profile("patient")


@pytest.fixture(autouse=True)
def _budgets_are_of_work(monkeypatch: pytest.MonkeyPatch) -> None:
    """Budgets count the work of this process, not the hours of a machine that others use too."""
    monkeypatch.setattr(budget, "perf_counter", lambda: process_time() / 2)
