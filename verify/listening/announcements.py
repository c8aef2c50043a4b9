"""Announcements and recollections, which are not claims of their own.

*Middle box. Now the eights. Eight in row four, eight in row six, so row five column four is eight*
claims one thing, where the cell is named: the box and its digit only announce it, and the rows recall
what stands there already.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from gridassay.verify.listening.heard import Heard
from gridassay.verify.listening.results import TalkStep

_SO_FAR = 10
"""So many claims may stand between what is announced and where it is said."""


def with_announcements(judged: Iterable[tuple[Heard, Sequence[TalkStep]]]) -> Iterator[TalkStep]:
    """The steps of all claims, each announced one where its cell is named, without those recalled."""
    kept: list[tuple[Heard, TalkStep]] = []
    for heard, steps in judged:
        for step in steps:
            if _recalls(heard, step):
                continue
            at = _announcement(heard, step, kept)
            if at is not None:
                _, first = kept.pop(at)
                step = replace(
                    step,
                    result=first.result,
                    skipped=first.skipped,
                    detail=first.detail,
                    clean=first.clean,
                )
            kept.append((heard, step))
    return (step for _, step in kept)


def _recalls(heard: Heard, step: TalkStep) -> bool:
    """Whether what may have been a claim only tells of what stands there already."""
    says_left = heard.mention is not None and " not " in (step.means or "")
    return not (heard.concludes or heard.left or says_left) and step.result == "idle"


def _announcement(
    heard: Heard, step: TalkStep, kept: Sequence[tuple[Heard, TalkStep]]
) -> int | None:
    """Where the claim was announced of which a step names the cell."""
    if step.result not in ("idle", "sound") or len(heard.places) != 1 or step.means is None:
        return None
    for at in range(len(kept) - 1, max(-1, len(kept) - 1 - _SO_FAR), -1):
        before, first = kept[at]
        if first.means is None or _conclusion(first) != _conclusion(step):
            continue
        return None if before.places or first.result not in ("sound", "early") else at
    return None


def _conclusion(step: TalkStep) -> str:
    return (step.means or "").partition(" because ")[0]
