"""One line for a fault in gridassay itself, with what a report of it needs."""

from __future__ import annotations

from pathlib import Path

_PACKAGE = Path(__file__).parent.parent


class Disagreement(AssertionError):
    """Two witnesses contradict each other: a fault in gridassay, never in the puzzle."""


def fault_words(error: BaseException, source: str = "") -> str:
    """The fault in one line: what it is, where in the code, and whom to send it to with what."""
    from traceback import extract_tb  # a verdict does without

    said = " ".join(f"{type(error).__name__}: {error}".split()).rstrip(": ")
    frames = extract_tb(error.__traceback__)
    ours = [frame for frame in frames if Path(frame.filename).is_relative_to(_PACKAGE)]
    where = (ours or list(frames))[-1:]
    place = "".join(f" ({Path(frame.filename).name}, line {frame.lineno})" for frame in where)
    puzzle = f"the puzzle, {source}" if source else "the puzzle"
    return f"a fault in gridassay, please report it with {puzzle}: {said}{place}"
