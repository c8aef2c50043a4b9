"""The names of techniques as people write them: ours, and the other words the trade has for them.

What is put out always carries our one name. What is read in, on the command line, in an order file or
after ``because``, may carry any word of ``OTHER_WORDS``, in any case, with or without hyphens, singular
or plural. Source of every word: common practice, no published source.
"""

from __future__ import annotations

from collections.abc import Iterable
from difflib import get_close_matches
from functools import cache

from gridassay.encodings.lines import PuzzleError
from gridassay.verify.solving.board.ideas import listed
from gridassay.verify.solving.techniques import TECHNIQUES

OTHER_WORDS: dict[str, tuple[str, ...]] = {
    "last cell": ("last cell of a house", "full house", "last digit"),
    "hidden single": ("cross-hatching",),
    "house total": (
        "rule of 45",
        "45 rule",
        "innies",
        "outies",
        "innies and outies",
        "innies/outies",
    ),
    "locked candidates": (
        *("pointing", "pointing pair", "pointing triple", "claiming", "claiming pair"),
        *("claiming triple", "box-line reduction", "intersection removal"),
    ),
    "law of leftovers": ("leftovers",),
    "naked pair": ("naked double", "naked subset"),
    "hidden pair": ("hidden double", "hidden subset"),
    "pair with a rule": ("killer pair",),
    "naked triple": ("naked subset", "naked triplet"),
    "hidden triple": ("hidden subset", "hidden triplet"),
    "triple with a rule": ("killer triple",),
    "naked quad": ("naked subset", "naked quadruple", "naked quadruplet"),
    "hidden quad": ("hidden subset", "hidden quadruple", "hidden quadruplet"),
    "XY-wing": ("Y-wing",),
    "unique rectangle": ("UR",),
    "hidden rectangle": ("hidden unique rectangle",),
    "bivalue universal grave": ("BUG",),
    "colouring": ("simple colouring", "single-digit colouring"),
    "colouring of several digits": ("multi-digit colouring",),
    "alternating inference chain": ("AIC", "grouped AIC", "nice loop"),
    "almost locked sets": ("ALS", "ALS-XZ", "almost locked set XZ"),
    "doubly linked sets": ("doubly linked ALS", "doubly linked ALS-XZ"),
    "crossing houses": ("two-sector disjoint subsets",),
}
"""Our name, and what else the trade calls it. A word under several names stands for all of them."""


def technique_names() -> list[str]:
    """Every name a step can carry, in teaching order."""
    names = [name for technique in TECHNIQUES for name in technique.names]
    return list(dict.fromkeys(names))


def understood(word: str) -> tuple[str, ...]:
    """The techniques that a word stands for, in teaching order; none where nobody calls one that."""
    return _by_word().get(_plain(word), ())


def find_techniques(word: str) -> tuple[str, ...]:
    """The techniques that a word stands for. Raises PuzzleError where there is none."""
    found = understood(word)
    if not found:
        near = suggestion(word)
        rest = f"did you mean {near}?" if near else f"known are {', '.join(technique_names())}"
        raise PuzzleError(f"there is no technique {word!r}; {rest}")
    return found


def find_technique(word: str) -> str:
    """The one technique that a word stands for. Raises PuzzleError where there is none, or several."""
    found = find_techniques(word)
    if len(found) > 1:
        raise PuzzleError(f"{word!r} may be {listed(found, 'or')}; say which")
    return found[0]


def suggestion(word: str) -> str:
    """What was probably meant by a word that is misspelt; empty where no name is like it."""
    near = get_close_matches(_plain(word), _by_word(), n=1, cutoff=0.75)
    return listed(_by_word()[near[0]], "or") if near else ""


@cache
def _by_word() -> dict[str, tuple[str, ...]]:
    words: dict[str, tuple[str, ...]] = {}

    def enter(name: str, others: Iterable[str]) -> None:
        for other in others:
            plain = _plain(other)
            words[plain] = (*words.get(plain, ()), name)

    for name in technique_names():
        enter(name, (name, *OTHER_WORDS.get(name, ())))
    return words


def _plain(word: str) -> str:
    """Without case, hyphens and plural; British spelling."""
    letters = "".join(letter if letter.isalnum() or letter == "+" else " " for letter in word)
    parts = letters.casefold().replace("color", "colour").split()
    return " ".join(part.removesuffix("s") if len(part) > 3 else part for part in parts)
