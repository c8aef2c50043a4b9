"""Joins pieces that only make a claim together.

*Where can the six go?* and *The only cell for it is row one, column four* are two sentences and one
claim; captions moreover break sentences wherever a cue is full.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator

from gridassay.verify.listening.forms import Sentence

_CONTENT = frozenset("CDHTQLMAN")
_LIST = re.compile("[wSKB]*D[JSIEBwK]*(?:C[wI]*H?[wK]*)+")
_ONE_MORE = re.compile("[wK]*C[wI]*H?w*")
_ENDS = re.compile(r"\b(?:it|that|there|this|he) is$")
_DANGLING = ("E", "I", "X")
_WHERE = tuple("HAO")
_TELLS_WHY = re.compile(r"(?:that's|that is|it's|it is|which is|because|since|as) ")

_OR = re.compile(r"n?or\b", re.IGNORECASE)

Letters = Callable[[str], str]
"""The letters of a text (``vocabulary.py``), in order."""


def together(pieces: Iterable[Sentence], letters: Letters, *, spoken: bool) -> Iterator[Sentence]:
    """The pieces, each joined with the following ones that belong to it; ``spoken`` for captions."""
    unit: Sentence | None = None
    for piece in pieces:
        said = letters(piece.text)
        if unit is None:
            unit = piece
        elif spoken and not _CONTENT & set(said):
            if unit.places[-1].line != piece.places[0].line or {"Y", "Z"} & set(said):
                yield unit
                unit = piece
        elif _belongs(unit, letters(unit.text), piece, said, spoken):
            unit = unit.with_next(piece)
        else:
            yield unit
            unit = piece
    if unit is not None:
        yield unit


def _belongs(unit: Sentence, said: str, piece: Sentence, more: str, spoken: bool) -> bool:
    has, adds = set(said) & _CONTENT, set(more) & _CONTENT
    if not has:
        return False
    if unit.text.rstrip()[-1] == "?":
        return ("D" in has) != ("D" in adds) and (spoken or ("C" in has) != ("C" in adds))
    if not spoken:
        return False
    follows = more.lstrip("wKU")[:1] == "S" and "C" in more and set(more) & set("XR")
    if follows and _confines(said) and unit.text.rstrip()[-1] not in ".!":
        return True
    ends = unit.text.rstrip()[-1] in ".!,;" or bool(_ENDS.search(unit.text.casefold()))
    bare = more.strip("wK") == "D" and not _TELLS_WHY.match(piece.text.casefold())
    if bare and "D" in has and not set(said) & set("XRVCQT"):
        return False  # *eight there*, *two*, *three*
    goes_on = not ends and (said[-1:] in _DANGLING or set(more) <= set("XDKwV"))
    if goes_on and (_claims(has) or said.rstrip("w")[-1:] == "D") and "D" in has | adds:
        return True
    if not ends and "D" in has and said.rstrip("w")[-1:] == "I" and more.lstrip("w")[:1] in _WHERE:
        return True
    if _TELLS_WHY.match(piece.text.casefold()) and adds <= {"T", "H", "A"} and _claims(has):
        return True
    if said.rstrip("wK")[-1:] == "C" and _OR.match(piece.text):
        return True
    tail = said.rpartition("S")[2]
    if "C" in tail and not set(tail) & set("DRX") and {"C", "D"} & adds and not ends:
        return True
    first = more.lstrip("wKU")[:1]
    if first in ("R", "X") and "D" in adds and "C" not in adds and said.rstrip("w")[-1:] == "C":
        return True
    if _LIST.fullmatch(said) and _ONE_MORE.fullmatch(more):
        return True
    if first == "F" or (first == "B" and "C" not in adds):
        return True
    if "D" in has and "C" not in has and "C" in adds and "D" not in adds:
        return True
    if unit.places[-1].line == piece.places[0].line:
        return not _claims(has) or not adds & set("CD")
    if "T" in has and "D" not in has:
        return True
    return not _claims(has) and not ("D" in adds and adds & set("CHA")) and not has <= {"D"}


def _confines(said: str) -> bool:
    """Whether a digit of a house is only said to lie in another, from which something may follow."""
    houses = said.count("H") + said.count("Q")
    return said.count("D") == 1 and houses == 2 and not set(said) & set("CXRLM")


def _claims(has: set[str]) -> bool:
    """Whether there may be a claim in what was said: a digit, and where it is."""
    return "D" in has and bool(has & set("CHLMATQN"))
