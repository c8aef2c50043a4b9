"""Colours as ``#rrggbb``: mixing them, and how well one can be seen on another.

Luminance and contrast ratio are those of the Web Content Accessibility Guidelines 2.2 (W3C 2023,
"relative luminance" and "contrast ratio"): 4.5 is required for text, 3 for large text and for the
essential parts of a drawing.
"""

from __future__ import annotations

import re
from functools import lru_cache

BLACK, WHITE = "#000000", "#ffffff"
"""The fill of a full and of an open dot, on any page."""

TEXT, GRAPHIC = 4.5, 3.0
"""The least contrast of text, and of the parts of a drawing."""


def channels(colour: str) -> tuple[int, int, int]:
    """Red, green and blue, 0 to 255. Raises ValueError if it is not a colour."""
    if not re.fullmatch(r"#[0-9a-fA-F]{6}", colour):
        raise ValueError(f"{colour!r} is not a colour such as #0072b2")
    return int(colour[1:3], 16), int(colour[3:5], 16), int(colour[5:7], 16)


@lru_cache(maxsize=512)
def mix(colour: str, other: str, share: float) -> str:
    """A share (0 to 1) of the other colour, and the rest of the first."""
    pairs = zip(channels(colour), channels(other), strict=True)
    return "#" + "".join(f"{round(a + (b - a) * share):02x}" for a, b in pairs)


def luminance(colour: str) -> float:
    """The relative luminance: 0 for black, 1 for white."""
    linear = [
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4
        for part in (channel / 255 for channel in channels(colour))
    ]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(colour: str, other: str) -> float:
    """The contrast ratio, from 1 (no difference) to 21 (black on white)."""
    light, dark = sorted((luminance(colour), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


@lru_cache(maxsize=512)
def seen_on(colour: str, paper: str, ink: str, least: float = GRAPHIC) -> str:
    """The colour, moved towards the ink until it has that contrast on the paper."""
    for step in range(21):
        nearer = mix(colour, ink, step / 20)
        if contrast(nearer, paper) >= least:
            return nearer
    return ink
