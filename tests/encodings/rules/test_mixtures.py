"""Random mixtures of outside clues, formulas, patterns and lying clues on 4×4 grids.

The clauses must accept exactly the grids that the plain readings accept, in any mixture; CP-SAT
must agree on whether there is one.
"""

from __future__ import annotations

import random
from itertools import product

import pytest

from gridassay.encodings.documents import read_document
from gridassay.verify.engines.cp import CpEngine
from gridassay.verify.engines.sat import SatEngine

from .witnesses import CLOCK, solutions

GRIDS = solutions(SatEngine(read_document("size = 4").model, CLOCK))


def outside(rng: random.Random) -> str:
    kind, clue, most = rng.choice(
        [
            ("sandwich", "sum", 5),
            ("x-sum", "sum", 10),
            ("seen-count", "seen", 4),
            ("numbered-room", "digit", 4),
            ("battlefield", "sum", 10),
            ("head-sum", "sum", 7),
        ]
    )
    along, sides = rng.choice([("r", ("left", "right")), ("c", ("top", "bottom"))])
    number = rng.choice(['"A"', rng.randint(0, most)])
    fields = f'kind = "{kind}"\nline = "{along}{rng.randint(1, 4)}"\n{clue} = {number}\n'
    if kind in ("sandwich", "battlefield"):
        return fields
    return fields + f'side = "{rng.choice(sides)}"\n'


def own(rng: random.Random) -> str:
    cells = [f"r{rng.randint(1, 4)}c{column}" for column in rng.sample(range(1, 5), 3)]
    line = f'cells = "{" ".join(cells)}"\n'
    formula = rng.choice(["a < b or b < c", "a + b == 2*c", "a % b == c", "abs(a - c) > 1"])
    pattern = rng.choice([".*1.*", "[12]{1,2}[34]+", "[^3]*", "(1|23?)+.*"])
    return rng.choice(
        [
            f'kind = "relation"\n{line}holds = "{formula}"\n',
            f'kind = "sequence"\n{line}pattern = "{pattern}"\n',
            f'kind = "little-killer"\nstart = "r1c{rng.randint(1, 3)}"\n'
            f'direction = "down-right"\nsum = {rng.randint(3, 9)}\n',
        ]
    )


def table(rng: random.Random, header: str = "rule") -> str:
    if rng.random() < 0.4 and header.count(".") < 2:
        nested = "".join(table(rng, f"{header}.of") for _ in range(rng.randint(2, 3)))
        kind = rng.choice(["exactly", "at-least"])
        return f'[[{header}]]\nkind = "{kind}"\ncount = {rng.randint(0, 2)}\n{nested}'
    return f"[[{header}]]\n{rng.choice([outside, own])(rng)}"


def mixture(seed: int) -> str:
    rng = random.Random(seed)
    return "size = 4\n" + "".join(table(rng) for _ in range(rng.randint(1, 3)))


@pytest.mark.parametrize("seed", range(60))
def test_mixtures(seed: int) -> None:
    puzzle = read_document(mixture(seed), "t.toml")
    letters = [puzzle.board.domains[v] for v in puzzle.board.shown[16:]]
    rows = [grid + extra for grid in GRIDS for extra in product(*letters)]
    expected = {row for row in rows if next(puzzle.violations(row), None) is None}
    assert set(solutions(SatEngine(puzzle.model, CLOCK), most=500)) <= expected
    if len(expected) <= 500:
        assert len(solutions(SatEngine(puzzle.model, CLOCK))) == len(expected)
    answer = CpEngine(puzzle.model).solve((), CLOCK)
    assert answer in expected if expected else answer is None


def test_mixtures_are_mixed() -> None:
    assert len(GRIDS) == 288
    texts = [mixture(seed) for seed in range(60)]
    for kind in ("exactly", "at-least", "sandwich", "x-sum", "battlefield", "relation", "sequence"):
        assert any(f'"{kind}"' in text for text in texts)
