"""Pictures: a 9×9 grid as SVG and as PNG, plain and with eight kinds of rules."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path

from benchmarks.measure import Measured, Row, seconds, spread
from gridassay.encodings.files import read_puzzles
from gridassay.encodings.puzzle import Puzzle
from gridassay.verify import picture
from gridassay.verify.draw.raster import png
from gridassay.verify.draw.svg import svg

EXAMPLES = Path(__file__).parents[2] / "examples"


def _milliseconds(name: str, render: Callable[[Puzzle], object], quick: bool) -> Measured:
    (puzzle,) = read_puzzles(str(EXAMPLES / f"{name}.toml"))
    if not isinstance(puzzle, Puzzle):
        raise puzzle
    render(puzzle)  # what is imported and looked up once is not part of the figure
    times = [seconds(lambda: render(puzzle)).cpu * 1000 for _ in range(8 if quick else 40)]
    return spread(times, f"{name}, processor time")


def _svg(puzzle: Puzzle) -> str:
    return svg(picture(puzzle))


def _png(puzzle: Puzzle) -> bytes:
    return png(picture(puzzle))


def _row(name: str, what: str, render: Callable[[Puzzle], object], target: float) -> Row:
    return Row(9, what, "at most", target, "ms", partial(_milliseconds, name, render))


ROWS = (
    _row("harbour-lights", "picture as SVG, classic", _svg, 10),
    _row("lobster-pots", "picture as SVG, eight kinds of rules", _svg, 10),
    _row("harbour-lights", "picture as PNG of 300 dpi, classic", _png, 150),
    _row("lobster-pots", "picture as PNG of 300 dpi, eight kinds of rules", _png, 150),
)
