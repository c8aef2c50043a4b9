"""What an audit says: techniques with their articles, and what to look at in a long walkthrough."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from gridassay.verify.techniques.base import listed
from gridassay.verify.techniques.names import suggestion

if TYPE_CHECKING:
    from gridassay.verify.auditing import AuditedStep

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

_UNDER = "under a wrong name"


def named(name: str) -> str:
    """A technique's name with its article, where it takes one: ``an XYZ-wing``, ``colouring``."""
    if name in _BARE:
        return name
    if name == "law of leftovers":
        return f"the {name}"
    vowel = name[0] in "aeioX" or (name[0] == "u" and not name.startswith("uni"))
    return f"{'an' if vowel else 'a'} {name}"


def any_of(names: Iterable[str]) -> str:
    """``an XY-wing``, or where a word stands for several: ``a naked pair or a naked triple``."""
    return listed(map(named, names), "or")


def were_shown(names: Sequence[str]) -> str:
    """``the XY-wing was shown``, ``the locked candidates were shown``."""
    verb = "were" if names[-1] in _PLURAL else "was"
    return f"the {listed(names, 'or')} {verb} shown"


def gives(name: str) -> str:
    """The verb after a technique's name: ``an XY-wing gives``, ``locked candidates give``."""
    return "give" if name in _PLURAL else "gives"


def no_technique(word: str) -> str:
    """That nobody calls a technique that, and what was probably meant."""
    near = suggestion(word)
    return f"there is no technique {word!r}" + (f" (did you mean {near}?)" if near else "")


def mark_of(step: AuditedStep) -> str:
    """A mark to find a step by: ``!`` does not hold, ``?`` does under another name."""
    if step.result not in ("sound", "idle"):
        return "!"
    return "?" if step.misnamed else " "


def tally(steps: Sequence[AuditedStep]) -> str:
    """How many steps had each result: ``107 sound, 2 of them under a wrong name; 1 wrong``."""
    counts = Counter(step.result for step in steps)
    misnamed = sum(step.misnamed for step in steps)
    among = f", {misnamed} of them {_UNDER}" if misnamed else ""
    told = (
        f"{count} {result}{among if result == 'sound' else ''}" for result, count in counts.items()
    )
    return "; ".join(told) or "no steps"


def where_to_look(steps: Sequence[AuditedStep]) -> list[str]:
    """Where the steps stand that are not plainly sound, a line for each mark and result."""
    places: dict[str, list[AuditedStep]] = {}
    for step in steps:
        if step.result != "sound" or step.misnamed:
            what = f"{mark_of(step)} {_UNDER if step.misnamed else step.result}"
            places.setdefault(what, []).append(step)
    return [f"{what}: {_numbers(found)}" for what, found in places.items()]


def _numbers(steps: Sequence[AuditedStep]) -> str:
    s = "" if len(steps) == 1 else "s"
    numbers = ", ".join(str(step.number) for step in steps)
    lines = ", ".join(str(step.line) for step in steps)
    return f"step{s} {numbers} (line{s} {lines})"
