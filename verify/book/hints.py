"""Graded hints: what it takes, where to begin, and what happens at the crux; from the told route."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from gridassay.encodings.notation import listing

GRADES = ("First hints: what it takes", "Second hints: where to begin", "Third hints: the crux")
_PLAIN = ("last cell", "hidden single", "naked single")
_LONGEST = 420
"""Letters of a step that are still read at the back of a book."""
OPEN = "Its route is not known to the end."


def hints_of(route: Mapping[str, Any] | None) -> tuple[str, str, str]:
    """The three hints of a puzzle; a route that is open says so and gives what it has."""
    if not route or not route["steps"]:
        return OPEN, OPEN, OPEN
    steps = route["steps"]
    return _takes(route), _begin(steps[0]), _crux(route)


def _takes(route: Mapping[str, Any]) -> str:
    names = [name for name in route["techniques"] if name not in _PLAIN]
    if route["solved"] and not names:
        return "Singles are all it takes."
    level = f"Level: {route['level']}. " if route["level"] else ""
    told = listing([_named(name) for name in names[:6]], "and") if names else "singles"
    more = ", among others" if len(names) > 6 else ""
    takes = f"{level}It takes {told}{more}."
    return takes if route["solved"] else f"{OPEN} As far as it is: {told}{more}."


def _named(name: str) -> str:
    """A technique in the plural or as it is, for a list."""
    return {"story": "a chain of suppositions", "reason": "a deduction without a name"}.get(
        name, name
    )


def _begin(step: Mapping[str, Any]) -> str:
    houses, cells = step["houses"], step["cells"]
    rules = step["rules"]
    if step["technique"] in _PLAIN and houses:
        digit = f" for {step['digits'][0]}" if step.get("digits") else ""
        return f"There is a {step['technique']}{digit} in {houses[0]}."
    where = listing(houses[:2], "and") or " ".join(cells[:4])
    if not where and rules:
        where = f"the {rules[0]}"
    article = "an" if step["technique"][:1].lower() in "aeiox" else "a"
    return f"Look for {article} {step['technique']}{f' in {where}' if where else ''}."


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
        text = f"{_sentence(listing((places + gone)[:6], 'and'))}" if places or gone else ""
    return f"Step {route['crux'] + 1} of {len(steps)}: {text}"


def _sentence(text: str) -> str:
    begun = text if text[:1] in "rc" and text[1:2].isdigit() else text[:1].upper() + text[1:]
    return begun if begun.endswith(".") else f"{begun}."
