"""The time an answer may take: a clock that is looked at between slices of work."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from time import perf_counter
from typing import TypeVar, overload

Item = TypeVar("Item")

DEFAULT_SECONDS = 10.0


class OutOfTime(Exception):
    """The budget ran out before the question was answered."""


class TooHard(Exception):
    """A question took more effort than was allowed."""


class Clock:
    """Counts down from a number of seconds, starting when it is made."""

    def __init__(self, seconds: float = DEFAULT_SECONDS) -> None:
        self.started = perf_counter()
        self.ends = self.started + seconds

    @classmethod
    def of(cls, budget: float | Clock) -> Clock:
        """The clock itself, or one that starts now with so many seconds.

        Raises ValueError where the number is negative or not a number.
        """
        if isinstance(budget, Clock):
            return budget
        if not budget >= 0:
            raise ValueError(f"a budget is a number of seconds from 0 up, not {budget}")
        return cls(budget)

    def spent(self) -> float:
        """Seconds since the start."""
        return perf_counter() - self.started

    def left(self) -> float:
        """Seconds to the end; below zero when they are gone."""
        return self.ends - perf_counter()

    def share(self, part: float) -> Clock:
        """A clock of its own for a part of what is left."""
        return Clock(max(0.0, self.left() * part))

    def check(self) -> None:
        """Raise OutOfTime when nothing is left."""
        if perf_counter() > self.ends:
            raise OutOfTime


class Watched(Sequence[Item]):
    """A sequence that looks at a clock now and then while it is walked through.

    For long work on many small items by code that knows of no clock: OutOfTime is raised from it.
    """

    _EVERY = 256

    def __init__(self, items: Sequence[Item], clock: Clock) -> None:
        self._items = items
        self._clock = clock

    def __len__(self) -> int:
        return len(self._items)

    @overload
    def __getitem__(self, place: int) -> Item: ...

    @overload
    def __getitem__(self, place: slice) -> Sequence[Item]: ...

    def __getitem__(self, place: int | slice) -> Item | Sequence[Item]:
        return self._items[place]

    def __iter__(self) -> Iterator[Item]:
        for number, item in enumerate(self._items):
            if not number % self._EVERY:
                self._clock.check()
            yield item
