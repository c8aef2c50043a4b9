"""The width of text, without opening a font: widths of the typeface that pictures name first.

Renderers get these widths too, so that a line has the same length in any other font.
"""

from __future__ import annotations

from collections.abc import Iterator

from gridassay.verify.safe_text import printable

CAPITAL = 0.668
"""The height of digits and capitals in ems."""

_FIRST = 32
_REGULAR = (
    28, 28, 30, 66, 59, 93, 70, 16, 30, 30, 43, 60, 20, 37, 20, 38, 65, 40, 55, 57, 61, 58, 60, 51,
    62, 60, 20, 20, 55, 60, 55, 52, 78, 63, 62, 66, 67, 57, 55, 71, 69, 41, 51, 63, 54, 82, 69, 73,
    60, 75, 62, 60, 56, 69, 59, 84, 62, 60, 61, 32, 38, 32, 55, 40, 27, 53, 57, 50, 56, 54, 31, 56,
    55, 28, 25, 49, 24, 84, 55, 55, 57, 58, 34, 47, 32, 54, 44, 65, 46, 43, 46, 32, 23, 32, 56,
)  # fmt: skip
_BOLD = (
    32, 28, 41, 78, 62, 98, 70, 22, 37, 37, 43, 62, 24, 37, 24, 44, 65, 45, 59, 60, 63, 61, 63, 54,
    62, 56, 24, 24, 57, 62, 57, 61, 75, 69, 64, 67, 69, 58, 54, 72, 68, 46, 56, 66, 54, 84, 70, 76,
    63, 78, 65, 62, 62, 66, 66, 88, 70, 69, 62, 33, 44, 33, 59, 43, 31, 55, 60, 52, 60, 57, 37, 60,
    57, 32, 26, 57, 31, 89, 57, 57, 60, 60, 37, 53, 38, 57, 53, 72, 53, 52, 52, 37, 23, 37, 53,
)  # fmt: skip
"""Hundredths of an em for each character of ASCII from the space on, as the font files have them."""

_ELSE = 70
"""A guess for every other character."""


def text_width(text: str, size: float, *, bold: bool = False) -> float:
    """The width of a text set at a size, in the unit of the size."""
    widths = _BOLD if bold else _REGULAR
    total = 0
    for letter in text:
        place = ord(letter) - _FIRST
        total += widths[place] if 0 <= place < len(widths) else _ELSE
    return size * total / 100


def wrap(text: str, size: float, width: float, *, bold: bool = False) -> Iterator[str]:
    """The text in lines no wider than that, broken between words."""
    line = ""
    for word in printable(text).split():
        longer = f"{line} {word}" if line else word
        if line and text_width(longer, size, bold=bold) > width:
            yield line
            line = word
        else:
            line = longer
    if line:
        yield line
