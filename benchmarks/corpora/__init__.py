"""Puzzles to measure on: made by our own tools from seeds (``make.py``), or published, with source.

A corpus is a file: puzzle lines, or puzzle documents separated by a line of dashes. What
is known about each is written next to them in ``index.json``: a hash, the number of puzzles and their
verdicts, on which both engines agree. ``python -m benchmarks.corpora.index`` writes it.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from functools import lru_cache
from hashlib import sha256
from itertools import islice
from pathlib import Path
from random import Random

from gridassay.encodings.puzzle import Puzzle
from gridassay.verify import read

FOLDER = Path(__file__).parent
INDEX = FOLDER / "index.json"
RULE_OFF = "\n---\n"
"""What stands between the documents of a corpus."""


def text(name: str) -> str:
    """The file of a corpus."""
    return (FOLDER / f"{name}.txt").read_text(encoding="utf-8")


def fingerprint(name: str) -> str:
    """The SHA-256 of a corpus, in hexadecimal."""
    return sha256(text(name).encode()).hexdigest()


@lru_cache
def lines(name: str) -> tuple[str, ...]:
    """The puzzle lines of a corpus."""
    return tuple(line for raw in text(name).splitlines() if (line := raw.partition("#")[0].strip()))


@lru_cache
def puzzles(name: str, start: int = 0, limit: int | None = None) -> tuple[Puzzle, ...]:
    """The puzzles of a corpus, lines or documents; ``limit`` of them from ``start``."""
    written = text(name)
    pieces = written.split(RULE_OFF) if RULE_OFF in written else lines(name)
    asked = list(enumerate(pieces, 1))[start : None if limit is None else start + limit]
    return tuple(read(piece, f"{name}:{number}") for number, piece in asked)


def known_verdicts(name: str) -> str:
    """The verdict of each puzzle by its first letter: u(nique), m(ultiple), n(one).

    Raises ValueError if the corpus is not the one that was indexed.
    """
    entry = json.loads(INDEX.read_text(encoding="utf-8"))[name]
    if entry["sha256"] != fingerprint(name):
        raise ValueError(f"{name} has changed: run python -m benchmarks.corpora.index")
    return str(entry["verdicts"])


def disguised(corpus: tuple[str, ...], seed: int) -> Iterator[str]:
    """Classic 9×9 lines without end: puzzles of the corpus in disguise, never the same
    line twice.

    Digits are renamed; rows and columns change places within bands and stacks, which also change places;
    and half of the grids are transposed. A solver meets each for the first time.
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


def batches(name: str, seed: int, rounds: int, size: int) -> Iterator[tuple[str, ...]]:
    """Disguised lines of a corpus, made beforehand: one batch per round, and one to warm up."""
    fresh = disguised(lines(name), seed)
    return iter([take(fresh, size) for _ in range(rounds + 1)])


def take(corpus: Iterator[str], number: int) -> tuple[str, ...]:
    """The next lines, as many as asked for."""
    return tuple(islice(corpus, number))
