"""Stories about doublers at random positions, read back and held against the plain reading."""

from __future__ import annotations

import random
import re
from collections import Counter
from collections.abc import Iterator

import pytest

from gridassay.encodings.grid import Cell
from gridassay.encodings.puzzle import Puzzle
from gridassay.encodings.variables import Doubler, Variable
from gridassay.verify import read, route
from gridassay.verify.solving.board.position import Position, layout_of

from ...minimal import random_solution
from .doubler_sentences import Houses, hold_story

EMPTY = read("size = 6\n[doublers]\n", "empty.toml")
MOST_CAGES = 8
BACK = 0.85
"""The share of candidates that come back to a solved board."""


def caged(solution: dict[Variable, int], rng: random.Random) -> Puzzle:
    """A puzzle with a few random cages of two and three cells that fit a solution."""
    free, rules = set(EMPTY.canvas.cells), ""
    for cell in rng.sample(EMPTY.canvas.cells, len(EMPTY.canvas.cells)):
        cage = [cell]
        for _ in range(rng.randint(1, 2)):
            near = [c for c in free - {*cage} if _touch(c, cage[-1])]
            near = [c for c in near if solution[c] not in {solution[one] for one in cage}]
            if near:
                cage.append(rng.choice(sorted(near)))
        if len(cage) == 1 or not free >= {*cage} or rules.count("cage") == MOST_CAGES:
            continue
        free -= {*cage}
        total = sum(solution[c] * (1 + solution[Doubler(c)]) for c in cage)
        cells = " ".join(map(str, sorted(cage)))
        rules += f'[[rule]]\nkind = "cage"\ncells = "{cells}"\nsum = {total}\n'
    return read(f"size = 6\n[doublers]\n{rules}", "caged.toml")


def _touch(one: Cell, other: Cell) -> bool:
    return abs(one.row - other.row) + abs(one.column - other.column) == 1


def told(seed: int) -> Iterator[tuple[Houses, Position, str]]:
    """The stories of a route from a random position of a random puzzle, with the board before each."""
    rng = random.Random(seed)
    unknowns = layout_of(EMPTY).unknowns
    solution = dict(zip(unknowns, random_solution(EMPTY, rng), strict=True))
    puzzle = caged(solution, rng)
    layout = layout_of(puzzle)
    masks = [
        sum(1 << n for n, v in enumerate(values) if v == solution[one] or rng.random() < BACK)
        for one, values in zip(layout.unknowns, layout.domains, strict=True)
    ]
    found = route(puzzle, start=Position(layout, masks), every_step=True, budget=300)
    board = found.start.copy()
    for step in found.steps:
        if step.story:
            yield Houses(puzzle), board.copy(), step.text
        step.apply(board)


@pytest.fixture(scope="module")
def stories() -> list[tuple[Houses, Position, str]]:
    return [one for seed in range(12) for one in told(seed)]


def test_every_story_about_doublers_is_true_and_enough(
    stories: list[tuple[Houses, Position, str]],
) -> None:
    held = Counter[str]()
    for board, position, text in stories:
        hold_story(board, position, text)
        held["about doublers"] += "doubler" in text
        held["their house"] += "the doubler of" in text
        held["two of them"] += "against the doublers" in text
        held["supposed"] += " were a doubler." in text
        held["from a cage"] += bool(re.search(r"doublers?, by the \d+ cage", text))
    print(f"\n{len(stories)} stories; {dict(held)}")
    assert held["about doublers"] > 50
    assert min(held.values()) > 0


def test_a_story_about_doublers_that_is_damaged_is_not_believed(
    stories: list[tuple[Houses, Position, str]],
) -> None:
    """One number becomes another, or a doubler becomes none; a few such stories are true all the same."""
    rng = random.Random(1)
    believed = tried = 0
    for board, position, text in stories:
        if "doubler" not in text:
            continue
        spots = [
            *re.finditer(
                r"(?<=\d)(?!c)\b|(?<!\d)[1-6](?!\d)|(?:not )?(?:a doubler|doublers\b)", text
            )
        ]
        for m in rng.sample([m for m in spots if m[0]], k=4):
            if m[0].isdigit():
                other = rng.choice([d for d in "123456" if d != m[0]])
            else:
                other = m[0].removeprefix("not ") if m[0].startswith("not ") else f"not {m[0]}"
            tried += 1
            try:
                hold_story(board, position, text[: m.start()] + other + text[m.end() :])
            except (AssertionError, KeyError, ValueError):
                continue
            believed += 1
    print(f"\n{believed} of {tried} damaged stories believed")
    assert tried > 200
    assert believed < 0.1 * tried, f"{believed} of {tried}"
