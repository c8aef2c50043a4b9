"""Trade names of rules and fields that puzzle files call something else.

One table for every hint: a misspelt kind, ``gridassay rules WORD``, a field by another name, and the list
in docs/words.md. Source of every word: common practice, no published source.
"""

from __future__ import annotations

import difflib
from collections.abc import Iterable
from functools import cache

KIND_WORDS: dict[str, tuple[str, ...]] = {
    "above-neighbours": ("maximum", "maxima", "fortress"),
    "all-different": ("extra region", "extra house", "different", "no repeats"),
    "among": ("choice", "restricted cell", "options"),
    "anti-king": ("king", "king's move", "chess king", "no touch", "touchless"),
    "anti-knight": ("knight", "knight's move", "chess knight"),
    "anti-queen": ("queen", "chess queen", "bishop"),
    "arrow": ("arrow sum", "pill arrow", "arrow line"),
    "at-least": ("some are true",),
    "below-neighbours": ("minimum", "minima"),
    "between-ends": ("between line", "between"),
    "box-places": ("disjoint groups", "disjoint sets", "same position"),
    "cage": ("killer", "killer cage", "sum cage", "killer sum", "cages"),
    "calculation-cage": ("calculation", "calculator cage", "arithmetic cage", "product cage"),
    "consecutive-pair": ("consecutive", "white dot", "consecutive marker"),
    "contains": ("quadruple", "quad", "corner clue"),
    "copy": ("clone", "clones"),
    "counting-circles": ("circles", "counting"),
    "counts-neighbours": ("neighbour count", "neighbours", "mines"),
    "diagonals": ("diagonal", "x", "main diagonals", "x diagonals"),
    "double-arrow": ("double arrow line",),
    "double-pair": ("ratio", "black dot", "double"),
    "entropic": ("entropy line", "entropic line", "entropy"),
    "entropic-squares": ("global entropy",),
    "equal-difference": ("difference line",),
    "equal-sums": ("magic square", "equal sum", "equal totals"),
    "even": ("even cell", "even square"),
    "exactly": ("liar", "liars", "lies", "one is wrong"),
    "greater": ("inequality", "greater than", "less than", "greater-than sign"),
    "greater-sum": ("greater cage", "sum comparison"),
    "head-digits": ("outside", "outside clue"),
    "head-sum": ("frame", "frame sum", "outside sum"),
    "indexing": ("index", "index column", "index row"),
    "little-killer": ("diagonal sum", "little killer sum"),
    "marks-complete": ("negative constraint", "all given", "all marks given"),
    "modular": ("modular line", "modulus line", "mod line"),
    "nonconsecutive": ("non-consecutive", "anti-consecutive"),
    "numbered-room": ("numbered rooms", "rooms"),
    "odd": ("odd cell", "odd circle"),
    "outside-ends": ("lockout line", "lockout", "outside ends line"),
    "pair-difference": ("difference", "difference dot"),
    "pair-ratio": ("ratio dot",),
    "pair-sum": ("xv", "v", "x and v", "roman numerals", "domino sum"),
    "palindrome": ("palindrome line", "mirror line"),
    "parity-line": ("parity", "alternating line"),
    "progression": ("arithmetic progression", "sequence line"),
    "region-sum": ("region sum line", "region sum", "box sum line"),
    "relation": ("formula", "custom", "equation"),
    "renban": ("renban line", "consecutive line", "run"),
    "sandwich": ("sandwich sum", "sandwiches"),
    "seen-count": ("skyscrapers", "visible buildings", "visibility"),
    "sequence": ("pattern", "regex", "regular expression"),
    "slow-thermometer": ("slow thermo",),
    "spread": ("spread line", "distance line"),
    "sum-run": ("ten line", "10 line", "sum line"),
    "thermometer": ("thermo", "thermometers"),
    "whisper": ("whispers", "whisper line", "german whisper", "german whispers", "dutch whisper"),
    "windows": ("window", "hyper", "extra boxes"),
    "x-sum": ("x-sums", "xsum", "xsums"),
    "zipper": ("zipper line",),
}
"""Other words for a kind of rule."""

TOP_WORDS: dict[str, tuple[str, ...]] = {
    "regions": ("jigsaw", "irregular", "irregular regions"),
    "doublers": ("doubler", "double cells"),
    "grid": ("overlapping grids", "grids"),
    "givens": ("clues", "grid digits", "start"),
    "credit": ("author", "setter", "by"),
    "title": ("name",),
    "rows": ("height",),
    "columns": ("width", "cols"),
}
"""Other words for what stands at the top of a puzzle file."""

FIELD_WORDS: dict[str, tuple[str, ...]] = {
    "at-least": ("min", "minimum", "least"),
    "at-most": ("max", "maximum", "most"),
    "bulb": ("circle", "head", "pill"),
    "cells": ("line", "path", "squares", "positions", "cages", "pair", "area"),
    "count": ("number", "true"),
    "difference": ("diff", "min-difference", "value", "apart"),
    "digit": ("value", "number", "digits"),
    "digits": ("digit", "values", "numbers", "options"),
    "holds": ("formula", "expression", "relation", "condition"),
    "id": ("name", "label"),
    "modulus": ("mod", "divisor", "base"),
    "of": ("rules", "clues"),
    "pattern": ("regex", "sequence"),
    "repeats": ("repeat", "allow-repeats", "may-repeat"),
    "seen": ("count", "visible", "value", "number"),
    "shaft": ("tail", "stem", "line", "cells"),
    "side": ("from", "direction"),
    "start": ("cell", "from"),
    "sum": ("total", "value", "clue", "number", "target", "sums"),
    "target": ("result", "value", "number", "total", "sum"),
    "text": ("sentence", "rule-text", "description"),
    "total": ("sum", "value", "number"),
    "value": ("difference", "ratio", "number", "factor"),
}
"""Other words for a field of a rule; one may be meant for several fields, of different kinds."""


def kind_called(word: str) -> str | None:
    """The kind of rule with this trade name; None if there is none."""
    return _kinds().get(_plain(word))


def meant(word: str, known: Iterable[str]) -> str:
    """A guess at which known word was meant, for the end of a message."""
    words = list(known)
    plain = _plain(word)
    for table in (KIND_WORDS, FIELD_WORDS, TOP_WORDS):
        for name, others in table.items():
            if name in words and plain in map(_plain, others):
                return f"; did you mean {name!r}?"
    close = difflib.get_close_matches(word, words, n=1, cutoff=0.6)
    return f"; did you mean {close[0]!r}?" if close else ""


def _plain(word: str) -> str:
    return " ".join(word.lower().replace("-", " ").replace("_", " ").split())


@cache
def _kinds() -> dict[str, str]:
    return {_plain(word): kind for kind, words in KIND_WORDS.items() for word in words}
