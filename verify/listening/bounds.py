"""Digits said by a bound: *at least three*, *six or more*, *can't be less than four*, *> 7*.

A bound is heard as the digits that it denies, after a *not*: *is at least three* says *is not one or
two*. Where a *not* stands before it already, it denies the digits of the bound itself.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from typing import Any, NamedTuple

_ARTICLE = r"(?:\s+(?:an?|the))?"


class Bounds(NamedTuple):
    """How bounds are said before and after a number, and between two."""

    before: re.Pattern[str]
    after: re.Pattern[str]
    between: re.Pattern[str]
    range: re.Pattern[str]
    taken: re.Pattern[str]
    kinds: Mapping[str, str]


def bounds_of(
    table: Mapping[str, Mapping[str, list[str]]], number: str, any_of: Callable[[Any], str]
) -> Bounds:
    """The patterns of the bounds of a language; ``number`` is the pattern of a number."""
    before, after = table["before"], table["after"]
    kinds = {
        word: kind
        for several in (before, after)
        for kind, words in several.items()
        for word in words
    }
    said = any_of([word for words in before.values() for word in words])
    then = any_of([word for words in after.values() for word in words])
    return Bounds(
        re.compile(rf"(?P<bound>{said}){_ARTICLE}\s*(?P<number>{number})(?![\w-])", re.IGNORECASE),
        re.compile(
            rf"(?P<number>{number})(?:\s+(?P<bound>{then})|(?P<sign>\+)(?=[\s,;.)]|$))",
            re.IGNORECASE,
        ),
        re.compile(
            rf"between{_ARTICLE}\s+(?P<low>{number})\s+and{_ARTICLE}\s+(?P<high>{number})(?![\w-])",
            re.IGNORECASE,
        ),
        re.compile(
            rf"(?:from\s+)?(?P<low>{number})(?:\s+(?:{any_of(table['range']['to'])})\s+|(?P<dash>[-–]))"
            rf"(?P<high>{number})(?![\w-])",
            re.IGNORECASE,
        ),
        re.compile(rf"\s*(?:{any_of(table['range']['taken'])})", re.IGNORECASE),
        kinds,
    )


def range_at(
    text: str, place: int, bounds: Bounds, value_of: Callable[[str], int], *, dash: bool
) -> Bounded | None:
    """The values from one number to another: *four to eight*, with ``dash`` also ``4-8``."""
    match = bounds.range.match(text, place)
    if (
        match is None
        or (match["dash"] and not dash)
        or value_of(match["low"]) >= value_of(match["high"])
    ):
        return None
    low, high = value_of(match["low"]), value_of(match["high"])
    return Bounded(frozenset(range(low, high + 1)), match.end())


class Bounded(NamedTuple):
    """A bound in a text: the values within it, and where it ends."""

    values: frozenset[int]
    end: int


def bound_at(
    text: str, place: int, bounds: Bounds, value_of: Callable[[str], int], values: Sequence[int]
) -> Bounded | None:
    """The bound at a place of a text, if there is one; ``values`` are those that a cell may have."""
    match = bounds.between.match(text, place)
    if match:
        low, high = value_of(match["low"]), value_of(match["high"])
        return Bounded(frozenset(one for one in values if low <= one <= high), match.end())
    match = bounds.before.match(text, place) or bounds.after.match(text, place)
    if match is None:
        return None
    signed = "sign" in match.groupdict() and match["sign"]  # *7+*
    kind = "least" if signed else bounds.kinds[" ".join(match["bound"].casefold().split())]
    number = value_of(match["number"])
    within: dict[str, Callable[[int], bool]] = {
        "least": lambda one: one >= number,
        "most": lambda one: one <= number,
        "over": lambda one: one > number,
        "under": lambda one: one < number,
    }
    return Bounded(frozenset(filter(within[kind], values)), match.end())
