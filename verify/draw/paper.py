"""Pages laid out as pictures, to a file that a person opens or prints: HTML or PDF.

HTML holds each page as SVG, one sheet of paper each, and the same words as text for those who cannot
see them; it needs nothing else.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from gridassay.verify.draw.marks import Picture
from gridassay.verify.safe_text import marked_up
from gridassay.verify.saving import save

FORMATS = (".html", ".pdf")
A4 = (210.0, 297.0)
"""Millimetres across and down."""


def paper_html(pages: Sequence[Picture], words: str) -> str:
    """The pages as one HTML file; ``words`` is their text as markup."""
    from gridassay.verify.draw.svg import svg

    drawn = "\n".join(f"<section>{svg(page)}</section>" for page in pages)
    return f"""<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>{marked_up(pages[0].title)}</title>
<style>
@page {{ size: A4; margin: 0; }}
body {{ margin: 0; background: #fff; color: #111; font-family: sans-serif; }}
section {{ max-width: 210mm; margin: 0 auto; break-after: page; break-inside: avoid; }}
section:last-of-type {{ break-after: auto; }}
svg {{ display: block; width: 100%; height: auto; }}
.words {{ position: absolute; left: -200vw; top: 0; height: 1px; overflow: hidden; }}
</style>
</head>
<body>
<main>
{drawn}
<div class="words">
{words}
</div>
</main>
</body>
</html>
"""


def write_paper(pages: Sequence[Picture], words: str, out: Path) -> None:
    """Write the pages in the format of the file's name.

    Raises ValueError if the name does not end in one of ``FORMATS``, and OSError from writing.
    """
    kind = out.suffix.lower()
    if kind not in FORMATS:
        raise ValueError(f"{out}: pages are a file that ends in {' or '.join(FORMATS)}")
    if kind == ".html":
        save(out, paper_html(pages, words))
    else:
        from gridassay.verify.draw.pdf import pdf

        save(out, pdf(pages))
