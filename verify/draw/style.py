"""How pictures look: paper and inks, the palette that rules take their looks from, the font.

No kind of rule has a colour of its own. The first kind of cages and marks that appears in a puzzle takes
the first look, the second the second, and so on; lines, of which some setters tie a colour to a kind, are
neutral, and told apart by dash, width and tint, in order of appearance too. A look is a colour with a
dash, a hatch and an outline of tags, so that it also differs from the others without colour. The colours
are those of Okabe and Ito, "Color Universal Design" (2008), which people with any common kind of colour
vision tell apart, darkened or lightened as far as the paper needs. A style file fixes all of this for a
book: see `style_files`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Literal

from gridassay.verify.draw.colour import GRAPHIC, TEXT, mix, seen_on

OKABE_ITO = ("#0072b2", "#d55e00", "#009e73", "#cc79a7", "#e69f00", "#56b4e9", "#f0e442")
"""Blue, vermilion, bluish green, reddish purple, orange, sky blue, yellow; black is the ink."""

NEUTRALS = ("#56606b", "#85796a", "#6a6172", "#5d6a5e", "#76655a")
"""Slate, sand, mauve, moss and umber, all of them nearly grey: the tints of lines."""

WIDTHS = (1.0, 0.66, 1.3)
"""How wide lines are, in shares of the ordinary width."""

DASHES: tuple[tuple[float, ...], ...] = (
    (3, 2),
    (1, 1.7),
    (6, 2),
    (5, 1.7, 1, 1.7),
    (8, 1.5),
    (2, 1.2, 2, 3),
    (5, 1.5, 1, 1.5, 1, 1.5),
    (1, 3.2),
)
"""The lengths of dashes and gaps, in line widths.

Eight dashes and seven colours: 56 looks before one recurs.
"""

HATCHES = (45.0, 135.0, 0.0, 90.0, 22.5, 112.5, 67.5, 157.5)
"""The directions of hatches in degrees."""


Plate = Literal["rounded", "square", "cut", "pill", "pointed"]
PLATES: tuple[Plate, ...] = ("rounded", "square", "cut", "pill", "pointed")
"""The outlines of tags, by which numbers next to a grid differ in print without colour."""


@dataclass(frozen=True)
class Look:
    """How one kind of rule is drawn in one picture.

    ``ink`` draws its lines and ``tint`` fills; ``dash`` counts in widths of the line; ``hatch`` is
    the direction of its hatches in degrees; ``plate`` is the outline of its tags; ``width`` is how wide
    its line is, in shares of the ordinary width.
    """

    ink: str
    tint: str
    dash: tuple[float, ...]
    hatch: float
    plate: Plate
    width: float = 1.0


@dataclass(frozen=True)
class FixedLook:
    """The look of a kind as a style file fixes it; None leaves it to the order of appearance."""

    colour: str | None = None
    dash: tuple[float, ...] | None = None
    hatch: float | None = None
    width: float | None = None


@dataclass(frozen=True)
class Sort:
    """A group that takes one look: a kind of rule with one meaning, a line or not."""

    kind: str
    seen_as: str
    text: str
    line: bool


@dataclass(frozen=True)
class Font:
    """The family that SVG names, and the font files that PDF and PNG are set with.

    Without files they are those of a package that is installed with this one.
    """

    family: str = "Atkinson Hyperlegible"
    regular: Path | None = None
    bold: Path | None = None


DEFAULT_FONT = Font()


@dataclass(frozen=True)
class Style:
    """Everything that pictures of one book share.

    ``contrast`` is the least contrast of rule lines on the paper. ``known`` are the sorts of rules of a
    run of puzzles in order of appearance, so that the same rule looks the same through all of it.
    """

    paper: str = "#ffffff"
    ink: str = "#14161a"
    tinting: float = 0.76
    contrast: float = GRAPHIC
    palette: tuple[str, ...] = OKABE_ITO
    lines: tuple[str, ...] = NEUTRALS
    widths: tuple[float, ...] = WIDTHS
    dashes: tuple[tuple[float, ...], ...] = DASHES
    hatches: tuple[float, ...] = HATCHES
    font: Font = DEFAULT_FONT
    fixed: Mapping[str, FixedLook] = field(default_factory=dict)
    known: tuple[Sort, ...] = ()

    @property
    def hairline(self) -> str:
        """The colour of the lines between cells, which only divide."""
        return mix(self.ink, self.paper, 0.62)

    @property
    def quiet(self) -> str:
        """The colour of text that stands back: candidates, credits, coordinates."""
        return mix(self.ink, self.paper, 0.36)

    @property
    def answer(self) -> str:
        """The colour of digits that are not givens; they are also set in a lighter weight."""
        return mix(self.ink, self.paper, 0.2)

    @property
    def wash(self) -> str:
        """The ground of cells that are pointed out."""
        return mix(self.paper, self.ink, 0.09)

    def heat(self, share: float) -> str:
        """The ground of a cell on which this much (0 to 1) depends."""
        return mix(self.paper, self.palette[4 % len(self.palette)], 0.5 * share)

    def look(self, number: int, kind: str, *, faded: bool = False, line: bool = False) -> Look:
        """The look of the ``number``-th kind to appear, from 0, among lines or among all others."""
        fixed = self.fixed.get(kind, FixedLook())
        colours = self.lines if line else self.palette
        colour = colours[number % len(colours)]
        width = fixed.width or (self.widths[number % len(self.widths)] if line else 1.0)
        ink = fixed.colour or seen_on(colour, self.paper, self.ink, self.contrast)
        if faded:
            ink = mix(ink, self.paper, 0.55)
        tint = mix(fixed.colour or colour, self.paper, 0.9 if faded else self.tinting)
        dash = self.dashes[number % len(self.dashes)] if fixed.dash is None else fixed.dash
        hatch = self.hatches[number % len(self.hatches)] if fixed.hatch is None else fixed.hatch
        return Look(ink, tint, dash, hatch, PLATES[number % len(PLATES)], width)


LIGHT = Style()
DARK = replace(LIGHT, paper="#15171c", ink="#f3f0e8", tinting=0.66, contrast=TEXT)
"""A thin bright line on a dark page looks dimmer than its ratio says, so it needs more."""
