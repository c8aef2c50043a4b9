"""Pictures as PDF pages, by ReportLab, with the font embedded, so that any reader shows the same."""

from __future__ import annotations

import io
from collections.abc import Container, Sequence
from dataclasses import dataclass
from functools import lru_cache
from importlib import resources
from itertools import groupby
from pathlib import Path
from threading import Lock
from typing import Any

from gridassay.verify.draw.marks import Box, Disc, Group, Lines, Mark, Picture, Stroke, Text
from gridassay.verify.draw.style import Font
from gridassay.verify.showing import shown

POINTS = 72 / 25.4
"""Points in a millimetre."""

_PACKAGE = "fontpkg_atkinson_hyperlegible"
_SPARE = ("fontpkg_ibm_plex_sans", "IBMPlexSans[wdth,wght].ttf")
"""The font for characters that the other does not have: Greek, Cyrillic, arrows."""

_PRINTING = Lock()
"""ReportLab reads on in a font's file where it stopped, whichever document it is at."""


def pdf(pictures: Sequence[Picture], title: str = "") -> bytes:
    """A document with a page for each picture, each page as large as its picture.

    The bytes depend on nothing but the pictures: no date or random identifier is in them. Raises
    ValueError if a font file cannot be used.
    """
    with _PRINTING:
        return _document(pictures, title)


def _document(pictures: Sequence[Picture], title: str) -> bytes:
    from reportlab.pdfgen.canvas import Canvas

    output = io.BytesIO()
    document = Canvas(output, invariant=1, pageCompression=1)
    document.setTitle(shown(title or (pictures[0].title if pictures else "")))
    document.setCreator("gridassay")
    for picture in pictures:
        regular, bold, spare = map(_face, font_files(picture.font))
        faces = _Faces(regular, bold, spare, picture.font.regular is None)
        document.setPageSize((picture.width * POINTS, picture.height * POINTS))
        # From here on in millimetres from the top left corner, as pictures are.
        document.transform(POINTS, 0, 0, -POINTS, 0, picture.height * POINTS)
        document.setLineJoin(1)
        if not picture.clear:
            document.setFillColor(picture.paper)
            document.rect(0, 0, picture.width, picture.height, stroke=0, fill=1)
        for mark in picture.marks:
            _add(document, mark, faces)
        document.showPage()
    document.save()
    return output.getvalue()


def font_files(font: Font) -> tuple[Path, Path, Path]:
    """The files of the regular and the bold face, and of the spare font."""
    regular = font.regular or _packaged(_PACKAGE, "AtkinsonHyperlegible-Regular.ttf")
    bold = font.bold or font.regular or _packaged(_PACKAGE, "AtkinsonHyperlegible-Bold.ttf")
    return regular, bold, _packaged(*_SPARE)


def _packaged(package: str, name: str) -> Path:
    return Path(str(resources.files(package))) / "files" / name


@dataclass(frozen=True, eq=False)
class _Face:
    """A font that ReportLab knows by this name, and the characters it has."""

    name: str
    has: Container[int]


@dataclass(frozen=True)
class _Faces:
    """The fonts of a document. Where ``slashed``, a plain zero is to be had from the spare one only."""

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
"""The width of the line in which letters of the spare font are drawn round to be bold, in ems."""


def _add_text(document: Any, mark: Text, faces: _Faces) -> None:
    from reportlab.pdfbase.pdfmetrics import stringWidth

    runs = faces.runs(shown(mark.text), mark.bold)
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
            # It has no bold face of its own.
            document.setStrokeColor(mark.colour)
            document.setLineWidth(_BOLDER * mark.size)
            document.setDash([])
            line.setTextRenderMode(2)
        line.textOut(text)
        document.drawText(line)
        document.restoreState()
        x += width
