"""Arguments of the wrong kind, named in one line: a text or a path where a puzzle belongs."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from functools import cache, wraps
from inspect import signature
from typing import ParamSpec, TypeVar

from gridassay.encodings.wording import article

P = ParamSpec("P")
R = TypeVar("R")

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


def look_at(question: Callable[..., object], given: Mapping[str, object]) -> None:
    """Raise TypeError if arguments are of another kind than what a question says that it takes."""
    for name, value in given.items():
        wanted = _kinds_wanted(question).get(name)
        if wanted == "str" and not isinstance(value, str):
            raise TypeError(f"{question.__name__} takes a text as {name}, not {_kind(value)}")
        if wanted in _SOLUTIONS and not isinstance(value, tuple | list):
            kinds = _SOLUTIONS[wanted]
            raise TypeError(f"{question.__name__} takes {kinds} as {name}, not {_kind(value)}")
        if wanted is not None and wanted != "str" and wanted not in _SOLUTIONS:
            expect(question.__name__, str(wanted), value)


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
        look_at(function, {**dict(zip(names, args, strict=False)), **named})
        return function(*args, **named)

    return call
