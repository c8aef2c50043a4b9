"""Makes corpora of layers with one solution: ``python -m benchmarks.corpora.make_single``.

The corpora of make_layers.py and make_regions.py have several solutions, so counting to two only has to
find them. Here the first puzzles of each get givens from one of their solutions until there is no other,
then lose those that are not needed, in a random order: counting to two has to prove the second count.
"""

from __future__ import annotations

import re
from random import Random

from benchmarks.corpora import FOLDER, RULE_OFF, puzzles
from gridassay.encodings.grid import Cell
from gridassay.encodings.puzzle import Fact, Puzzle
from gridassay.verify.budget import Clock
from gridassay.verify.engines.sat import SatEngine

MADE = {"waters9": 20, "caves9": 20, "loops9": 20, "borders10": 20, "wards6": 20}
GRID = re.compile(r'givens = """\n.*?\n"""\n', re.DOTALL)
LIST = re.compile(r"givens = \[.*?\]\n", re.DOTALL)


def _needed(puzzle: Puzzle, rng: Random) -> list[Fact]:
    """Givens that leave one solution, none of them wasted."""
    engine, clock = SatEngine(puzzle.model, Clock(3600)), Clock(3600)
    shown = puzzle.model.shown
    target = engine.solve(puzzle.givens, clock)
    assert target is not None
    value = dict(zip(shown, target, strict=True))
    givens = list(puzzle.givens)
    demand = engine.forbid(target)
    while other := engine.solve(givens, clock, demands=[demand]):
        apart = [one for one, met in zip(shown, other, strict=True) if met != value[one]]
        if any(isinstance(one, Cell) for one in shown):
            apart = [one for one in apart if isinstance(one, Cell)] or apart
        one = rng.choice(apart)
        givens.append(Fact(one, value[one]))
    for fact in rng.sample(givens, len(givens)):
        fewer = [one for one in givens if one != fact]
        if engine.solve(fewer, clock, demands=[demand]) is None:
            givens = fewer
    return givens


def _written(text: str, puzzle: Puzzle, givens: list[Fact]) -> str:
    """The document with these givens: digits in the grid at its top, others in the layer."""
    (layer,) = puzzle.layers
    digits = {one.variable: one.value for one in givens if isinstance(one.variable, Cell)}
    others = {one.variable: one.value for one in givens if not isinstance(one.variable, Cell)}
    if digits:
        rows = range(1, puzzle.canvas.rows + 1)
        grid = "\n".join(
            "".join(str(digits.get(Cell(r, c), ".")) for c in range(1, puzzle.canvas.columns + 1))
            for r in rows
        )
        text = GRID.sub(f'givens = """\n{grid}\n"""\n', text, count=1)
    elif not any(isinstance(one, Cell) for one in puzzle.model.shown):
        text = LIST.sub("", GRID.sub("", text))
    if others:
        given = layer.givens_of(puzzle.canvas, others)
        if isinstance(given, str):
            field = f'givens = """\n{given.strip()}\n"""\n'
        else:
            field = "givens = [" + ", ".join(f'"{one}"' for one in given) + "]\n"
        head, kind, rest = re.split(r'(kind = "(?:shading|loop|border-loop|regions)"\n)', text)
        text = head + kind + field + rest
    return text


def main() -> None:
    """Write the corpora."""
    for name, number in MADE.items():
        texts = (FOLDER / f"{name}.txt").read_text(encoding="utf-8").split(RULE_OFF)
        made = [
            _written(text, puzzle, _needed(puzzle, Random(place)))
            for place, (text, puzzle) in enumerate(
                zip(texts[:number], puzzles(name, 0, number), strict=True)
            )
        ]
        (FOLDER / f"{name}single.txt").write_text(RULE_OFF.join(made), encoding="utf-8")
        print(name)


if __name__ == "__main__":
    main()
