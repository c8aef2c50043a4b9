"""The words of an audit: techniques with their articles."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from gridassay.verify.solving.board.ideas import word_list
from gridassay.verify.solving.techniques.names import suggestion

_PLURAL = frozenset(
    {
        "locked candidates",
        "equal cells",
        "remote pairs",
        "almost locked sets",
        "doubly linked sets",
        "crossing houses",
    }
)

_BARE = _PLURAL | {"alternation", "colouring", "colouring of several digits"}
"""Names that take no article."""


def with_article(name: str) -> str:
    """A technique's name with its article, if it takes one: ``an XYZ-wing``, ``colouring``."""
    if name in _BARE:
        return name
    if name == "law of leftovers":
        return f"the {name}"
    vowel = name[0] in "aeioX" or (name[0] == "u" and not name.startswith("uni"))
    return f"{'an' if vowel else 'a'} {name}"


def any_of(names: Iterable[str]) -> str:
    """``an XY-wing``, or, if a word stands for several, ``a naked pair or a naked triple``."""
    return word_list(map(with_article, names), "or")


def were_shown(names: Sequence[str]) -> str:
    """``the XY-wing was shown``, ``the locked candidates were shown``."""
    verb = "were" if names[-1] in _PLURAL else "was"
    return f"the {word_list(names, 'or')} {verb} shown"


def gives(name: str) -> str:
    """The verb after a technique's name: ``an XY-wing gives``, ``locked candidates give``."""
    return "give" if name in _PLURAL else "gives"


def no_technique(word: str) -> str:
    """A message that no technique has that name, and what was probably meant."""
    near = suggestion(word)
    return f"there is no technique {word!r}" + (f" (did you mean {near}?)" if near else "")
