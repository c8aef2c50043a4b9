"""Techniques by their names, and by the words that describe them."""

from __future__ import annotations

import re
from functools import cache

from gridassay.verify.listening.token import Token
from gridassay.verify.listening.vocabulary import technique_pattern, vocabulary


@cache
def _technique_patterns(language: str = "en") -> tuple[tuple[re.Pattern[str], str, bool], ...]:
    words = vocabulary(language)
    return tuple(
        (technique_pattern(word), name, word in words.firm)
        for word, name in words.techniques.items()
    )


@cache
def _any_technique(language: str = "en") -> re.Pattern[str]:
    """One pattern of them all: few places of a text begin any, and each is asked once."""
    several = (f"(?:{pattern.pattern})" for pattern, _, _ in _technique_patterns(language))
    return re.compile("|".join(several), re.IGNORECASE)


def technique_at(text: str, place: int) -> Token | None:
    """The technique named at a place of a text, if there is one."""
    if place and text[place - 1].isalnum():
        return None
    if not _any_technique().match(text, place):
        return None
    for pattern, name, firm in _technique_patterns():
        match = pattern.match(text, place)
        if match:
            return Token("T", match.group(), place, match.end(), technique=name, firm=firm)
    return None
