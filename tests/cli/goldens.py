"""Screens and pages of the assay that are kept whole, and how to make them.

After looking at them, renew them with ``python -m tests.cli.renew``.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from datetime import date
from pathlib import Path

from gridassay.encodings.files import decode, read, read_bytes
from gridassay.verify.engines import forget_engines
from gridassay.verify.examination.examination import assay
from gridassay.verify.examination.page import page_html

from .run import EXAMPLES, gridassay

HERE = Path(__file__).parent
GOLDEN = HERE / "golden"
"""The kept ones, and beside them puzzles that are not fit to publish."""

SCREENS = (
    EXAMPLES / "harbour-lights.toml",
    EXAMPLES / "two-piers.toml",
    EXAMPLES / "five-islands.toml",
    GOLDEN / "leaking.toml",
    GOLDEN / "jammed.toml",
)
PAGES = (EXAMPLES / "harbour-lights.toml", GOLDEN / "leaking.toml", GOLDEN / "jammed.toml")


def screen(file: Path) -> str:
    """The output of ``gridassay assay``; times are blanked out."""
    return gridassay("assay", file, "--budget", "60").out


def page(file: Path) -> str:
    """The HTML that ``--page`` writes, on a fixed day; hash, version and folder are blanked out."""
    forget_engines()
    document = read_bytes(str(file))
    puzzle = read(decode(document, str(file)), str(file))
    html = page_html(assay(puzzle, budget=60, document=document), on=date(2026, 1, 5))
    html = re.sub(r"\b[0-9a-f]{64}\b", "HASH", html)
    html = re.sub(r' textLength="[\d.]+"([^>]*)>HASH', r"\1>HASH", html)
    html = re.sub(r"by gridassay [^, ]+", "by gridassay VERSION", html)
    html = re.sub(r' textLength="[\d.]+"([^>]*>[^<]*, examined )', r"\1", html)
    return html.replace(f"{file.parent}/", "")


def kept() -> Iterator[tuple[Path, Callable[[Path], str], Path]]:
    """Each golden file, the function that makes it, and its puzzle."""
    for file in SCREENS:
        yield GOLDEN / f"{file.stem}.screen.txt", screen, file
    for file in PAGES:
        yield GOLDEN / f"{file.stem}.page.html", page, file
