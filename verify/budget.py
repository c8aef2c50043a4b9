"""The time an answer may take: a clock that is looked at between slices of work."""

from __future__ import annotations

from time import perf_counter

DEFAULT_SECONDS = 10.0


class OutOfTime(Exception):
    """The budget ran out before the question was answered."""


class Clock:
    """Counts down from a number of seconds, starting when it is made."""

    def __init__(self, seconds: float = DEFAULT_SECONDS) -> None:
        self.started = perf_counter()
        self.ends = self.started + seconds

    def spent(self) -> float:
        """Seconds since the start."""
        return perf_counter() - self.started

    def left(self) -> float:
        """Seconds to the end; below zero when they are gone."""
        return self.ends - perf_counter()

    def check(self) -> None:
        """Raise OutOfTime when nothing is left."""
        if perf_counter() > self.ends:
            raise OutOfTime
