"""The words of a walkthrough as captions, each as long as it takes to say it."""

from __future__ import annotations

from collections.abc import Iterable

from gridassay.verify.draw.stills import ToldStep
from gridassay.verify.safe_text import printable

WORDS_A_MINUTE = 150
LEAST_SECONDS = 2.0
"""How fast it is read aloud, and how long any picture stays."""


def seconds_of(said: str) -> float:
    """How long a sentence takes."""
    return max(LEAST_SECONDS, len(said.split()) * 60 / WORDS_A_MINUTE)


def cues(sentences: Iterable[str]) -> str:
    """Sentences as a file of captions (WebVTT), one after another."""
    import webvtt

    captions, at = [], 0.0
    for said in sentences:
        end = at + seconds_of(said)
        # A cue ends at an empty line, and its text is markup.
        text = printable(said).replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
        captions.append(webvtt.Caption(_time(at), _time(end), text))
        at = end
    return webvtt.WebVTT(captions=captions).content + "\n"


def captions_of(steps: Iterable[ToldStep]) -> str:
    """The captions of a walkthrough, one cue per stage."""
    return cues(still.said for step in steps for still in step.stages)


def _time(seconds: float) -> str:
    whole = round(seconds * 1000)
    minutes, rest = divmod(whole, 60_000)
    return f"{minutes // 60:02d}:{minutes % 60:02d}:{rest // 1000:02d}.{rest % 1000:03d}"
