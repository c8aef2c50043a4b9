"""The time an answer may take: a clock that is looked at between slices of work; other arguments too."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from contextvars import ContextVar
from functools import cache, wraps
from inspect import signature
from numbers import Real
from time import perf_counter
from typing import TYPE_CHECKING, Any, ParamSpec, TypeVar, cast, overload

from gridassay.encodings.former_names import formerly
from gridassay.encodings.lines import PuzzleError
from gridassay.encodings.pace import TooLarge, pace_with
from gridassay.encodings.wording import article

if TYPE_CHECKING:
    from gridassay.encodings.puzzle import Puzzle

Item = TypeVar("Item")

P = ParamSpec("P")
R = TypeVar("R")

DEFAULT_SECONDS = 10.0

_LATE, _LATE_PART = 0.2, 0.1
"""Seconds, or a part of the budget, after which work is broken off that has not ended by itself."""


class OutOfTime(Exception):
    """The budget ran out before the question was answered."""


class TooHard(Exception):
    """A question took more effort than was allowed."""


@formerly(spent="time_spent", left="time_left")
class Clock:
    """Counts down from a number of seconds, starting when it is made."""

    def __init__(self, seconds: float = DEFAULT_SECONDS) -> None:
        self.started = perf_counter()
        self.ends = self.started + seconds

    @classmethod
    def of(cls, budget: float | Clock) -> Clock:
        """The clock itself, or one that starts now with so many seconds.

        Raises ValueError if the number is negative or not a number, TypeError for anything else.
        """
        if isinstance(budget, Clock):
            return budget
        if not isinstance(budget, Real):
            raise TypeError(f"a budget is a number of seconds or a Clock, not {budget!r}")
        if not budget >= 0:
            raise ValueError(f"a budget is a number of seconds of 0 or more, not {budget}")
        return cls(budget)

    def __repr__(self) -> str:
        return f"<Clock: {max(0.0, self.time_left()):.1f} s left>"

    def time_spent(self) -> float:
        """Seconds since the start."""
        return perf_counter() - self.started

    def time_left(self) -> float:
        """Seconds to the end; below zero when they are gone."""
        return self.ends - perf_counter()

    def share(self, part: float) -> Clock:
        """A clock of its own for a part of what is left."""
        return Clock(max(0.0, self.time_left() * part))

    def check(self) -> None:
        """Raise OutOfTime when nothing is left."""
        if perf_counter() > self.ends:
            raise OutOfTime

    @contextmanager
    def running(self) -> Iterator[None]:
        """Let all long work in the block look at this clock, also what knows of none.

        It raises OutOfTime a little after the end, so that whoever keeps to the clock can say what is
        known by then.
        """
        if _running.get() is self:
            yield
            return
        token = _running.set(self)
        try:
            with pace_with(self._check_late):
                yield
        finally:
            _running.reset(token)

    def _check_late(self) -> None:
        now = perf_counter()
        if now > self.ends and now - self.ends > max(
            _LATE, _LATE_PART * (self.ends - self.started)
        ):
            raise OutOfTime


_running: ContextVar[Clock | None] = ContextVar("running", default=None)


_MADE_BY = {
    "Puzzle": "read or read_file makes one",
    "Verdict": "check gives one",
    "Route": "route gives one",
    "OpenPuzzle": "read_layout makes one",
    "Position": "position_from or read_candidates makes one",
    "View": "View() shows the givens",
    "Step": "the steps of a route, or open_steps",
    "Picture": "picture makes one",
    "bytes": "those of a file",
}
"""Where what a question is about comes from."""

_SOLUTIONS = {
    "Solution": "a solution of a verdict",
    "tuple[Solution, Solution]": "both solutions of a verdict",
}

_SEVERAL = re.compile(r"(?:Iterable|Sequence)\[(\w+)\]")


def expect(question: str, wanted: str, given: object) -> None:
    """Raise TypeError if what is asked about is something else: the usual slip is a text or a path.

    By the names of classes, each of which is one class, so that none has to be imported here. ``wanted``
    is one, several with ``|`` between them, or ``Iterable`` or ``Sequence`` of one.
    """
    several = _SEVERAL.fullmatch(wanted)
    if several is None:
        names = wanted.split(" | ")
        if {one.__name__ for one in type(given).__mro__}.isdisjoint(names):
            needs = " or ".join(one if one == "bytes" else f"{article(one)} {one}" for one in names)
            raise TypeError(f"{question} takes {needs}, not {_kind(given)}: {_MADE_BY[names[0]]}")
        return
    name = several[1]
    if not isinstance(given, Iterable) or isinstance(given, str | bytes):
        raise TypeError(f"{question} takes several of {name} in a list, not {_kind(given)}")
    if isinstance(given, list | tuple):
        for one in given:
            expect(f"the list for {question}", name, one)


def _kind(given: object) -> str:
    kind = type(given).__name__
    return kind if given is None else f"{article(kind)} {kind}"


def _look_at(question: Callable[..., object], given: Mapping[str, Any]) -> None:
    """Raise TypeError or ValueError if arguments are not what a question says that it takes."""
    for name, value in given.items():
        wanted = _kinds_wanted(question).get(name)
        if wanted == "str" and not isinstance(value, str):
            raise TypeError(f"{question.__name__} takes a text as {name}, not {_kind(value)}")
        if wanted in _SOLUTIONS:
            _look_at_solutions(
                f"{question.__name__} takes {_SOLUTIONS[wanted]} as {name}", wanted, value, given
            )
        if wanted is not None and wanted != "str" and wanted not in _SOLUTIONS:
            expect(question.__name__, str(wanted), value)


def _look_at_solutions(takes: str, wanted: str, value: object, given: Mapping[str, Any]) -> None:
    if not isinstance(value, tuple | list):
        raise TypeError(f"{takes}, not {_kind(value)}")
    both = "tuple" in wanted
    if both and len(value) != 2:
        raise ValueError(f"{takes}, not {len(value)}")
    places = len(given["puzzle"].board.shown)
    for one in value if both else (value,):
        if len(one) != places:
            raise ValueError(f"{takes}, with {places} values, not {len(one)}")


@cache
def _kinds_wanted(question: Callable[..., object]) -> Mapping[str, str]:
    """The annotations of a question that can be looked at, by the names of its parameters."""
    found = {}
    for one in signature(question).parameters.values():
        several = _SEVERAL.fullmatch(str(one.annotation))
        names = [several[1]] if several else str(one.annotation).split(" | ")
        if one.annotation in ("str", *_SOLUTIONS) or set(names) <= _MADE_BY.keys():
            found[one.name] = str(one.annotation)
    return found


def looking_at_arguments(function: Callable[P, R]) -> Callable[P, R]:
    """Let a function that has no budget say what it takes, if it is given something else."""
    names = [*signature(function).parameters]

    @wraps(function)
    def call(*args: P.args, **named: P.kwargs) -> R:
        _look_at(function, {**dict(zip(names, args, strict=False)), **named})
        return function(*args, **named)

    return call


def within_budget(question: Callable[P, R]) -> Callable[P, R]:
    """Let all long work of a question look at its ``budget``, in seconds or a clock already running."""
    parameters = signature(question).parameters
    names = [*parameters]
    place, default = names.index("budget"), parameters["budget"].default

    @wraps(question)
    def ask(*args: P.args, **named: P.kwargs) -> R:
        arguments: list[Any] = list(args)
        _look_at(question, {**dict(zip(names, args, strict=False)), **named})
        given = arguments[place] if place < len(arguments) else named.get("budget", default)
        clock = Clock.of(cast("float | Clock", given))
        with clock.running():
            if place < len(arguments):
                arguments[place] = clock
                return question(*arguments, **named)
            return question(*args, **{**named, "budget": clock})  # type: ignore[arg-type]

    return ask


@contextmanager
def building(puzzle: Puzzle, clock: Clock) -> Iterator[None]:
    """Turn what a puzzle says into constraints, clauses and questions under a clock.

    Raises OutOfTime, and PuzzleError if a part of it takes more room than there is.
    """
    try:
        with pace_with(clock.check):
            yield
    except TooLarge as error:
        raise PuzzleError(str(error), puzzle.source) from None


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
