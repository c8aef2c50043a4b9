"""How a route ends and what it took, in words: for the screen and for the sheet."""

from __future__ import annotations

from typing import TYPE_CHECKING

from gridassay.verify.words import quantity

if TYPE_CHECKING:
    from gridassay.verify.solving.results import Route

_ENDS = {
    "none": "the puzzle has no solution, so there is no route",
    "multiple": "the puzzle has several solutions; this is what holds in all of them",
}


def ending(found: Route, *, partial: bool = False) -> str:
    """How it ends; a ``partial`` route was not meant to go further."""
    count = f"{len(found.steps)} step{'' if len(found.steps) == 1 else 's'}"
    if found.solved:
        return f"solved in {count}"
    if partial and found.steps:
        return f"the position after {count}"
    if found.verdict in _ENDS:
        return _ENDS[found.verdict]
    why = f"without {' and '.join(found.without)}: " if found.without else ""
    if found.timed_out:
        return f"{why}the budget ran out after {count}"
    return f"{why}stuck after {found.placements} placements; these candidates are left"


def crux_said(found: Route) -> str:
    """The level, where the route first needs it, and how many of that kind are available there."""
    level = f"level: {found.level}; " if found.level else ""
    part = "of the part that is known: " if found.timed_out else ""
    if found.crux is None:
        return f"{level}crux: none, {part}there are singles all the way"
    said = f"{level}crux: {part}step {found.crux + 1}, {found.steps[found.crux].technique}"
    if found.openings:
        said += f", {found.openings} of that kind available there"
    if found.longest_story:
        said += f"; the longest story has {quantity(found.longest_story, 'link')}"
    return said


def profile(found: Route) -> str:
    """How often each technique is used, in teaching order."""
    return "; ".join(f"{name} {count}" for name, count in found.techniques.items())
