"""Captions made of a few cues, and how they are heard."""

from __future__ import annotations

from gridassay.verify import Puzzle
from gridassay.verify.listening.talk import audit_talk


def spoken_of(puzzle: Puzzle, *cues: str) -> list[tuple[str, str]]:
    """The meaning of each claim of some cues about a puzzle, and its result."""
    times = (
        f"00:00:{4 * number:02}.000 --> 00:00:{4 * number + 3:02}.000\n{said}\n"
        for number, said in enumerate(cues)
    )
    steps = audit_talk(puzzle, "WEBVTT\n\n" + "\n".join(times)).steps
    return [((step.means or "").partition(" because ")[0], step.result) for step in steps]
