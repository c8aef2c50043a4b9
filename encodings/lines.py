"""Puzzle lines: one puzzle per line, or a grid drawn over several lines.

``1-9`` then ``A-Z`` in either case are givens; ``.`` is an empty cell, and so are ``0`` (unless 0 is
a digit) and, if the count then fits, so are ``_``, ``*`` and ``-``. In a drawn grid spaces and rules of
``|``, ``-``, ``+`` and ``=`` are ignored. ``#`` starts a comment. A line of 16, 25, 36, 81 … symbols
is a puzzle by itself; lines with fewer symbols make a drawn grid, which ends at a blank line.

Nothing beyond the standard library is imported here: this is the fast path of the command line.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache
from itertools import chain
from math import isqrt

from gridassay.encodings.grid import LARGEST, SMALLEST, Canvas, Cell, classic
from gridassay.encodings.puzzle import Fact, Puzzle

_RULING = str.maketrans("", "", " \t|+=")
_RULING_AND_DASH = str.maketrans("", "", " \t|+=-")
_EMPTY = frozenset("._*-")
OPEN = "?"
"""Stands for a given or the number of a clue where every value is to be tried."""
_fact = lru_cache(maxsize=10_000)(Fact)  # lines of a batch give the same few facts again and again
_LONGEST_DRAWING = 3 * LARGEST
"""No drawn grid has more lines than this, its ruling counted."""

MOST_DOCUMENT = 500_000
"""Characters of a puzzle file: what is read in a second. Three thousand rules have 200,000."""


class PuzzleError(ValueError):
    """Input that is not a puzzle. Its text is one line: the source, the place and what is wrong."""

    def __init__(self, message: str, source: str = "", line: int | None = None) -> None:
        self.message = message
        self.source = source if line is None else f"{source}:{line}" if source else f"line {line}"
        super().__init__(f"{self.source}: {message}" if self.source else message)


Block = list[tuple[int, str]]
"""Written lines with their numbers, comments taken off, none blank."""


def read_lines(lines: Iterable[str], source: str = "") -> Iterator[Puzzle | PuzzleError]:
    """Read every puzzle of a run of lines; a bad one is returned as its error, in its place."""
    for block in blocks(lines):
        yield from read_block(block, source)


def blocks(lines: Iterable[str]) -> Iterator[Block]:
    """The blocks of lines that can be read separately, one after another.

    A blank line ends a block; so does a length that no drawn grid has.
    """
    block: Block = []
    for number, raw in enumerate(chain(lines, [""]), start=1):
        line = raw.partition("#")[0].strip()
        if line:
            block.append((number, line))
        ended = not line and not raw.strip()
        if block and (ended or len(block) > _LONGEST_DRAWING):
            yield block
            block = []


def read_block(block: Block, source: str, *, apart: bool = False) -> Iterator[Puzzle | PuzzleError]:
    """Read lines with no blank line among them: one drawn grid, or a puzzle per line.

    ``apart`` says that there is one puzzle per line: some of a block can look like a grid although not
    all of it does.
    """
    drawn = _rows(block)
    if not apart and _is_drawn(block, [row for _, row in drawn]):
        yield _attempt(drawn[0][0], source, [row for _, row in drawn], drawn)
        return
    for number, line in block:
        symbols = line.translate(_RULING_AND_DASH)
        if not _is_size(len(symbols)):
            symbols = line.translate(_RULING)
        yield _attempt(number, source, [symbols], [(number, symbols)])


def puzzles_in(block: Block) -> int:
    """The number of puzzles, bad ones included, in lines with no blank line among them."""
    return 1 if _is_drawn(block, [row for _, row in _rows(block)]) else len(block)


def _rows(block: Block) -> Block:
    return [(number, row) for number, line in block if (row := line.translate(_RULING_AND_DASH))]


def _is_drawn(block: Block, rows: Sequence[str]) -> bool:
    """Whether a block is one grid: n rows of n symbols, or a ruled drawing that falls short of it.

    Sixteen rows of sixteen symbols could be sixteen 4×4 puzzles: they are if no symbol is too
    large for one.
    """
    side = len(rows)
    if side >= SMALLEST and all(len(row) == side for row in rows):
        return not (_is_size(side) and all(_fits(row, isqrt(side)) for row in rows))
    alone = any(_is_size(len(line.translate(_RULING))) for _, line in block)
    return len(block) > 1 and bool(rows) and not alone


def _fits(row: str, size: int) -> bool:
    reader = classic(size).reader
    return all(symbol in reader or symbol in _EMPTY or symbol == "0" for symbol in row)


def _is_size(length: int) -> bool:
    size = isqrt(length)
    return size * size == length and SMALLEST <= size <= LARGEST


def _attempt(
    number: int, source: str, rows: Sequence[str], numbered: Sequence[tuple[int, str]]
) -> Puzzle | PuzzleError:
    symbols = "".join(rows)
    place = f"{source}:{number}" if source else f"line {number}"
    if not _is_size(len(symbols)):
        if len(rows) > 1:
            message = f"{len(rows)} rows of {_lengths(rows)} symbols do not make a square grid"
        else:
            message = (
                f"{len(symbols)} symbols do not make a square grid (16, 36, 81, 144, 256, 625 …)"
            )
        return PuzzleError(message, source, number)
    canvas = classic(isqrt(len(symbols)))
    try:
        return Puzzle(canvas, read_givens(symbols, canvas), source=place)
    except PuzzleError as error:
        if len(rows) > 1 and len({len(row) for row in rows}) == 1:
            bad = next(
                line
                for line, row in numbered
                if any(s not in canvas.reader and s not in _EMPTY and s != "0" for s in row)
            )
            return PuzzleError(error.message, source, bad)
        return PuzzleError(error.message, source, number)


def _lengths(rows: Sequence[str]) -> str:
    lengths = sorted({len(row) for row in rows})
    return " or ".join(map(str, lengths[:3])) + (" or more" if len(lengths) > 3 else "")


def read_givens(symbols: str, canvas: Canvas) -> tuple[Fact, ...]:
    """Read one symbol per cell, rows in order.

    Raises PuzzleError naming the cell whose symbol is not a digit of the canvas.
    """
    if not canvas.digits:
        for cell, symbol in zip(canvas.cells, symbols, strict=True):
            if symbol != ".":
                raise PuzzleError(f"{cell}: {symbol!r}, but there are no digits on this canvas")
        return ()
    reader = canvas.reader
    try:
        return tuple(
            [
                _fact(cell, reader[symbol])
                for cell, symbol in zip(canvas.cells, symbols, strict=True)
                if symbol not in _EMPTY and (symbol != "0" or "0" in reader)
            ]
        )
    except KeyError:
        cell, symbol = next(
            (cell, symbol)
            for cell, symbol in zip(canvas.cells, symbols, strict=True)
            if symbol not in reader and symbol not in _EMPTY and symbol != "0"
        )
        if symbol == OPEN:
            raise PuzzleError(f"{cell}: a '?' works only with gridassay clues") from None
        raise PuzzleError(
            f"{cell}: {symbol!r} is not a digit here ({digit_range(canvas)})"
        ) from None


def digit_range(canvas: Canvas) -> str:
    """The digits of a canvas in few words: ``1 to 9``, ``1 to G``, ``0 2 4 6``."""
    if not canvas.digits:
        return "none"
    written = list(canvas.symbols.values())
    digits = canvas.digits
    if digits == tuple(range(digits[0], digits[-1] + 1)):
        return f"{written[0]} to {written[-1]}"
    return " ".join(written)


def read_drawn(text: str, canvas: Canvas) -> str:
    """The symbols of a drawn grid over the canvas's rectangle without its holes, one per cell.

    Raises PuzzleError if the count does not fit.
    """
    lines = [line.partition("#")[0] for line in text.splitlines()]
    wanted = canvas.rows * canvas.columns
    for ruling in (_RULING_AND_DASH, _RULING):
        symbols = "".join(line.translate(ruling) for line in lines)
        if len(symbols) == wanted:
            break
    else:
        symbols = "".join(line.translate(_RULING_AND_DASH) for line in lines)
        raise PuzzleError(
            f"{len(symbols)} symbols, but {canvas.rows} rows of {canvas.columns} need {wanted}"
        )
    if wanted == len(canvas.cells):
        return symbols
    kept = []
    for place, symbol in enumerate(symbols):
        cell = Cell(place // canvas.columns + 1, place % canvas.columns + 1)
        if cell in canvas.index:
            kept.append(symbol)
        elif symbol not in _EMPTY:
            raise PuzzleError(f"{cell}: {symbol!r} stands where there is no cell")
    return "".join(kept)
