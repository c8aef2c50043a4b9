"""The assay as a page to file with the puzzle: HTML or PDF, readable in black and white.

The page is one picture, laid out once: the puzzle with its rule text, the solution, what the
examination found, and the hash of the evidence. PDF prints it; HTML carries it as SVG, with the same
words as text for those who cannot see it.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from html import escape
from pathlib import Path

from gridassay.verify.assay_words import part_words
from gridassay.verify.draw.marks import Mark, Picture, Text
from gridassay.verify.draw.pdf import pdf
from gridassay.verify.draw.scene import picture
from gridassay.verify.draw.style import LIGHT
from gridassay.verify.draw.svg import svg
from gridassay.verify.draw.text_size import wrap
from gridassay.verify.draw.view import View
from gridassay.verify.draw.views import answered
from gridassay.verify.examination import Assay

_WIDE, _HIGH, _MARGIN = 210.0, 297.0, 18.0
_SIZE, _PITCH, _INDENT = 3.2, 4.6, 26.0
_HEADLINES = {
    "unique": "One solution.",
    "multiple": "Several solutions.",
    "none": "No solution.",
    "undecided": "Undecided when the budget ran out.",
}


def page_words(result: Assay) -> Iterator[tuple[str, str]]:
    """Everything the page says, a caption and a line each, the conclusion last."""
    yield "verdict", _HEADLINES[result.verdict.status]
    parts = {
        "kin": result.symmetries,
        "catalogue": result.found,
        "clues": result.clues,
        "route": result.route,
        "only steps": result.only_steps,
    }
    for name, answer in parts.items():
        if answer is not None:
            yield from part_words(name, answer)
    if result.certificate:
        digest = hashlib.sha256(result.certificate.to_bytes()).hexdigest()
        yield "evidence", f"certificate with SHA-256 {digest[:32]} {digest[32:]}"
    yield "", result.conclusion


def page_picture(result: Assay) -> Picture:
    """The page as a picture of A4 size, longer where what it says is."""
    puzzle = result.puzzle
    inner = _WIDE - 2 * _MARGIN
    drawn = picture(puzzle, width=0.56 * inner)
    marks: list[Mark] = [drawn.placed(_MARGIN, _MARGIN)]
    bottom = _MARGIN + drawn.height
    if result.verdict.status == "unique":
        solved = _solution(result)
        left = _MARGIN + 0.62 * inner
        marks.append(solved.placed(left, _MARGIN + 9))
        bottom = max(bottom, _MARGIN + 9 + solved.height)
    y = bottom + 8
    words = list(page_words(result))
    for place, (caption, text) in enumerate(words):
        last = place == len(words) - 1
        if last:
            y += 0.6 * _PITCH
        left = _MARGIN + (0 if last else _INDENT)
        if caption:
            marks.append(Text(_MARGIN, y, caption, _SIZE, LIGHT.quiet, False, "start"))
        for line in wrap(text, _SIZE, _WIDE - _MARGIN - left, bold=last):
            marks.append(Text(left, y, line, _SIZE, LIGHT.ink, last, "start"))
            y += _PITCH
    title = f"Assay of {puzzle.title or puzzle.source}"
    height = max(_HIGH, y + _MARGIN)
    return Picture(_WIDE, height, tuple(marks), LIGHT.paper, LIGHT.font, title, result.conclusion)


def _solution(result: Assay) -> Picture:
    view: View = answered(result.puzzle, result.verdict.solutions[0])
    inner = _WIDE - 2 * _MARGIN
    return picture(result.puzzle, view, width=0.38 * inner, heading=False, legend=False)


def page_html(result: Assay) -> str:
    """The page as one HTML file that needs nothing else."""
    drawn = page_picture(result)
    rows = "\n".join(
        f"<dt>{escape(caption or 'and')}</dt><dd>{escape(text)}</dd>"
        for caption, text in page_words(result)
    )
    return f"""<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>{escape(drawn.title)}</title>
<style>
body {{ margin: 0; background: #fff; color: #111; font-family: sans-serif; }}
main {{ max-width: 210mm; margin: 0 auto; }}
svg {{ width: 100%; height: auto; }}
dl {{ position: absolute; left: -200vw; }}
</style>
</head>
<body>
<main>
{svg(drawn)}
<dl>
{rows}
</dl>
</main>
</body>
</html>
"""


def write_page(result: Assay, out: Path) -> None:
    """Write the page. Raises ValueError for another ending than .html or .pdf; OSError from writing."""
    kind = out.suffix.lower()
    if kind == ".html":
        out.write_text(page_html(result), encoding="utf-8")
    elif kind == ".pdf":
        out.write_bytes(pdf([page_picture(result)]))
    else:
        raise ValueError(f"{out}: a page is a file that ends in .html or .pdf")
