"""The names of techniques as people write them: ours, and the other words the trade has for them.

Output always has our one name. Input, on the command line, in an order file or after ``because``,
may have any word of ``technique_words.py``, in any case, with or without hyphens, singular or
plural. Source of every word: common practice, no published source.
"""

from __future__ import annotations

from collections.abc import Iterable
from difflib import get_close_matches
from functools import cache

from gridassay.encodings.lines import PuzzleError
from gridassay.encodings.technique_words import TECHNIQUE_WORDS, plainly
from gridassay.verify.solving.board.ideas import word_list
from gridassay.verify.solving.techniques import TECHNIQUES

OTHER_WORDS = {name: words for name, words in TECHNIQUE_WORDS.items() if words}
"""Our names, and the other names of the trade. A word under several names stands for all of them."""


def technique_names() -> list[str]:
    """Every name a step can carry, in teaching order."""
    names = [name for technique in TECHNIQUES for name in technique.names]
    return list(dict.fromkeys(names))


def techniques_meant(word: str) -> tuple[str, ...]:
    """The techniques that a word stands for, in teaching order; none if it is not a name."""
    return _by_word().get(plainly(word), ())


def find_techniques(word: str) -> tuple[str, ...]:
    """The techniques that a word stands for. Raises PuzzleError if there is none."""
    found = techniques_meant(word)
    if not found:
        near = suggestion(word)
        rest = (
            f"did you mean {near}?"
            if near
            else f"the techniques are {', '.join(technique_names())}"
        )
        raise PuzzleError(f"there is no technique {word!r}; {rest}")
    return found


def all_techniques(words: str | Iterable[str]) -> tuple[str, ...]:
    """The techniques that some words stand for, or one word. Raises PuzzleError as above."""
    given = (words,) if isinstance(words, str) else words
    return tuple(dict.fromkeys(name for word in given for name in find_techniques(word)))


def find_technique(word: str) -> str:
    """The one technique that a word stands for. Raises PuzzleError if there is none, or several."""
    found = find_techniques(word)
    if len(found) > 1:
        raise PuzzleError(f"{word!r} may be {word_list(found, 'or')}; say which")
    return found[0]


def suggestion(word: str) -> str:
    """A guess at the meaning of a misspelt word; empty if no name is like it."""
    near = get_close_matches(plainly(word), _by_word(), n=1, cutoff=0.75)
    return word_list(_by_word()[near[0]], "or") if near else ""


@cache
def _by_word() -> dict[str, tuple[str, ...]]:
    words: dict[str, tuple[str, ...]] = {}

    def enter(name: str, others: Iterable[str]) -> None:
        for other in others:
            plain = plainly(other)
            words[plain] = (*words.get(plain, ()), name)

    for name in technique_names():
        enter(name, (name, *OTHER_WORDS.get(name, ())))
    return words
