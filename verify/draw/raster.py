"""Pictures as PNG: the PDF page, rendered by PDFium, so that both show the same."""

from __future__ import annotations

import io
from threading import Lock

from gridassay.verify.draw.marks import Picture
from gridassay.verify.draw.pdf import pdf

DPI = 300.0
"""The default number of dots per inch: what printers ask for."""

_RENDERING = Lock()
"""PDFium is not safe for threads, even if each has its own document."""


def png(picture: Picture, *, dpi: float = DPI) -> bytes:
    """The picture as PNG, at this many dots per inch."""
    import pypdfium2
    from pypdfium2.raw import FPDFBitmap_BGRA as BGRA

    page_of_it = pdf([picture])
    with _RENDERING:
        document = pypdfium2.PdfDocument(page_of_it)
        page = document[0]
        # PDFium rounds the size up, so it is asked for slightly less than the width.
        scale = (round(picture.width / 25.4 * dpi) - 0.1) / page.get_width()
        options = {"fill_color": (0, 0, 0, 0), "force_bitmap_format": BGRA} if picture.clear else {}
        image = page.render(scale=scale, rev_byteorder=picture.clear, **options).to_pil()
        document.close()
    output = io.BytesIO()
    image.save(output, "PNG", dpi=(dpi, dpi), compress_level=3)
    return output.getvalue()
