"""The style file to begin with: every key with its possible values, set to its default."""

from __future__ import annotations

from gridassay.verify.draw.style import (
    DASHES,
    HATCHES,
    LIGHT,
    NEUTRALS,
    OKABE_ITO,
    WIDTHS,
)

_TEXT = """\
# A style for every picture of a book: gridassay draw --style THIS.toml ...
# Any line may be left out: its default then holds.

base = "light"          # or "dark": the defaults of all that is left out
paper = "{paper}"       # any colour, as # and six hexadecimal figures
ink = "{ink}"         # likewise; it must be readable on the paper (a contrast of 4.5)

# Given to cages and marks in the order in which kinds of rules appear: colours; dashes, each of
# lengths on and off in widths of the line (above 0, up to 100); hatches, any number of degrees.
palette = [{palette}]
lines = [{lines}]    # of lines, likewise
widths = [{widths}]     # of lines, in shares of the ordinary width, from 0.2 to 2
dashes = [{dashes}]
hatches = [{hatches}]

[font]
family = "{family}"     # as SVG names it; any font that readers have
# regular = "MyFont-Regular.ttf"    # TrueType files for PDF and PNG, beside this file
# bold = "MyFont-Bold.ttf"

# How one kind of rule looks throughout the book: any kind of `gridassay rules`. A dash of [] is solid.
# [rule.thermometer]
# colour = "#009e73"
# dash = [4, 2]
# hatch = 45
# width = 1.3
"""


def starter() -> str:
    """A style file that changes nothing, to be changed."""
    return _TEXT.format(
        paper=LIGHT.paper,
        ink=LIGHT.ink,
        palette=", ".join(f'"{colour}"' for colour in OKABE_ITO),
        lines=", ".join(f'"{colour}"' for colour in NEUTRALS),
        widths=", ".join(f"{width:g}" for width in WIDTHS),
        dashes=", ".join(f"[{', '.join(f'{length:g}' for length in dash)}]" for dash in DASHES),
        hatches=", ".join(f"{angle:g}" for angle in HATCHES),
        family=LIGHT.font.family,
    )
