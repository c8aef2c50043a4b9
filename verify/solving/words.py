"""How a route ends and what it took, in words: for the screen and for the sheet."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from gridassay.verify.solving.routes import Route

_ENDS = {
    "none": "the puzzle has no solution, so there is no route",
    "multiple": "the puzzle has several solutions; this is what holds in all of them",
}


def ending(found: Route, *, partial: bool = False) -> str:
    """How it ends; a ``partial`` route was not to go further."""
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


def profile(found: Route) -> str:
    """How often each technique is used, in teaching order."""
    return "; ".join(f"{name} {count}" for name, count in found.techniques.items())
