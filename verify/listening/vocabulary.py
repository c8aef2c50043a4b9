"""The words that a listener knows: one data file per language, made into patterns.

Every kind of word has a letter, and a sentence becomes a row of such letters (``hearing.py``).
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterable, Mapping
from functools import cache
from importlib.resources import files
from typing import Any, NamedTuple

from gridassay.verify.listening.bounds import Bounds, bounds_of
from gridassay.verify.listening.notation_vocabulary import (
    ListedHouses,
    NotationVocabulary,
    listed_houses,
    notations_of,
    several_cells,
)
from gridassay.verify.listening.place_vocabulary import PlaceVocabulary, places_of
from gridassay.verify.solving.techniques.names import OTHER_WORDS, technique_names

LETTERS = {
    "is": "E",
    "not": "X",
    "strikes": "R",
    "goes": "G",
    "in": "I",
    "from": "F",
    "and": "K",
    "or": "V",
    "so": "S",
    "because": "B",
    "maybe": "P",
    "back": "Z",
    "doubt": "Y",
    "plain": "w",
    "this house": "A",
    "rest": "O",
}
"""The letter of each list of phrases. Besides: C cells, D digits, H a house, T a technique, L where in a
house, M where beside the last cell, N cells that were said before, Q a rule, U unknown."""


_VERBS = "EXRG"
"""Within whose phrases an adverb may stand: *must therefore be*."""


class Pattern(NamedTuple):
    """A kind of word, by its letter, and how it is recognised."""

    letter: str
    regex: re.Pattern[str]


class Here(NamedTuple):
    """Words that only point: *here*, *this*, what leads to a bare digit, what may stand beside, and
    verbs of *that makes this a six*.
    """

    here: re.Pattern[str]
    this: re.Pattern[str]
    goes_on: re.Pattern[str]
    beside: frozenset[str]
    makes: frozenset[str]


class LineVocabulary(NamedTuple):
    """Words for rules that are drawn as lines: their nouns and sizes, and the places on them."""

    noun: re.Pattern[str]
    sized: re.Pattern[str]
    sizes: Mapping[str, str]
    at: re.Pattern[str]
    places: Mapping[str, str]
    holds: re.Pattern[str]
    beside: re.Pattern[str]
    pronouns: tuple[str, ...]


class NearVocabulary(NamedTuple):
    """Words for what a cell lies beside: a group of a pattern for each relation, and others."""

    beside: re.Pattern[str]
    relations: Mapping[str, str]
    because: frozenset[str]
    corrects: frozenset[str]
    filler: frozenset[str]
    loose: frozenset[str]
    marks: frozenset[str]
    adjectives: frozenset[str]
    tells: re.Pattern[str]
    nth: re.Pattern[str]
    joins: re.Pattern[str]
    either: re.Pattern[str]
    equals: re.Pattern[str]
    pointing: re.Pattern[str]
    recalls: re.Pattern[str]


class Vocabulary(NamedTuple):
    """The words of one language, ready for listening; captions also have misheard numbers."""

    numbers: Mapping[str, int]
    misheard: Mapping[str, int]
    houses: Mapping[str, str]
    ordinals: Mapping[str, int]
    boxes: Mapping[str, int]
    techniques: Mapping[str, str]
    firm: frozenset[str]
    spots: Mapping[str, str]
    beside: Mapping[str, str]
    questions: frozenset[str]
    counts: Mapping[str, str]
    counted: re.Pattern[str]
    where: re.Pattern[str]
    next_to: re.Pattern[str]
    near: NearVocabulary
    lines: LineVocabulary
    here: Here
    patterns: tuple[Pattern, ...]
    spoken_cell: re.Pattern[str]
    misheard_cell: re.Pattern[str]
    several_cells: re.Pattern[str]
    house: re.Pattern[str]
    misheard_house: re.Pattern[str]
    nth_house: re.Pattern[str]
    last_line: re.Pattern[str]
    placed_box: re.Pattern[str]
    bounds: Bounds
    places: PlaceVocabulary
    listed: ListedHouses
    notations: NotationVocabulary
    sums: re.Pattern[str]
    small: Mapping[str, frozenset[str]]
    kinds: Mapping[str, str]
    sizes: Mapping[str, str]
    extremes: Mapping[str, str]
    one_of: re.Pattern[str]
    rule_size: re.Pattern[str]
    rule_end: re.Pattern[str]
    rule_within: re.Pattern[str]
    rule_told: re.Pattern[str]
    measures: re.Pattern[str]
    limits: re.Pattern[str]


@cache
def vocabulary(language: str = "en") -> Vocabulary:
    """The vocabulary of a language that has a file."""
    text = files("gridassay.verify.listening").joinpath(f"{language}.toml").read_text("utf-8")
    table: dict[str, Any] = tomllib.loads(text)
    numbers = {word: int(value) for value, words in table["numbers"].items() for word in words}
    misheard = {word: int(value) for value, words in table["misheard"].items() for word in words}
    houses = {word: name for name, words in table["houses"].items() for word in words}
    ordinals = {word: int(value) for value, words in table["ordinals"].items() for word in words}
    boxes = {word: int(value) for value, words in table["boxes"].items() for word in words}
    spots = {word: name for name, words in table["spots"].items() for word in words}
    beside = {word: name for name, words in table["beside"].items() for word in words}
    number = _any_of([*numbers, r"\d+"], known=1)
    slot = _any_of([*numbers, *misheard, r"\d+"], known=len(numbers) + len(misheard))
    row = _any_of([*(word for word, name in houses.items() if name == "row"), "r"])
    column = _any_of([*(word for word, name in houses.items() if name == "column"), "c"])
    kinds = _any_of(houses)
    straight = _any_of([word for word, name in houses.items() if name in ("row", "column")])
    follows = _any_of([*houses, *table["small"]["after a house"]])
    box = _any_of([word for word, name in houses.items() if name == "box"])
    return Vocabulary(
        numbers,
        misheard,
        houses,
        ordinals,
        boxes,
        _techniques([*_composed(table), *table["names"].items(), *table["techniques"].items()]),
        _firm(table["names"]),
        spots,
        beside,
        frozenset(table["questions"]["words"]),
        _counts(table),
        _compile(rf"\s+(?:{_any_of(table['counted']['words'])})"),
        _compile(_any_of(spots)),
        _compile(_any_of(beside)),
        _near(table["near"], ordinals, slot),
        _lines(table["lines"], table["rules"]["sizes"]),
        _here(table["here"]),
        tuple(_patterns(table)),
        _cell(row, column, number),
        _cell(row, column, slot),
        several_cells(table["houses"], number, table["notations"], _any_of),
        _compile(rf"(?P<kind>{kinds})\s+(?:number\s+)?(?P<number>{number}|[A-Za-z])\b"),
        _compile(
            rf"(?P<kind>{kinds})\s+(?P<number>{_any_of(misheard)})(?=\s*[,.;]|\s*$|\s+(?:{follows})\b)"
        ),
        _compile(rf"(?P<number>{_any_of(ordinals)})\s+(?P<kind>{kinds})\b"),
        _compile(rf"(?:{_any_of(table['small']['last'])})\s+(?P<kind>{straight})\b"),
        _compile(
            rf"(?P<place>{_any_of(boxes)})\s+(?:{box})\b"
            rf"|(?:{box})\s+(?:of|in|at|on|to)\s+(?:the\s+)?(?P<place2>{_any_of(boxes)})\b"
            rf"(?!\s+(?:{_any_of(table['small']['of a place'])}))"
        ),
        bounds_of(table["bounds"], number, _any_of),
        places_of(table["places"], ordinals, numbers, houses, _any_of),
        listed_houses(table["notations"], table["houses"], _any_of),
        notations_of(table["notations"], table["houses"], _any_of),
        _sums(table),
        {name: frozenset(words) for name, words in table["small"].items()},
        {word: kind for kind, words in table["kinds"].items() for word in words},
        {word: size for size, words in table["rules"]["sizes"].items() for word in words},
        {word: kind for kind, words in table["extremes"].items() for word in words},
        _compile(
            rf"(?:{_any_of(table['small']['one of'])})\s+(?=(?:the\s+)?(?:{number})\s*(?:,|/|or\b|and\b))"
        ),
        _compile(_rule_size(table["rules"])),
        _compile(_rule_end(table["rules"])),
        _compile(rf"\s*(?:{_any_of(table['rules']['within'])})?\s*"),
        _compile(rf"\s+(?:{_any_of(table['rules']['told'])})\b"),
        _compile(rf"\s+(?:{_any_of(table['measures']['words'])})"),
        _compile(_any_of(table["small"]["limits"])),
    )


def _near(table: Mapping[str, Any], ordinals: Iterable[str], number: str) -> NearVocabulary:
    """The words for what a cell lies beside: a digit, two of them, or the last cell."""
    relations = {f"near{place}": name for place, name in enumerate(table["relations"])}
    article = rf"(?:(?:{_any_of(table['articles'])})\s+(?:(?:{_any_of(table['described'])})\s+)?)"
    nouns = rf"(?!\s+(?:{_any_of(table['nouns'])})\b)"
    joins = rf"(?:{_any_of(table['joins'])})"
    led = "|".join(
        rf"(?P<{group}>{_any_of(table['relations'][name])})" for group, name in relations.items()
    )
    return NearVocabulary(
        _compile(
            rf"(?:{led})\s+(?:(?P<cell>{_any_of(table['cells'])}){nouns}"
            rf"|{article}(?P<digit>{number})(?:'s)?\b{nouns}"
            rf"(?P<and>(?<=\w)\s+and\s+(?P<article>{article})?(?P<other>{number})\b{nouns})?"
            rf"|(?:{_any_of(table['pronouns'])}){nouns})"
        ),
        relations,
        frozenset(table["because"]),
        frozenset(table["corrects"]),
        frozenset(table["filler"]),
        frozenset(table["loose"]),
        frozenset(table["marks"]),
        frozenset(table["adjectives"]),
        _compile(rf"\s+(?:{_any_of(table['tells'])})"),
        _compile(rf"(?P<number>{_any_of(ordinals)})\s+(?:{_any_of(table['places'])})"),
        re.compile(
            rf"\s*(?:(?:,\s*(?:{joins})?|{joins})\s*(?:(?:{_any_of(table['a'])})\s+)?)?",
            re.IGNORECASE,
        ),
        _compile(_any_of(table["either"])),
        _compile(rf"(?:{_any_of(table['equals'])})\s+(?:(?:{_any_of(table['a'])}|the)\s+)?$"),
        _compile(rf"(?:{_any_of(table['pointing'])})\s+$"),
        _compile(rf"(?:{_any_of(table['recalls'])})(?:\s+(?:{_any_of(table['a'])}|the))?\s+$"),
    )


def _here(table: Mapping[str, list[str]]) -> Here:
    """The words that only point; *there is* points at nothing."""
    return Here(
        _compile(rf"(?!(?:{_any_of(table['nothing'])}))(?:{_any_of(table['here'])})"),
        _compile(_any_of(table["this"])),
        _compile(rf"(?:(?:{_any_of(table['goes on'])})[\s,]*)*"),
        frozenset(table["with"]),
        frozenset(table["makes"]),
    )


def _lines(table: Mapping[str, Any], sizes: Mapping[str, list[str]]) -> LineVocabulary:
    """The words about lines; what a line holds, or a cell stands beside, comes right before a digit."""
    places = {word: place for place, words in table["at"].items() for word in words}
    size_of = {word: size for size, words in sizes.items() for word in words}
    return LineVocabulary(
        _compile(_any_of(table["nouns"])),
        _compile(rf"(?P<size>{_any_of(size_of)})\s+"),
        size_of,
        _compile(_any_of(places)),
        places,
        _compile(rf"(?:{_any_of(table['holds'])})\s+$"),
        _compile(rf"(?:{_any_of(table['beside'])})\s+$"),
        tuple(table["pronouns"]),
    )


def _techniques(table: Iterable[tuple[str, list[str]]]) -> dict[str, str]:
    """The names by which a technique is mentioned, each with its own name, longest first."""
    words = {name.casefold(): name for name in technique_names()}
    for others in OTHER_WORDS.values():
        words |= {other.casefold(): other for other in others}
    for name, phrases in table:
        words |= dict.fromkeys(phrases, name)
    return dict(sorted(words.items(), key=lambda item: -len(item[0])))


def _composed(table: Mapping[str, Any]) -> list[tuple[str, list[str]]]:
    """Names of techniques that are put together from two words: *no other* and *berth*."""
    return [
        (name, [f"{lead} {noun}" for lead in parts["leads"] for noun in parts["nouns"]])
        for name, parts in table["composed"].items()
    ]


def _counts(table: Mapping[str, Any]) -> dict[str, str]:
    """The ways to say a number up to 99, as a pattern: ``22``, ``twenty-two``."""
    words = {value: list(several) for value, several in table["numbers"].items()}
    words |= {value: list(several) for value, several in table["counts"].items()}
    for tens in [value for value in table["counts"] if value.endswith("0") and value != "10"]:
        for ones in range(1, 10):
            both = [
                f"{ten} {one}" for ten in words[tens] for one in table["numbers"][str(ones)][:1]
            ]
            words[str(int(tens) + ones)] = both
    return {
        value: "|".join([value, *(r"[\s-]+".join(one.split()) for one in several)])
        for value, several in words.items()
    }


def _sums(table: Mapping[str, Any]) -> re.Pattern[str]:
    """The numbers from ten on in words, the longest first."""
    tens = _any_of([word for words in table["counts"].values() for word in words])
    ones = _any_of([words[0] for words in table["numbers"].values()])
    return _compile(rf"(?:{tens})(?:[\s-]+(?:{ones}))?")


def _rule_size(table: Mapping[str, Any]) -> str:
    """How the size of a rule is said before its name."""
    sizes = _any_of([word for words in table["sizes"].values() for word in words])
    return rf"(?:(?:{_any_of(table['this'])})\s+)?(?P<size>{sizes})\s+"


def _rule_end(table: Mapping[str, Any]) -> str:
    """The words between the name of a rule and the cell where it begins or ends."""
    leads = rf"(?:(?:{_any_of(table['leads'])})\s+)*"
    return rf"\s*\(?{leads}(?:{_any_of(table['ends'])})\s+{leads}"


def _firm(table: Mapping[str, list[str]]) -> frozenset[str]:
    """The words that are names of techniques, short ones too."""
    names = {name.casefold() for name in technique_names()}
    names |= {other.casefold() for others in OTHER_WORDS.values() for other in others}
    return frozenset(names | {word for words in table.values() for word in words})


def _patterns(table: Mapping[str, Any]) -> Iterable[Pattern]:
    within = rf"\s+(?:(?:{_any_of(table['small']['within'])})\s+)?"
    for name, letter in LETTERS.items():
        between = within if letter in _VERBS else r"\s+"
        yield Pattern(letter, _compile(_any_of(table["phrases"][name], between=between)))


def technique_pattern(word: str) -> str:
    """A technique's name as people write it: with or without hyphens, and in the plural."""
    parts = re.split(r"[\s-]+", word)
    return r"\b" + r"[\s-]*".join(map(re.escape, parts)) + r"(?:e?s)?\b"


def _cell(row: str, column: str, number: str) -> re.Pattern[str]:
    return _compile(
        rf"\b(?:{row})\s+(?P<row>{number})\s*,?\s*(?:{column})\s+(?P<column>{number})\b"
        rf"|\b(?:{column})\s+(?P<column2>{number})\s*,?\s*(?:{row})\s+(?P<row2>{number})\b"
    )


def _any_of(words: Iterable[str], known: int = 0, between: str = r"\s+") -> str:
    """A pattern for any of some phrases, the longest first; the last is a pattern itself if ``known``.

    ``between`` is the pattern of what parts the words of a phrase.
    """
    several = list(words)
    raw = [several.pop()] if known else []
    several.sort(key=lambda word: (-len(word), word))
    return "|".join([*(_phrase(one, between) for one in several), *raw])


def _phrase(phrase: str, between: str) -> str:
    before = r"\b" if phrase[0].isalnum() else ""
    after = r"\b" if phrase[-1].isalnum() else ""
    words = (re.escape(word).replace("n't", "n'?t") for word in phrase.split())  # captions: *cant*
    return before + between.join(words) + after


def _compile(pattern: str) -> re.Pattern[str]:
    return re.compile(pattern, re.IGNORECASE)
