"""Pictures as PDF pages, by ReportLab, with the fonts embedded: what is printed is what was drawn."""

from __future__ import annotations

import io
from collections.abc import Container, Iterable
from dataclasses import dataclass
from functools import lru_cache
from importlib import resources
from itertools import groupby
from pathlib import Path
from threading import Lock
from typing import Any

from gridassay.verify.draw.marks import Box, Disc, Group, Lines, Mark, Picture, Stroke, Text
from gridassay.verify.draw.style import Font
from gridassay.verify.safe_text import printable

POINTS = 72 / 25.4
"""Points in a millimetre."""

_PACKAGE = "fontpkg_atkinson_hyperlegible"
_SPARE = ("fontpkg_ibm_plex_sans", "IBMPlexSans[wdth,wght].ttf")
"""The font for characters that the other lacks: Greek, Cyrillic, arrows."""

_PRINTING = Lock()
"""ReportLab continues in a font's file where it stopped, even for another document."""


SLUG = 7.0
"""Millimetres beyond the bleed in which trim marks stand."""
_MARK = 5.0
"""The length of a trim mark."""


@dataclass(frozen=True)
class Bookmark:
    """An entry of a document's outline: its page, counted from 1, and how deep it stands, from 0."""

    title: str
    page: int
    level: int = 0


@dataclass(frozen=True)
class Binding:
    """The settings of a document as a whole.

    With a ``bleed`` in millimetres, every page is that much larger on all sides, to be trimmed off,
    and has trim marks beyond.
    """

    outline: tuple[Bookmark, ...] = ()
    author: str = ""
    subject: str = ""
    keywords: tuple[str, ...] = ()
    bleed: float = 0.0


def pdf(pictures: Iterable[Picture], title: str = "", binding: Binding = Binding()) -> bytes:
    """A document with a page for each picture, each page as large as its picture.

    The pictures are taken one by one and not kept. The bytes depend on nothing but the pictures: no
    date or random identifier is in them. Raises ValueError if a font file cannot be used.
    """
    with _PRINTING:
        return _document(pictures, title, binding)


def _document(pictures: Iterable[Picture], title: str, binding: Binding) -> bytes:
    from reportlab.pdfgen.canvas import Canvas

    output = io.BytesIO()
    document: Any = None
    marked = sorted(binding.outline, key=lambda one: one.page)
    for number, picture in enumerate(pictures, start=1):
        regular, bold, spare = map(_face, font_files(picture.font))
        faces = _Faces(regular, bold, spare, picture.font.regular is None)
        if document is None:
            # ReportLab names its initial font on every page, embedded or not.
            document = Canvas(output, invariant=1, pageCompression=1, initialFontName=regular.name)
            _describe(document, title or picture.title, binding)
        _page(document, picture, faces, binding.bleed)
        while marked and marked[0].page == number:
            mark = marked.pop(0)
            name = f"{number} {len(marked)}"
            document.bookmarkPage(name)
            document.addOutlineEntry(printable(mark.title), name, mark.level, closed=mark.level > 0)
        document.showPage()
    if document is None:
        document = Canvas(output, invariant=1, pageCompression=1)
        _describe(document, title, binding)
    document.save()
    return output.getvalue()


def _describe(document: Any, title: str, binding: Binding) -> None:
    document.setTitle(printable(title))
    document.setCreator("gridassay")
    if binding.author:
        document.setAuthor(printable(binding.author))
    if binding.subject:
        document.setSubject(printable(binding.subject))
    if binding.keywords:
        document.setKeywords(list(map(printable, binding.keywords)))
    if binding.outline:
        document.showOutline()


def _page(document: Any, picture: Picture, faces: _Faces, bleed: float) -> None:
    edge = bleed + SLUG if bleed else 0.0
    width, height = picture.width + 2 * edge, picture.height + 2 * edge
    document.setPageSize((width * POINTS, height * POINTS))
    if bleed:
        for name, out in (("TrimBox", 0.0), ("BleedBox", bleed)):
            low, left = edge - out, edge - out
            box = (left, low, width - left, height - low)
            getattr(document, f"set{name}")([side * POINTS for side in box])
    # From here on in millimetres from the top left corner, as pictures are.
    document.saveState()
    document.transform(POINTS, 0, 0, -POINTS, edge * POINTS, (picture.height + edge) * POINTS)
    document.setLineJoin(1)
    if bleed:
        path = document.beginPath()
        path.rect(-bleed, -bleed, picture.width + 2 * bleed, picture.height + 2 * bleed)
        document.saveState()
        document.clipPath(path, stroke=0, fill=0)
    if not picture.clear:
        sides = (picture.width + 2 * bleed, picture.height + 2 * bleed)
        document.setFillColor(picture.paper)
        document.rect(-bleed, -bleed, *sides, stroke=0, fill=1)
    for mark in picture.marks:
        _add(document, mark, faces)
    if bleed:
        document.restoreState()
        _trim(document, picture, bleed)
    document.restoreState()


def _trim(document: Any, picture: Picture, bleed: float) -> None:
    """Two marks at each corner, outside the bleed."""
    document.setStrokeColor("#000000")
    document.setLineWidth(0.09)
    document.setDash([])
    for x, out in ((0.0, -1), (picture.width, 1)):
        for y, down in ((0.0, -1), (picture.height, 1)):
            document.line(x + out * bleed, y, x + out * (bleed + _MARK), y)
            document.line(x, y + down * bleed, x, y + down * (bleed + _MARK))


def font_files(font: Font) -> tuple[Path, Path, Path]:
    """The files of the regular and the bold face, and of the spare font."""
    regular = font.regular or _resource(_PACKAGE, "AtkinsonHyperlegible-Regular.ttf")
    bold = font.bold or font.regular or _resource(_PACKAGE, "AtkinsonHyperlegible-Bold.ttf")
    return regular, bold, _resource(*_SPARE)


def _resource(package: str, name: str) -> Path:
    return Path(str(resources.files(package))) / "files" / name


@dataclass(frozen=True, eq=False)
class _Face:
    """A font that ReportLab knows by this name, and the characters it has."""

    name: str
    has: Container[int]


@dataclass(frozen=True)
class _Faces:
    """The fonts of a document. If ``slashed``, only the spare font has a plain zero."""

    regular: _Face
    bold: _Face
    spare: _Face
    slashed: bool

    def runs(self, text: str, bold: bool) -> list[tuple[_Face, str]]:
        """The text in pieces, each with the font that has its characters."""
        main = self.bold if bold else self.regular

        def face(letter: str) -> _Face:
            code = ord(letter)
            odd = code not in main.has or (letter == "0" and self.slashed)
            return self.spare if odd and code in self.spare.has else main

        return [(font, "".join(letters)) for font, letters in groupby(text, key=face)]


@lru_cache(maxsize=16)
def _face(file: Path) -> _Face:
    """Make a font file known to ReportLab."""
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFError, TTFont

    try:
        font = TTFont(str(file), str(file))
    except TTFError as error:
        raise ValueError(f"the font file {file} cannot be used: {error}") from None
    pdfmetrics.registerFont(font)
    return _Face(str(file), font.face.charToGlyph)


def _add(document: Any, mark: Mark, faces: _Faces) -> None:
    if isinstance(mark, Group):
        for inner in mark.marks:
            _add(document, inner, faces)
        return
    if isinstance(mark, Text):
        _add_text(document, mark, faces)
        return
    fill, stroke = int(mark.fill is not None), int(mark.stroke is not None)
    if mark.fill:
        document.setFillColor(mark.fill)
    if mark.stroke:
        _set(document, mark.stroke)
    if isinstance(mark, Lines):
        path = document.beginPath()
        for line in mark.lines:
            path.moveTo(*line[0])
            for point in line[1:]:
                path.lineTo(*point)
            if mark.closed:
                path.close()
        document.drawPath(path, stroke=stroke, fill=fill)
    elif isinstance(mark, Disc):
        document.circle(mark.x, mark.y, mark.radius, stroke=stroke, fill=fill)
    elif isinstance(mark, Box) and mark.radius:
        document.roundRect(
            mark.x, mark.y, mark.width, mark.height, mark.radius, stroke=stroke, fill=fill
        )
    else:
        document.rect(mark.x, mark.y, mark.width, mark.height, stroke=stroke, fill=fill)


def _set(document: Any, stroke: Stroke) -> None:
    document.setStrokeColor(stroke.colour)
    document.setLineWidth(stroke.width)
    document.setLineCap(1 if stroke.cap == "round" else 0)
    document.setDash(list(stroke.dash))


_BOLDER = 0.05
"""The width of the outline that makes letters of the spare font bold, in ems."""


def _add_text(document: Any, mark: Text, faces: _Faces) -> None:
    from reportlab.pdfbase.pdfmetrics import stringWidth

    runs = faces.runs(printable(mark.text), mark.bold)
    widths = [stringWidth(text, face.name, mark.size) for face, text in runs]
    x = mark.x - {"start": 0.0, "middle": 0.5, "end": 1.0}[mark.anchor] * sum(widths)
    document.setFillColor(mark.colour)
    for (face, text), width in zip(runs, widths, strict=True):
        document.saveState()
        line = document.beginText()
        # Upright: the page is drawn with its y axis pointing down.
        line.setTextTransform(1, 0, 0, -1, x, mark.y)
        line.setFont(face.name, mark.size)
        if mark.bold and face is faces.spare:
            # The spare font has no bold face.
            document.setStrokeColor(mark.colour)
            document.setLineWidth(_BOLDER * mark.size)
            document.setDash([])
            line.setTextRenderMode(2)
        line.textOut(text)
        document.drawText(line)
        document.restoreState()
        x += width
