"""A guess at the meaning of a line of a steps file that cannot be read."""

from __future__ import annotations

from dataclasses import replace

from gridassay.verify.auditing.results import Audit, AuditedStep
from gridassay.verify.listening.hearing import Hearer, hearer_of
from gridassay.verify.listening.means import steps_line


def hinted(audit: Audit) -> Audit:
    """The audit, with its unreadable steps also read as notes: ``r5c7<>1``."""
    if all(step.result != "unreadable" for step in audit.steps):
        return audit
    hearer = hearer_of(audit.puzzle, audit.end.layout, spoken=False)
    return replace(audit, steps=tuple(_hint(hearer, step) for step in audit.steps))


def _hint(hearer: Hearer, step: AuditedStep) -> AuditedStep:
    if step.result != "unreadable" or "\n" in step.text:
        return step
    heard, _ = hearer.hear(step.text)
    if not heard or not all(one.concludes and one.sure for one in heard):
        return step
    means = "; ".join(steps_line(hearer.canvas, one) for one in heard)
    if means == step.text:
        return step
    return replace(step, detail=f"{step.detail}; {step.text!r} is read as {means!r} in notes")
