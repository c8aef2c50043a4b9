"""Techniques by their names, and by the words that describe them."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import cache
from itertools import pairwise

from gridassay.verify.listening.token import Token, letters_of
from gridassay.verify.listening.vocabulary import technique_pattern, vocabulary
from gridassay.verify.solving.techniques import hidden_single

_OF_CELL = re.compile("C[wUK]*(?P<told>T)(?=[wUK]*D)")


@cache
def _names(language: str = "en") -> dict[str, str]:
    """The words for each technique, without spaces and hyphens, with what it says; the longest first."""
    return {_bare(word): word for word in vocabulary(language).techniques}


@cache
def _any_technique(language: str = "en") -> re.Pattern[str]:
    """One pattern of them all, so that few patterns are made."""
    words = vocabulary(language).techniques
    return re.compile("|".join(technique_pattern(word) for word in words), re.IGNORECASE)


def technique_at(text: str, place: int) -> Token | None:
    """The technique named at a place of a text, if there is one."""
    if place and text[place - 1].isalnum():
        return None
    match = _any_technique().match(text, place)
    if match is None:
        return None
    said, names, known = _bare(match.group()), _names(), vocabulary("en")
    word = next(names[one] for one in (said, said[:-1], said[:-2]) if one in names)
    name, firm = known.techniques[word], word in known.firm
    return Token("T", match.group(), place, match.end(), technique=name, firm=firm)


def told_of_cells(tokens: Sequence[Token], small: Mapping[str, frozenset[str]]) -> list[Token]:
    """With what such words mean beside cells and places: *only r4c7 is left for the 9*."""
    row = list(tokens)
    for at, (side, token) in enumerate(pairwise(tokens), start=1):
        if side.letter == "L" and " ".join(token.text.casefold().split()) in small["end of"]:
            row[at] = replace(token, letter="I", technique="")  # *the right end of that row*
    for match in _OF_CELL.finditer(letters_of(tokens)):
        at = match.start("told")
        words = " ".join(row[at].text.casefold().split())
        if words in small["is left for"]:
            row[at] = replace(row[at], technique=hidden_single.NAME)
        elif words in small["filled"]:  # *r4c2 is completed with a 2*
            row[at] = replace(row[at], letter="E", technique="")
    return row


def _bare(words: str) -> str:
    return re.sub(r"[\s-]+", "", words).casefold()
