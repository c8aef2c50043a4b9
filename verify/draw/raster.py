"""Pictures as PNG: the PDF page, rendered by PDFium, so that both show the same."""

from __future__ import annotations

import io

from gridassay.verify.draw.marks import Picture
from gridassay.verify.draw.pdf import pdf

DPI = 300.0
"""Dots an inch, unless others are asked for: what printers ask for."""


def png(picture: Picture, *, dpi: float = DPI) -> bytes:
    """The picture as PNG, at so many dots an inch."""
    import pypdfium2

    document = pypdfium2.PdfDocument(pdf([picture]))
    page = document[0]
    # PDFium rounds the size up; a hair less than the width asked for comes out as that width.
    scale = (round(picture.width / 25.4 * dpi) - 0.1) / page.get_width()
    image = page.render(scale=scale).to_pil()
    output = io.BytesIO()
    image.save(output, "PNG", dpi=(dpi, dpi), compress_level=3)
    document.close()
    return output.getvalue()
