"""Makes the corpora from seeds: ``python -m benchmarks.corpora.make``.

hard9.txt      minimal 9×9 grids: no given can be removed
easy9.txt      9×9 grids with 32 givens or more
damaged9.txt   the grids of hard9.txt with a given left out, or made another digit
growth.txt     grids of 4×4 to 25×25 with half of the cells given
large16.txt    16×16 grids with 40 to 50 % of the cells given
large25.txt    25×25 grids with half of the cells given
seventeen.txt  is not made: published 17-given grids, typed in
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import chain
from random import Random

from benchmarks.corpora import FOLDER, lines
from benchmarks.maker import fewer_givens, random_solution
from gridassay.encodings.grid import classic
from gridassay.encodings.puzzle import Fact, Puzzle
from gridassay.verify.budget import Clock


def grids(size: int, number: int, seed: int, least: int) -> Iterator[str]:
    """Grids with one solution, thinned to ``least`` givens if they get that far."""
    rng, empty = Random(seed), Puzzle(classic(size))
    for _ in range(number):
        clock = Clock(600)
        solution = random_solution(empty, rng, clock)
        yield fewer_givens(empty, solution, rng, clock, least=least).given_line()


def open_grids(size: int, number: int, seed: int, share: float) -> Iterator[str]:
    """Grids with a share of a solution's digits given, however many solutions they have."""
    rng, empty = Random(seed), Puzzle(classic(size))
    for _ in range(number):
        solution = random_solution(empty, rng, Clock(600))
        facts = [Fact(c, d) for c, d in zip(empty.canvas.cells, solution, strict=True)]
        kept = tuple(rng.sample(facts, int(share * len(facts))))
        yield Puzzle(empty.canvas, kept).given_line()


def damaged(corpus: tuple[str, ...], seed: int) -> Iterator[str]:
    """Lines with one given removed (so that a minimal one has several solutions) or changed."""
    rng = Random(seed)
    for number, line in enumerate(corpus):
        place = rng.choice([at for at, symbol in enumerate(line) if symbol != "."])
        other = rng.choice([digit for digit in "123456789" if digit != line[place]])
        yield line[:place] + (other if number % 2 else ".") + line[place + 1 :]


def write(name: str, lines: Iterator[str]) -> None:
    """Write a corpus."""
    text = "".join(f"{line}\n" for line in lines)
    (FOLDER / f"{name}.txt").write_text(text, encoding="utf-8")


if __name__ == "__main__":
    write("hard9", grids(9, 200, 1, 0))
    write("easy9", grids(9, 200, 2, 32))
    write("damaged9", damaged(lines("hard9")[:100], 5))
    sizes = (4, 6, 9, 12, 16, 20, 25)
    write("growth", chain.from_iterable(open_grids(size, 3, size, 0.5) for size in sizes))
    write("large16", grids(16, 6, 3, 110))
    write("large25", open_grids(25, 4, 4, 0.5))
