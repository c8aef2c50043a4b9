"""Pictures as SVG, by the standard library's XML tools, which escape all text.

Text is set as text, so that it can be searched, read aloud and restyled; it names the font of the
style and falls back to whatever the reader's machine has.
"""

from __future__ import annotations

from typing import Any
from xml.etree.ElementTree import Element, SubElement, tostring

from gridassay.verify.draw.marks import Box, Disc, Group, Lines, Mark, Picture, Stroke, Text
from gridassay.verify.draw.style import DEFAULT_FONT
from gridassay.verify.draw.text_size import text_width
from gridassay.verify.safe_text import printable

_FALLBACKS = "Arial, 'DejaVu Sans Condensed', sans-serif"


def svg(picture: Picture) -> str:
    """The picture as one SVG element, its measures in millimetres."""
    width, height = _number(picture.width), _number(picture.height)
    root = Element(
        "svg",
        {
            "xmlns": "http://www.w3.org/2000/svg",
            "width": f"{width}mm",
            "height": f"{height}mm",
            "viewBox": f"0 0 {width} {height}",
            "font-family": f"'{picture.font.family}', {_FALLBACKS}",
            "fill": "none",
            "stroke-linejoin": "round",
            "role": "img",
        },
    )
    if picture.title:
        SubElement(root, "title").text = printable(picture.title)
    if picture.description:
        SubElement(root, "desc").text = printable(picture.description)
    if not picture.clear:
        SubElement(root, "rect", {"width": width, "height": height, "fill": picture.paper})
    for mark in picture.marks:
        _add(root, mark, picture.font.family)
    return tostring(root, encoding="unicode")


def _add(parent: Element, mark: Mark, family: str) -> None:
    if isinstance(mark, Group):
        element = SubElement(parent, "g", _role_attributes(mark.role))
        if mark.name:
            element.set("data-name", printable(mark.name))
        for inner in mark.marks:
            _add(element, inner, family)
        return
    attributes: dict[str, Any] = _role_attributes(mark.role)
    if isinstance(mark, Lines):
        end = "Z" if mark.closed else ""
        attributes["d"] = "".join(
            "M" + "L".join(f"{_number(x)} {_number(y)}" for x, y in line) + end
            for line in mark.lines
        )
        tag = "path"
    elif isinstance(mark, Disc):
        attributes |= {
            "cx": _number(mark.x),
            "cy": _number(mark.y),
            "r": _number(mark.radius),
        }
        tag = "circle"
    elif isinstance(mark, Box):
        attributes |= {
            "x": _number(mark.x),
            "y": _number(mark.y),
            "width": _number(mark.width),
            "height": _number(mark.height),
        }
        if mark.radius:
            attributes["rx"] = _number(mark.radius)
        tag = "rect"
    else:
        _add_text(parent, mark, family)
        return
    if mark.fill:
        attributes["fill"] = mark.fill
    SubElement(parent, tag, attributes | _stroke(mark.stroke))


def _add_text(parent: Element, mark: Text, family: str) -> None:
    attributes = _role_attributes(mark.role) | {
        "x": _number(mark.x),
        "y": _number(mark.y),
        "font-size": _number(mark.size),
        "fill": mark.colour,
    }
    if mark.anchor != "start":
        attributes["text-anchor"] = mark.anchor
    elif mark.text.isascii():
        # A line of text fills the room laid out for it whatever font it is set in.
        attributes["textLength"] = _number(text_width(mark.text, mark.size, bold=mark.bold))
        attributes["lengthAdjust"] = "spacingAndGlyphs"
    if mark.bold:
        attributes["font-weight"] = "bold"
    if "0" in mark.text and DEFAULT_FONT.family == family:
        attributes["font-family"] = _FALLBACKS  # whose zeros have no slash
    SubElement(parent, "text", attributes).text = printable(mark.text)


def _role_attributes(role: str) -> dict[str, str]:
    return {"class": role.replace(" ", "-")} if role else {}


def _stroke(stroke: Stroke | None) -> dict[str, str]:
    if stroke is None:
        return {}
    drawn = {"stroke": stroke.colour, "stroke-width": _number(stroke.width)}
    if stroke.cap == "round":
        drawn["stroke-linecap"] = "round"
    if stroke.dash:
        drawn["stroke-dasharray"] = " ".join(map(_number, stroke.dash))
    return drawn


def _number(value: float) -> str:
    """Hundredths of a millimetre, as short as they can be written."""
    return f"{round(value, 2) + 0.0:g}"
