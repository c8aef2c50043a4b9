"""Graded hints from the route: which techniques it takes, where to begin, and the step at the crux."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from gridassay.encodings.notation import listing
from gridassay.verify.auditing.words import with_article
from gridassay.verify.solving.techniques import SINGLES

GRADES = ("First hints: what it takes", "Second hints: where to begin", "Third hints: the crux")
_SPOKEN = {"story": "supposing", "reason": "a deduction without a name"}
_LONGEST = 420
"""The most letters of a step at the back of a book; a longer one would not be read."""
OPEN = "Its route is not known to the end."


def hints_of(
    route: Mapping[str, Any] | None, phrases: Mapping[str, str] | None = None
) -> tuple[str, str, str]:
    """The three hints of a puzzle. If its route is open they say so, and go as far as it goes.

    ``phrases`` are its rules by name, as a presenter says them. A hint is empty if there is none.
    """
    if not route or not route.get("steps"):
        return OPEN, "", ""
    steps = route["steps"]
    return _takes(route), _begin(steps[0], phrases or {}), _crux(route)


def _takes(route: Mapping[str, Any]) -> str:
    names = [name for name in route["techniques"] if name not in SINGLES]
    if route["solved"] and not names:
        return "Singles are all it takes."
    level = f"Level: {route['level']}. " if route["level"] else ""
    more = " and others" if names[6:] else ""
    told = ", ".join(_SPOKEN.get(name, name) for name in names[:6]) or "nothing"
    said = f"Beyond singles: {told}{more}."
    return f"{level}{said}" if route["solved"] else f"{level}{OPEN} {said}"


def _begin(step: Mapping[str, Any], phrases: Mapping[str, str]) -> str:
    houses, cells, rules = step["houses"], step["cells"], step["rules"]
    if step["technique"] in SINGLES and houses:
        digit = f" for {step['digits'][0]}" if step.get("digits") else ""
        return f"There is a {step['technique']}{digit} in {houses[0]}."
    if rules:
        return f"Look at {phrases.get(rules[0], f'the rule {rules[0]}')}."
    where = listing(houses[:2], "and") or " ".join(cells[:4])
    return f"Look for {with_article(step['technique'])}{f' in {where}' if where else ''}."


def _crux(route: Mapping[str, Any]) -> str:
    steps: Sequence[Mapping[str, Any]] = route["steps"]
    if route["crux"] is None:
        told = [_sentence(step["text"]) for step in steps[:3]]
        return " ".join(told)
    step = steps[route["crux"]]
    text = _sentence(step["text"])
    if len(text) > _LONGEST:
        places = [f"{one['cell']} is {one['digit']}" for one in step["place"] if "cell" in one]
        gone = [f"{one['cell']} is not {one['digit']}" for one in step["remove"] if "cell" in one]
        short = listing((places + gone)[:6], "and")
        text = _sentence(short or "it takes more words than there is room for here")
    return f"Step {route['crux'] + 1} of {len(steps)}: {text}"


def _sentence(text: str) -> str:
    begun = text if text[:1] in "rc" and text[1:2].isdigit() else text[:1].upper() + text[1:]
    return begun if begun.endswith(".") else f"{begun}."
