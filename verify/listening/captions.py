"""Captions: the text of WebVTT and SRT files, and results written as cues at their times."""

from __future__ import annotations

import io
import re
from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

from gridassay.encodings.lines import PuzzleError
from gridassay.verify.listening.forms import Place, Sentence, split
from gridassay.verify.listening.results import TalkStep

_MARKS = ".!?,;:"
_STOP = re.compile(r"[.!?](?=\s|$)")
_MOST, _WORDY = 0.6, 8
"""The share of cues that end without a mark, and the most cues to a full stop, where cues are broken
anywhere in sentences that are written out."""


class Cue(NamedTuple):
    """A cue: its text, its times, and the line with its times."""

    text: str
    start: str
    end: str
    line: int


def read_cues(text: str) -> list[Cue]:
    """The cues of a file of captions. Raises PuzzleError if it cannot be read."""
    # Imported here: steps, notes and prose need no captions.
    import webvtt
    from webvtt.errors import MalformedCaptionError, MalformedFileError

    text = text.lstrip("\ufeff \n")
    srt = not text.startswith("WEBVTT") and bool(re.search(r"\d,\d{3}\s+-->", text))
    whole = text if srt or text.startswith("WEBVTT") else f"WEBVTT\n\n{text}"
    try:
        captions = webvtt.WebVTT.from_buffer(io.StringIO(whole), format="srt" if srt else "vtt")
    except (MalformedFileError, MalformedCaptionError, ValueError) as error:
        raise PuzzleError(f"the captions cannot be read: {error}") from None
    times = [number for number, line in enumerate(text.splitlines(), start=1) if "-->" in line]
    cues: list[Cue] = []
    shown = ""
    for place, caption in enumerate(captions.captions):
        lines = caption.text.splitlines()
        while lines and shown and lines[0] == shown:  # rolling captions repeat a line
            lines.pop(0)
        shown = lines[-1] if lines else shown
        line = times[min(place, len(times) - 1)] if times else 1
        cues.append(Cue(" ".join(lines).strip(), caption.start, caption.end, line))
    if not cues:
        raise PuzzleError("there are no captions in it")
    return [cue for cue in cues if cue.text]


def cue_sentences(cues: Sequence[Cue]) -> Iterator[Sentence]:
    """The sentences of captions, none longer than its cue; ``units.py`` puts them together.

    Captions that were broken without regard to their full stops are put together first.
    """
    if _broken_anywhere(cues):
        whole, places = "", []
        for cue in cues:
            places.append(Place(len(whole), cue.line, cue.start, cue.end))
            whole += f"{cue.text} "
        yield from split(whole.rstrip(), places)
        return
    for cue in cues:
        yield from split(cue.text, [Place(0, cue.line, cue.start, cue.end)])


def _broken_anywhere(cues: Sequence[Cue]) -> bool:
    """Whether sentences have full stops, but most cues end within one."""
    within = sum(cue.text[-1] not in _MARKS for cue in cues)
    stops = sum(len(_STOP.findall(cue.text)) for cue in cues)
    return within >= _MOST * len(cues) and stops * _WORDY >= len(cues)


def write_cues(steps: Iterable[TalkStep]) -> str:
    """The results as captions, at the times of the claims."""
    import webvtt

    cues = [
        webvtt.Caption(step.time, step.until, _result(step))
        for step in steps
        if step.time is not None and step.until is not None
    ]
    return webvtt.WebVTT(captions=cues).content + "\n"


def _result(step: TalkStep) -> str:
    means = f": {step.means}" if step.means else ""
    more = f"\n{step.detail}" if step.detail else ""
    return (
        f"{step.result}{means}{more}".replace("-->", "->")
        .replace("&", "&amp;")
        .replace("<", "&lt;")
    )
