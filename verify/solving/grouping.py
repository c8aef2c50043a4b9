"""Steps that are told as one: the opening marks of the drawn rules."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby

from gridassay.verify.solving.board.steps import Step

OPENING = "opening marks of the drawn rules"


def told_together(steps: Sequence[Step]) -> Iterator[tuple[int, tuple[Step, ...]]]:
    """Consecutive steps of one group together, others alone, with the number of the first, from 1."""
    number = 1
    for group, several in groupby(steps, key=lambda step: step.group):
        run = tuple(several)
        for together in [run] if group else [(step,) for step in run]:
            yield number, together
            number += len(together)


def numbers(first: int, count: int) -> str:
    """The number of a step, or of steps told together: ``7`` or ``1–29``."""
    return str(first) if count == 1 else f"{first}–{first + count - 1}"
