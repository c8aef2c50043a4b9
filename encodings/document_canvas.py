"""The canvas of a puzzle file: one grid, several, or bare cells, from the fields that say so."""

from __future__ import annotations

import re
from collections.abc import Sequence

from gridassay.encodings.document_fields import Document, GridDocument
from gridassay.encodings.grid import (
    LARGEST,
    SMALLEST,
    Canvas,
    Cell,
    Grid,
    GridError,
    canvas_of,
    parse_cells,
    squarest_box,
)
from gridassay.encodings.lines import PuzzleError, read_drawn

MOST_CELLS = 70 * 70


def canvas_of_document(document: Document) -> Canvas:
    """The cells, houses and digits that a puzzle file asks for. Raises GridError."""
    digits = document.digits
    if digits == "none":
        return _without_digits(document)
    if document.size is not None and document.size < SMALLEST:
        raise GridError(
            f"size: input should be greater than or equal to {SMALLEST} (it is {document.size})"
        )
    if digits is not None:
        if len(set(digits)) != len(digits) or not digits:
            raise GridError("digits are listed twice" if digits else "digits is empty")
        if min(digits) < 0 or max(digits) > LARGEST:
            raise GridError(f"digits lie between 0 and {LARGEST}")
    if document.grid:
        if document.size or document.box or document.regions or document.rows or document.columns:
            raise GridError("size, box, regions, rows and columns go into each grid")
        grids = [_grid(number, grid) for number, grid in enumerate(document.grid)]
        return _canvas_of_size(canvas_of(grids, digits))
    if document.houses or document.rows or document.columns:
        if document.size is not None:
            if document.rows or document.columns or document.box or document.regions:
                raise GridError("give size, or rows and columns")
        elif not (document.rows and document.columns and document.houses):
            raise GridError('a bare canvas needs rows, columns and houses = "none"')
        return _bare(document)
    size = document.size or (len(digits) if digits else 9)
    if document.box and document.regions:
        raise GridError("give box or regions, not both")
    regions = _regions(document.regions)
    box = None if regions else _box(document.box, size)
    return canvas_of([Grid(size, box=box, regions=regions)], digits)


def _without_digits(document: Document) -> Canvas:
    """A rectangle of cells without digits, in which a layer is to be found."""
    for key in ("box", "regions", "grid", "doublers"):
        if getattr(document, key):
            raise GridError(f'{key} needs digits, but digits is "none"')
    if document.size is not None and (document.rows or document.columns):
        raise GridError("give size, or rows and columns")
    if document.size is None and not (document.rows and document.columns):
        raise GridError('digits = "none" needs rows and columns, or size')
    return _bare(document, ())


def _bare(document: Document, without: tuple[int, ...] | None = None) -> Canvas:
    rows, columns = document.rows or document.size or 0, document.columns or document.size or 0
    if rows * columns > MOST_CELLS:
        raise GridError(f"{rows} rows of {columns} are more than {MOST_CELLS} cells")
    digits: Sequence[int] = range(1, (document.size or 9) + 1) if without is None else without
    if isinstance(document.digits, list):
        digits = document.digits
    everywhere = tuple(Cell(r, c) for r in range(1, rows + 1) for c in range(1, columns + 1))
    canvas = Canvas(rows, columns, everywhere, tuple(sorted(digits)))
    if "_" not in document.givens:
        return canvas
    try:
        symbols = read_drawn(document.givens, canvas)
    except PuzzleError:
        return canvas
    kept = tuple(cell for cell, symbol in zip(everywhere, symbols, strict=True) if symbol != "_")
    return Canvas(rows, columns, kept, canvas.digits)


def _canvas_of_size(canvas: Canvas) -> Canvas:
    if canvas.rows * canvas.columns > MOST_CELLS:
        raise GridError(f"the grids need a canvas of more than {MOST_CELLS} cells")
    return canvas


def _grid(number: int, document: GridDocument) -> Grid:
    corner = list(parse_cells(document.at))
    if len(corner) != 1 or min(corner[0]) < 1:
        raise GridError(f"at = {document.at!r} is not a single cell such as r1c1")
    if document.box and document.regions:
        raise GridError("give box or regions, not both")
    regions = _regions(document.regions)
    box = None if regions else _box(document.box, document.size)
    return Grid(document.size, corner[0], box, regions, document.name or chr(65 + number))


def _regions(text: str | None) -> str | None:
    return None if text is None else "".join(text.split())


def _box(text: str | None, size: int) -> tuple[int, int] | None:
    if text is None:
        return squarest_box(size)
    if text == "none":
        return None
    match = re.fullmatch(r"\s*(\d{1,2})\s*[x×]\s*(\d{1,2})\s*", text)
    if not match:
        raise GridError(f"box = {text!r} is not rows x columns, such as '2x3', or 'none'")
    return int(match[1]), int(match[2])


def key_at_fault(document: Document, message: str) -> str | None:
    """The key that a GridError of this canvas is about, if it can be told."""
    keys = ("regions", "digits", "box", "size", "rows", "columns", "houses", "grid")
    given = document.model_fields_set
    word = message.split()[0] if message else ""
    for key in keys:
        if key in given and (key.startswith(word) or key in message):
            return key
    return next((key for key in keys if key in given), None)
