"""Makes the corpora of one constraint each from seeds: ``python -m benchmarks.corpora.make_clued``.

cages9.txt      connected cages of two to six cells over the whole grid           (Sum)
pairs9.txt      marks on two thirds of the neighbours that could have one            (Table, two cells)
triples9.txt    formulas over three cells in a row                                (Table, three cells)
greater9.txt    half of the signs between neighbours of a box                     (Compare)
crossings9.txt  digits named round crossings                                      (Count)
irregular9.txt  irregular regions, givens only

Each puzzle has givens only where its clues leave more than one solution.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from random import Random

from benchmarks.corpora import FOLDER, RULE_OFF
from benchmarks.maker import fewer_givens, random_solution
from gridassay.encodings.documents import read_document
from gridassay.encodings.grid import Cell, classic
from gridassay.encodings.puzzle import Fact, Puzzle, Solution
from gridassay.verify.budget import Clock
from gridassay.verify.counting.verdict import check

Digits = dict[tuple[int, int], int]
Clues = Callable[[Digits, Random], Iterator[str]]
PLACES = [(row, column) for row in range(9) for column in range(9)]
NEIGHBOURS = [
    ((row, column), (row + down, column + 1 - down))
    for row, column in PLACES
    for down in (0, 1)
    if row + down < 9 and column + 1 - down < 9
]


def _rule(kind: str, cells: list[tuple[int, int]], *fields: str) -> str:
    named = " ".join(f"r{row + 1}c{column + 1}" for row, column in cells)
    return "\n".join(["[[rule]]", f'kind = "{kind}"', f'cells = "{named}"', *fields])


def cages(digits: Digits, rng: Random) -> Iterator[str]:
    """Cages grown from random cells over neighbours with digits they do not hold yet."""
    free = set(PLACES)
    for start in rng.sample(PLACES, len(PLACES)):
        if start not in free:
            continue
        cage, size = [start], rng.choice((2, 3, 3, 4, 4, 5, 6))
        free.discard(start)
        while len(cage) < size:
            held = {digits[cell] for cell in cage}
            edge = sorted(
                {b for pair in NEIGHBOURS for a, b in (pair, pair[::-1]) if a in cage and b in free}
            )
            edge = [cell for cell in edge if digits[cell] not in held]
            if not edge:
                break
            cage.append(rng.choice(edge))
            free.discard(cage[-1])
        yield _rule("cage", cage, f"sum = {sum(digits[cell] for cell in cage)}")


def pairs(digits: Digits, rng: Random) -> Iterator[str]:
    """Consecutive pairs, doubles, and pairs that total 5 or 10."""
    for a, b in NEIGHBOURS:
        low, high = sorted((digits[a], digits[b]))
        if rng.random() > 2 / 3:
            continue
        if high - low == 1:
            yield _rule("consecutive-pair", [a, b])
        elif high == 2 * low:
            yield _rule("double-pair", [a, b])
        elif low + high in (5, 10):
            yield _rule("pair-sum", [a, b], f"sum = {low + high}")


FORMULAS: dict[str, Callable[[int, int, int], bool]] = {
    "a + c == 2 * b": lambda a, b, c: a + c == 2 * b,
    "a * b > 5 * c": lambda a, b, c: a * b > 5 * c,
    "(a + b + c) % 5 == 0": lambda a, b, c: (a + b + c) % 5 == 0,
    "abs(a - b) == abs(b - c) + 1": lambda a, b, c: abs(a - b) == abs(b - c) + 1,
}


def triples(digits: Digits, rng: Random) -> Iterator[str]:
    """Formulas that three cells in a row happen to satisfy."""
    for row, column in rng.sample(PLACES, len(PLACES)):
        cells = [(row, column + step) for step in range(3) if column + step < 9]
        if len(cells) < 3:
            continue
        a, b, c = (digits[cell] for cell in cells)
        true = [formula for formula, holds in FORMULAS.items() if holds(a, b, c)]
        if true:
            yield _rule("relation", cells, f'holds = "{rng.choice(true)}"')


def greater(digits: Digits, rng: Random) -> Iterator[str]:
    """Signs between neighbours of one box."""
    for a, b in NEIGHBOURS:
        same_box = a[0] // 3 == b[0] // 3 and a[1] // 3 == b[1] // 3
        if same_box and rng.random() < 0.5:
            yield _rule("greater", [a, b] if digits[a] > digits[b] else [b, a])


def crossings(digits: Digits, rng: Random) -> Iterator[str]:
    """Two of the four digits round a crossing."""
    inner = [(row, column) for row in range(8) for column in range(8)]
    for row, column in rng.sample(inner, 24):
        cells = [(row + down, column + right) for down in (0, 1) for right in (0, 1)]
        named = rng.sample([digits[cell] for cell in cells], 2)
        yield _rule("contains", cells, f"digits = {named}")


def _unique(document: str, solution: Solution, rng: Random) -> str:
    """The document with givens of the solution, in cells that another solution fills differently."""
    puzzle = read_document(document, "")
    given: dict[Cell, int] = {}
    while len(found := check(_with(puzzle, given), budget=60).solutions) > 1:
        other = found[0] if found[0] != solution else found[1]
        cells = zip(puzzle.canvas.cells, solution, other, strict=True)
        given.update([rng.choice([(cell, ours) for cell, ours, theirs in cells if ours != theirs])])
    line = _with(puzzle, given).given_line()
    rows = "\n".join(line[start : start + 9] for start in range(0, 81, 9))
    return f'givens = """\n{rows}\n"""\n{document}'


def _with(puzzle: Puzzle, given: dict[Cell, int]) -> Puzzle:
    return replace(puzzle, givens=tuple(Fact(cell, digit) for cell, digit in given.items()))


def clued(clues: Clues, number: int, seed: int) -> Iterator[str]:
    """Puzzles with the clues that a random solution gives."""
    rng, empty = Random(seed), Puzzle(classic(9))
    for _ in range(number):
        solution = random_solution(empty, rng, Clock(60))
        digits = dict(zip(PLACES, solution, strict=True))
        yield _unique("\n".join(clues(digits, rng)), solution, rng)


def _connected(region: set[tuple[int, int]]) -> bool:
    reached, edge = set(), [min(region)]
    while edge:
        row, column = edge.pop()
        reached.add((row, column))
        beside = {(row + 1, column), (row - 1, column), (row, column + 1), (row, column - 1)}
        edge += (beside & region) - reached
    return reached == region


def _regions(rng: Random, swaps: int) -> dict[tuple[int, int], int]:
    """The nine boxes after random exchanges of cells that leave every region in one piece."""
    region = {(row, column): row // 3 * 3 + column // 3 for row, column in PLACES}
    while swaps:
        a, b = rng.sample(PLACES, 2)
        if region[a] == region[b]:
            continue
        region[a], region[b] = region[b], region[a]
        touched = (region[a], region[b])
        if all(_connected({c for c in PLACES if region[c] == one}) for one in touched):
            swaps -= 1
        else:
            region[a], region[b] = region[b], region[a]
    return region


def irregular(number: int, seed: int) -> Iterator[str]:
    """Minimal grids on irregular regions."""
    rng = Random(seed)
    while number:
        region = _regions(rng, 12)
        drawn = "\n".join(
            "".join("ABCDEFGHI"[region[row, column]] for column in range(9)) for row in range(9)
        )
        document = f'regions = """\n{drawn}\n"""'
        puzzle = read_document(document, "")
        try:
            solution = random_solution(puzzle, rng, Clock(60))
        except ValueError:  # not every division into regions has a solution
            continue
        minimal = fewer_givens(puzzle, solution, rng, Clock(60))
        yield f'givens = """\n{minimal.given_line()}\n"""\n{document}'
        number -= 1


def write(name: str, documents: Iterator[str]) -> None:
    """Write a corpus of documents."""
    (FOLDER / f"{name}.txt").write_text(RULE_OFF.join(documents) + "\n", encoding="utf-8")


if __name__ == "__main__":
    write("cages9", clued(cages, 12, 11))
    write("pairs9", clued(pairs, 12, 12))
    write("triples9", clued(triples, 12, 13))
    write("greater9", clued(greater, 12, 14))
    write("crossings9", clued(crossings, 12, 15))
    write("irregular9", irregular(12, 16))
