"""The parts of pictures: a handful of marks in millimetres, and the picture that holds them.

A picture is plain data that any renderer can walk: `svg` and `pdf` each know how to put every kind of
mark on paper, and nothing else. Coordinates are millimetres from the top left corner. There is no
transparency and no pattern fill: hatches are lines and tints are mixed beforehand, so that a screen, a
printer and a photocopier show the same.

A mark may have a ``role``, the word by which style sheets, scripts and tests find it again.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import ClassVar, Literal, TypeAlias

from gridassay.verify.draw.style import DEFAULT_FONT, Font

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Stroke:
    """A line's colour, width and dash (lengths on and off in millimetres; none for a solid line)."""

    colour: str
    width: float
    dash: tuple[float, ...] = ()
    cap: Literal["butt", "round"] = "round"

    def scaled(self, scale: float) -> Stroke:
        """The same line, scaled by a factor."""
        return replace(
            self, width=self.width * scale, dash=tuple(length * scale for length in self.dash)
        )


@dataclass(frozen=True, slots=True)
class Lines:
    """One or more lines of straight pieces; ``closed`` joins the end of each to its start."""

    lines: tuple[tuple[Point, ...], ...]
    stroke: Stroke | None = None
    fill: str | None = None
    closed: bool = False
    role: str = ""

    def moved(self, right: float, down: float, scale: float) -> Lines:
        """The same lines elsewhere, scaled about the origin first."""
        lines = tuple(
            tuple((x * scale + right, y * scale + down) for x, y in line) for line in self.lines
        )
        return replace(self, lines=lines, stroke=self.stroke and self.stroke.scaled(scale))


@dataclass(frozen=True, slots=True)
class Disc:
    """A circle about a centre."""

    x: float
    y: float
    radius: float
    stroke: Stroke | None = None
    fill: str | None = None
    role: str = ""

    def moved(self, right: float, down: float, scale: float) -> Disc:
        """The same circle elsewhere, scaled about the origin first."""
        return replace(
            self,
            x=self.x * scale + right,
            y=self.y * scale + down,
            radius=self.radius * scale,
            stroke=self.stroke and self.stroke.scaled(scale),
        )


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle by its top left corner, with corners rounded by ``radius``."""

    x: float
    y: float
    width: float
    height: float
    radius: float = 0
    stroke: Stroke | None = None
    fill: str | None = None
    role: str = ""

    def moved(self, right: float, down: float, scale: float) -> Box:
        """The same rectangle elsewhere, scaled about the origin first."""
        return replace(
            self,
            x=self.x * scale + right,
            y=self.y * scale + down,
            width=self.width * scale,
            height=self.height * scale,
            radius=self.radius * scale,
            stroke=self.stroke and self.stroke.scaled(scale),
        )


@dataclass(frozen=True, slots=True)
class Text:
    """A line of text whose baseline begins, is centred or ends at a point; ``size`` is one em."""

    x: float
    y: float
    text: str
    size: float
    colour: str
    bold: bool = False
    anchor: Literal["start", "middle", "end"] = "middle"
    role: str = ""

    def moved(self, right: float, down: float, scale: float) -> Text:
        """The same text elsewhere, scaled about the origin first."""
        return replace(
            self, x=self.x * scale + right, y=self.y * scale + down, size=self.size * scale
        )


@dataclass(frozen=True, slots=True)
class Group:
    """Marks that belong together: for example, everything drawn for one rule, under the rule's name."""

    role: str
    name: str
    marks: tuple[Mark, ...]

    def moved(self, right: float, down: float, scale: float) -> Group:
        """The same marks elsewhere, scaled about the origin first."""
        return replace(self, marks=tuple(mark.moved(right, down, scale) for mark in self.marks))


Mark: TypeAlias = Lines | Disc | Box | Text | Group


@dataclass(frozen=True, repr=False)
class Picture:
    """Marks on a sheet of a width and height in millimetres, painted in order over ``paper``.

    ``font`` is the font of its text; ``title`` and ``description`` are for those who hear a
    picture instead of seeing it. A ``clear`` one has no paper below it, to be laid over something else.
    """

    width: float
    height: float
    marks: tuple[Mark, ...]
    paper: str
    font: Font = DEFAULT_FONT
    title: str = ""
    description: str = ""
    clear: bool = False
    written_by: ClassVar[Callable[[Picture], str]]
    """The writer of SVG, which is set from above this file: see the package."""

    def __repr__(self) -> str:
        size = f"{self.width:.0f} by {self.height:.0f} mm"
        return f"<Picture: {', '.join(filter(None, (self.title, size)))}>"

    def _repr_svg_(self) -> str:
        """The picture in a notebook."""
        return type(self).written_by(self)

    def as_group(self, right: float, down: float, scale: float = 1.0) -> Group:
        """The picture as part of another, its top left corner moved there."""
        return Group(
            "picture", self.title, tuple(mark.moved(right, down, scale) for mark in self.marks)
        )
