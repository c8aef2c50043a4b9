"""The words for a cell's place in a house, made into patterns (``place_words.py``)."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from typing import Any, NamedTuple


class PlaceVocabulary(NamedTuple):
    """Patterns of places, with what their words mean.

    ``numbers`` counts from the end where it is negative; an end has the kinds of its houses, and 1 for
    their first cell, -1 for the last and 0 for the middle one.
    """

    nth: re.Pattern[str]
    end: re.Pattern[str]
    centre: re.Pattern[str]
    by: re.Pattern[str]
    same: re.Pattern[str]
    corner: re.Pattern[str]
    part: re.Pattern[str]
    between: re.Pattern[str]
    numbers: Mapping[str, int]
    amounts: Mapping[str, int]
    sides: Mapping[str, str]
    ends: Mapping[str, tuple[tuple[str, ...], int]]
    by_words: Mapping[str, str]
    corners: Mapping[str, tuple[int, int]]
    parts: Mapping[str, int]
    of: frozenset[str]
    digits: frozenset[str]


def places_of(
    table: Mapping[str, Any],
    ordinals: Mapping[str, int],
    numbers: Mapping[str, int],
    houses: Iterable[str],
    any_of: Callable[[Iterable[str]], str],
) -> PlaceVocabulary:
    """The patterns of a language's words for places; ``any_of`` makes a pattern of some phrases."""
    counts = dict(ordinals) | {
        word: -int(at) for at, words in table["last"].items() for word in words
    }
    ends = {
        word: (tuple(entry["of"]), int(entry["place"]))
        for entry in table["ends"]
        for word in entry["words"]
    }
    amounts = {word: number for word, number in numbers.items() if 1 < number < 5}
    corners = {
        word.replace("-", " "): (int(entry["down"]), int(entry["along"]))
        for entry in table["corners"]
        for word in entry["words"]
    }
    parts = {word: int(at) for at, words in table["parts"].items() for word in words}
    by = {word: side for side, words in table["by"].items() for word in words}
    noun, several = any_of([*table["nouns"], *table["digits"]]), any_of(amounts)
    leads, its = any_of(table["at"]), any_of(table["its"])
    not_house = rf"(?!\s+(?:{any_of([*houses, *table['goes on']])}))"
    return PlaceVocabulary(
        _compile(
            rf"(?P<nth>{any_of(counts)})(?:\s+(?P<many>{several}))?(?:\s+(?P<noun>{noun}))?"
            rf"(?:\s+(?:{any_of(table['from'])})\s+(?P<side>{any_of(table['sides'])}))?{not_house}"
        ),
        _compile(
            rf"(?:(?P<several>{several})\s+(?:{noun})\s+)?(?:(?P<at>{leads})\s+)?"
            rf"(?:(?P<its>{its})\s+)?(?:(?:{any_of(table['very'])})\s+)?(?P<end>{any_of(ends)})"
            rf"(?:\s+(?P<noun>{noun}))?{not_house}"
        ),
        _compile(
            rf"(?:(?:{leads})\s+)?(?:(?:{its})\s+)?(?P<very>{any_of(table['very'])})\s+(?:{any_of(table['middle'])})\s+(?:{noun})"
            rf"|the\s+(?P<plain>{any_of(table['middle'])})\s+(?:{any_of(table['nouns'])})"
            rf"|(?:(?:{leads})\s+)?(?:(?:{its})\s+)?(?:(?:{any_of(table['very'])})\s+)?(?:{any_of(table['middle'])})(?:\s+(?:{noun}))?"
            rf"\s+(?:{any_of(table['of the grid'])})"
        ),
        _compile(
            rf"(?:(?:{any_of(table['right'])})\s+)?(?P<by>{any_of(by)})"
            rf"(?!\s+(?:{any_of([*numbers, *houses])}|\d))"
        ),
        _compile(rf"(?:{any_of(table['same'])})\s+(?P<kind>{any_of(houses)})"),
        _compile(
            rf"(?:(?P<at>{leads})\s+)?(?:(?P<its>{its})\s+)?(?P<corner>{any_of(corners)})(?:[\s-]+{table['hand']}\b)?"
            rf"(?:\s+(?P<noun>{any_of([*table['nouns'], *table['corner']])}))?{not_house}"
        ),
        _compile(
            rf"(?P<part>{any_of(parts)})\s+(?P<kind>{any_of(table['lines'])})"
            rf"(?:\s+(?P<of>{any_of(table['of it'])}))?"
        ),
        _compile(rf"(?:{any_of(table['between'])})"),
        {" ".join(word.replace("-", " ").split()): number for word, number in counts.items()},
        amounts,
        {word: word for word in table["sides"]},
        ends,
        by,
        corners,
        parts,
        frozenset(table["of"]),
        frozenset(table["digits"]),
    )


def _compile(pattern: str) -> re.Pattern[str]:
    return re.compile(pattern, re.IGNORECASE)
