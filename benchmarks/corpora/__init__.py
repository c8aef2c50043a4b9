"""Puzzles to measure on: made by our own tools from seeds (``make.py``), or published, with source."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from itertools import islice
from pathlib import Path
from random import Random

FOLDER = Path(__file__).parent


@lru_cache
def lines(name: str) -> tuple[str, ...]:
    """The puzzle lines of a corpus."""
    text = (FOLDER / f"{name}.txt").read_text(encoding="utf-8")
    return tuple(line for raw in text.splitlines() if (line := raw.partition("#")[0].strip()))


def disguised(corpus: tuple[str, ...], seed: int) -> Iterator[str]:
    """Classic 9×9 lines without end: each the same puzzle as one of the corpus, never the same line.

    Digits are renamed, rows and columns change places within bands and stacks, these change places,
    and half of the grids are turned over. A solver meets each for the first time.
    """
    rng = Random(seed)
    while True:
        line = rng.choice(corpus)
        digits = dict(zip("123456789", rng.sample("123456789", 9), strict=True))
        rows, columns = _shuffled(rng), _shuffled(rng)
        cells = [line[9 * row + column] for row in rows for column in columns]
        if rng.random() < 0.5:
            cells = [cells[9 * column + row] for row in range(9) for column in range(9)]
        yield "".join(digits.get(symbol, ".") for symbol in cells)


def _shuffled(rng: Random) -> list[int]:
    return [3 * band + row for band in rng.sample(range(3), 3) for row in rng.sample(range(3), 3)]


def take(corpus: Iterator[str], number: int) -> tuple[str, ...]:
    """The next so many lines."""
    return tuple(islice(corpus, number))
