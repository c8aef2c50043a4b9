"""Makes ``variants/`` from seeds: ``python -m benchmarks.corpora.variants [FAMILY…]``.

One folder per family of rules, with seven puzzles in each. The first four are 9×9 with one solution
and no spare given, the fifth is the same at 6×6, the sixth has several solutions and the seventh
none.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from random import Random

from benchmarks.corpora import FOLDER
from benchmarks.corpora import families as draw
from benchmarks.drawing import Sketch, Table, document, read
from benchmarks.maker import fewer_givens, random_solution
from gridassay.encodings.files import read_puzzles
from gridassay.encodings.puzzle import Fact, Puzzle
from gridassay.verify import check
from gridassay.verify.budget import Clock, OutOfTime

VARIANTS = FOLDER / "variants"
PATIENCE = 20.0
"""Seconds to spend on one puzzle before another is tried."""

SIZES = (9, 9, 9, 9, 6, 9, 9)


def variants() -> dict[str, tuple[Puzzle, ...]]:
    """The puzzles of the corpus by family."""
    return {
        folder.name: tuple(
            puzzle
            for file in sorted(folder.glob("*.toml"))
            for puzzle in read_puzzles(str(file))
            if isinstance(puzzle, Puzzle)
        )
        for folder in sorted(VARIANTS.iterdir())
    }


def make(family: str, number: int) -> str:
    """The file of a family's puzzle ``number``, from 1; tries seed after seed until one works."""
    for attempt in range(100):
        rng = Random(f"{family} {number} {attempt}")
        made = _attempt(draw.FAMILIES[family], number, rng)
        if made is not None:
            title = f"{family} {number}"
            status = check(made[2]).status
            head = {"title": title, "expect": status} | made[0]
            return document(head, made[1], made[2])
    raise AssertionError(f"no puzzle {number} of {family} in 100 attempts")


def _attempt(
    family: draw.Family, number: int, rng: Random
) -> tuple[Table, list[Table], Puzzle] | None:
    head = family.head(SIZES[number - 1])
    rules = family.before(number, SIZES[number - 1], rng)
    try:
        base = read(head, rules)
        solution = random_solution(base, rng, Clock(PATIENCE))
        rules = [*rules, *family.draw(Sketch(base, solution, rng), number)]
        puzzle = fewer_givens(read(head, rules), solution, rng, Clock(PATIENCE))
    except (ValueError, OutOfTime):
        return None
    if not rules or check(puzzle, budget=PATIENCE).status != "unique":
        return None
    if number < 6:
        return head, rules, puzzle
    wanted, changes = ("multiple", _looser) if number == 6 else ("none", _wrong)
    for changed in changes(head, rules, puzzle, rng):
        if check(changed[2], budget=PATIENCE).status == wanted:
            return changed
    return None


Change = Callable[[Table, list[Table], Puzzle, Random], Iterator[tuple[Table, list[Table], Puzzle]]]


def _looser(
    head: Table, rules: list[Table], puzzle: Puzzle, rng: Random
) -> Iterator[tuple[Table, list[Table], Puzzle]]:
    """The puzzle without one of its givens or rules."""
    for given in rng.sample(puzzle.givens, len(puzzle.givens)):
        yield head, rules, replace(puzzle, givens=tuple(g for g in puzzle.givens if g != given))
    for rule in rng.sample(rules, len(rules)):
        rest = [one for one in rules if one is not rule]
        if rest:
            yield head, rest, replace(read(head, rest), givens=puzzle.givens)


def _wrong(
    head: Table, rules: list[Table], puzzle: Puzzle, rng: Random
) -> Iterator[tuple[Table, list[Table], Puzzle]]:
    """The puzzle with one number of a clue, or one given, changed."""
    for place in rng.sample(range(len(rules)), len(rules)):
        for key in ("sum", "target", "value", "seen", "count"):
            if isinstance(rules[place].get(key), int):
                other = rules[place] | {key: rules[place][key] + 1}
                changed = [*rules[:place], other, *rules[place + 1 :]]
                try:
                    yield head, changed, replace(read(head, changed), givens=puzzle.givens)
                except ValueError:
                    continue
    for given in rng.sample(puzzle.givens, len(puzzle.givens)):
        for digit in rng.sample(puzzle.canvas.digits, len(puzzle.canvas.digits)):
            others = (Fact(given.variable, digit) if g == given else g for g in puzzle.givens)
            if digit != given.value:
                yield head, rules, replace(puzzle, givens=tuple(others))


def write(family: str) -> None:
    """Write a family's folder."""
    folder: Path = VARIANTS / family
    folder.mkdir(parents=True, exist_ok=True)
    for number in range(1, len(SIZES) + 1):
        (folder / f"{number}.toml").write_text(make(family, number), encoding="utf-8")


if __name__ == "__main__":
    for name in sys.argv[1:] or draw.FAMILIES:
        write(name)
