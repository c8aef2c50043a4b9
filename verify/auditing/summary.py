"""An audit in short: a mark for each step, the tally, and where to look in a long walkthrough."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from gridassay.verify.auditing.results import AuditedStep

_MISNAMED = "misnamed"


def mark_of(step: AuditedStep) -> str:
    """A mark to find a step by: ``!`` if it does not hold, ``?`` if it holds under another name."""
    if step.result not in ("sound", "idle"):
        return "!"
    return "?" if step.misnamed else " "


def tally(steps: Sequence[AuditedStep]) -> str:
    """The number of steps with each result: ``107 sound, 2 of them misnamed; 1 wrong``."""
    counts = Counter(step.result for step in steps)
    misnamed = sum(step.misnamed for step in steps)
    among = f", {misnamed} of them {_MISNAMED}" if misnamed else ""
    told = (
        f"{count} {result}{among if result == 'sound' else ''}" for result, count in counts.items()
    )
    return "; ".join(told) or "no steps"


def where_to_look(steps: Sequence[AuditedStep]) -> list[str]:
    """The steps that are not plainly sound, one line for each mark and result."""
    places: dict[str, list[AuditedStep]] = {}
    for step in steps:
        if step.result != "sound" or step.misnamed:
            what = f"{mark_of(step)} {_MISNAMED if step.misnamed else step.result}"
            places.setdefault(what, []).append(step)
    return [f"{what}: {_numbers(found)}" for what, found in places.items()]


def _numbers(steps: Sequence[AuditedStep]) -> str:
    s = "" if len(steps) == 1 else "s"
    numbers = ", ".join(str(step.number) for step in steps)
    lines = ", ".join(str(step.line) for step in steps)
    return f"step{s} {numbers} (line{s} {lines})"
